// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/every_command.hpp"
#include "cli/output.hpp"
#include "cli/responses.hpp"
#include "proof/decay_report.hpp"

namespace ebbmark {

void declare_decay(Options& options) {
    declare_analysis(options);
    declare_picture(options);
    declare_output(options);
}

int run_decay(const Arguments& arguments, Console& console) {
    require_picture(arguments);
    Analysed analysed = analyse_files(arguments, console, arguments.words());
    const DecayReport report{analysed.simulated, std::move(analysed.entries)};
    write_picture(arguments, report);
    emit_report(arguments, console, report);
    return 0;
}

} // namespace ebbmark
