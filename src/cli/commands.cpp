// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/every_command.hpp"

#include <limits>

namespace ebbmark {

const std::vector<Command>& commands() {
    constexpr std::size_t any = std::numeric_limits<std::size_t>::max();
    static const std::vector<Command> table = {
        {"sweep", "measure", "OUT.wav [OPTIONS]", "writes the test signal and its description OUT.toml",
         "The signal is an exponential sine sweep, with half a second of silence before and two after it. "
         "Play it in\n"
         "the room through one loudspeaker and record it at one microphone place; then: ebbmark deconvolve.\n"
         "A band is measured only where the sweep reaches all of it: the 20 Hz third needs --from 17.7 or "
         "less.\n\n"
         "Cautions: start quietly and raise the level in steps; wear hearing protection above 85 dB(A) and "
         "keep\n"
         "everybody out of the room; never use headphones. Start at or above the loudspeaker's own lowest "
         "frequency:\n"
         "below it the cone moves far and may be damaged. Prefer a longer sweep to a louder one.\n\n"
         "Example: ebbmark sweep test.wav --from 30 --seconds 20\n",
         1, 1, declare_sweep, run_sweep},
        {"deconvolve", "measure", "RECORDING --sweep S --response IR.wav [OPTIONS]",
         "one recording to one impulse response",
         "RECORDING is WAV, Broadcast Wave, RF64, FLAC or AIFF, 8 to 192 kHz, with extra seconds at either "
         "end as it\n"
         "comes. Repeats are averaged; two or more give the recorder's clock against the player's. Harmonics "
         "of the\n"
         "loudspeaker are cut off. A recording without the sweep in it is refused (exit code 3); a clipped "
         "one is\n"
         "deconvolved, flagged and ends with exit code 5. The response keeps in its file what the sweep "
         "reached.\n\n"
         "Example: ebbmark deconvolve take.wav --sweep test.toml --response response.wav --loopback 2\n",
         1, 1, declare_deconvolve, run_deconvolve},
        {"decay", "analyse", "IR... [OPTIONS]", "decay times and clarity per band",
         "Bands after IEC 61260-1 (class 1), decay times and clarity after ISO 3382-1 and -2. EDT, T20, T30 "
         "in seconds;\n"
         "non-linearity xi in per mille, curvature C in per cent; C50, C80 in dB, D50 in per cent, Ts in ms; "
         "the decay\n"
         "range in dB. A cell is empty, with its reason, where the decay range or the filter cannot support "
         "it:\n"
         "noise, filter, source, length, disturbed.\n\n"
         "Example: ebbmark decay m1.wav m2.wav --bands third --from 25 --to 500 --picture decay.svg\n",
         1, any, declare_decay, run_decay},
        {"compare", "prove", "--before IR... --after IR... [OPTIONS]",
         "what changed, by how much, how surely",
         "Files pair in the order given: the same positions before and after. Per band the logarithm of the "
         "ratio of\n"
         "T20, its mean over the positions with the 95 % interval of the t distribution, and a finding: "
         "shorter, longer,\n"
         "shown unchanged, no change shown, not measurable. The chance of any false shorter or longer is 5 % "
         "over all\n"
         "bands together. One pair gives no interval and no finding.\n\n"
         "Example: ebbmark compare --before b1.wav b2.wav b3.wav --after a1.wav a2.wav a3.wav --page "
         "page.pdf\n",
         0, 0, declare_compare, run_compare},
    };
    return table;
}

} // namespace ebbmark
