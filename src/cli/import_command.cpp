// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "cli/calibration_option.hpp"
#include "cli/every_command.hpp"
#include "cli/occasion.hpp"
#include "cli/output.hpp"
#include "proof/reports/job_reports.hpp"
#include "work/bring_in.hpp"

#include <algorithm>

namespace ebbmark {

void declare_import(Options& options) {
    add_option(options, "sweep", "S",
               "FILE is a recording of this sweep (.toml or sound); without: an impulse response");
    add_option(options, "channel", "N", "the microphone's channel (1)");
    add_option(options, "loopback", "N", "this channel is the electrical loopback");
    add_flag(options, "return", "the microphone was moved away and back: the visit's return");
    declare_calibration(options);
    declare_output(options);
}

int run_import(const Arguments& arguments, Console& console) {
    const auto& words = arguments.words();
    AnalysedJob job(words.at(0), Access::write);
    BroughtIn wanted;
    wanted.visit = words.at(1);
    wanted.file = words.at(2);
    wanted.positions.assign(words.begin() + 3, words.end());
    if (arguments.has("sweep"))
        wanted.sweep = arguments.text("sweep");
    wanted.loopback_channel = arguments.whole_number("loopback", 1, 64).value_or(0);
    wanted.channel = arguments.whole_number("channel", 1, 64);
    wanted.is_return = arguments.flag("return");
    wanted.calibration = read_calibration(arguments);
    const KeepReport report = bring_in(job, wanted, occasion_of(console));
    emit_report(arguments, console, report);
    const bool accepted = std::all_of(report.takes.begin(), report.takes.end(),
                                      [](const KeptTake& kept) { return kept.report.accepted; });
    return accepted ? 0 : static_cast<int>(ErrorKind::rejected);
}

} // namespace ebbmark
