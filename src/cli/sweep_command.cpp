// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/every_command.hpp"
#include "cli/output.hpp"
#include "files/audio_file.hpp"
#include "files/hash.hpp"
#include "files/sweep_file.hpp"
#include "proof/reports/sweep_report.hpp"
#include "proof/words/recording_notes.hpp"
#include "proof/words/table.hpp"
#include "signal/excitation.hpp"
#include "signal/sweep.hpp"

#include <algorithm>
#include <filesystem>
#include <ostream>

namespace ebbmark {

namespace {

Sweep asked_for(const Arguments& arguments) {
    Sweep sweep;
    sweep.rate_hz = arguments.quantity("rate", Dimension::frequency).value_or(sweep.rate_hz);
    sweep.start_hz = arguments.quantity("from", Dimension::frequency).value_or(sweep.start_hz);
    // A little below half the rate, where converters' own filters begin.
    sweep.stop_hz = arguments.quantity("to", Dimension::frequency)
                        .value_or(std::min(sweep.stop_hz, 0.45 * sweep.rate_hz));
    sweep.seconds = arguments.quantity("seconds", Dimension::time).value_or(sweep.seconds);
    sweep.level_dbfs = arguments.quantity("level", Dimension::level).value_or(sweep.level_dbfs);
    sweep.repeats = arguments.whole_number("repeats", 1, 64).value_or(sweep.repeats);
    // What rang of one repeat is gone at the next.
    sweep.repeat_period_s = sweep.seconds + sweep.tail_silence_s + 2;
    sweep.fade_in_s = std::min(sweep.fade_in_s, sweep.seconds / 20);
    sweep.fade_out_s = std::min(sweep.fade_out_s, sweep.seconds / 20);
    check(sweep);
    return sweep;
}

} // namespace

void declare_sweep(Options& options) {
    add_option(options, "from", "HZ", "where it starts: at or above the loudspeaker's lowest frequency (16)");
    add_option(options, "to", "HZ", "where it stops (20000, and at most 0.45 of the sample rate)");
    add_option(options, "seconds", "S", "length of one sweep; longer means less noise (10)");
    add_option(options, "repeats", "N", "equal sweeps in a row; two fix the recorder's clock (2)");
    add_option(options, "rate", "HZ", "sample rate, 8000 to 192000 (48000)");
    add_option(options, "level", "DB", "peak below full scale (-12)");
    add_flag(options, "float", "32-bit float samples instead of 24-bit");
    declare_output(options);
}

int run_sweep(const Arguments& arguments, Console& console) {
    const std::filesystem::path sound = arguments.words().at(0);
    extension_of(sound, {".wav"}, "sweep");
    auto description = sound;
    description.replace_extension(".toml");
    require_free(arguments, sound, ResultKind::sweep);
    require_free(arguments, description, ResultKind::sweep_description);
    const Sweep sweep = asked_for(arguments);
    if (const auto note = short_sweep(excitation_of(sweep)))
        console.err << wrapped(sentence(*note));
    const auto format = arguments.flag("float") ? SampleFormat::float32 : SampleFormat::pcm24;
    const std::string bytes =
        wav_bytes({whole_signal(sweep).samples}, sweep.rate_hz, format, "", sound.string());
    write_output(arguments, sound, ResultKind::sweep, bytes);
    write_output(arguments, description, ResultKind::sweep_description, to_toml(sweep, sha256(bytes)));
    emit_report(arguments, console, SweepReport{sound.string(), description.string(), sweep, sha256(bytes)});
    return 0;
}

} // namespace ebbmark
