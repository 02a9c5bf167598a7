// SPDX-License-Identifier: GPL-3.0-or-later
// Words of `sweep`, `devices` and `level`.
#pragma once

#include "proof/text/common_texts.hpp"

namespace ebbmark::texts {

// ---- test signal

inline constexpr Text sweep_written = "{}: {} × {} s from {} to {}, {} s in all, {} sample rate, peak {} dBFS"
                                      "\n{}: its description; keep both together\n\nBefore you play it:\n";
// Hearing: NIOSH recommended exposure limit, 85 dB(A) for 8 h, halved for every 3 dB more.
inline constexpr Text sweep_cautions[] = {
    "Turn the amplifier down first and raise it in steps. Above 85 dB(A) wear hearing protection and keep "
    "everybody "
    "out of the room; never listen to it on headphones. Bass is louder than it seems and than dB(A) tells.",
    "Start at or above the loudspeaker's stated lowest frequency (--from): below it the cone moves far and "
    "may be "
    "damaged. Tweeters take only a few watts for long; prefer a longer sweep to a louder one.",
    "Mute the loudspeakers before you change cables. Rattling things spoil the decay: fix or remove them."};

// ---- devices, level

inline constexpr Text device_default_input = "default for recording";
inline constexpr Text device_default_output = "default for playing";
inline constexpr Text devices_use =
    "Choose one with --device NUMBER, or with any part of its driver and name that fits only it; different "
    "ones for playing and recording with --output and --input.";
inline constexpr Text level_cautions[] = {
    "Put hearing protection on and send everybody out; tell people elsewhere in the building. Never listen "
    "on headphones.",
    "Turn the amplifier down before the first sweep: it starts quietly and rises by 6 dB a step, up to "
    "--limit. Stop "
    "with Ctrl-C: playing ends faded, at once.",
    "Below its stated lowest frequency a loudspeaker's cone moves far and may be damaged; tweeters take only "
    "a few "
    "watts for long. Write lowest into [[source]] of job.toml, and no sweep starts below it.",
    "Above 85 dB(A) hearing can be harmed in a working day, in half of that for every 3 dB more. Local rules "
    "decide."};
inline constexpr Text level_wanted = "wanted";
inline constexpr Text level_enough = "Loud enough: a longer sweep gives the rest.";
inline constexpr Text level_limit = "Stopped at the limit of {} dBFS. If the recorded peak is low, turn the "
                                    "amplifier or the microphone's gain up and run level again.";
inline constexpr Text level_clipping = "Stopped: the last step clipped the recording. The step before it is "
                                       "proposed; a lower gain of the microphone allows more.";
inline constexpr Text level_distortion = "Stopped: the last step distorted a band that is wanted by more "
                                         "than 10 %. The step before it is proposed.";
inline constexpr Text level_stopped = "Stopped before a level was found. {1}";
inline constexpr Text level_none = "No level is proposed: no test sweep was found in the recordings. Check "
                                   "that loudspeaker and microphone are "
                                   "connected and switched on, then run level again.";
inline constexpr Text level_proposal =
    "Proposed and kept for takes with loudspeaker {} on output {} of \"{}\" "
    "at {}: peak {} dBFS, {} sweeps of {} s "
    "from {}: {} s a take; {} takes of a visit are {} "
    "minutes of sound. No such take is played louder; another output, "
    "loudspeaker or rate needs a level of its own.";
inline constexpr Text level_short =
    "Short of {1} dB of decay range even so: {0}. Wait for a quieter hour, switch off fans and "
    "machines, or raise --limit if ears and loudspeaker allow it.";

} // namespace ebbmark::texts
