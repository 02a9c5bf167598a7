// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/every_command.hpp"
#include "cli/job_analysis.hpp"
#include "cli/output.hpp"
#include "job/next.hpp"
#include "proof/job_reports.hpp"

namespace ebbmark {

namespace {

/// Decay of every take that counts, for what may be missing in it.
std::map<std::string, ResponseDecay> decays_of(const JobFolder& job, Progress& progress) {
    std::map<std::string, ResponseDecay> decays;
    for (const Take& take : job.takes()) {
        progress.show(decays.size() + 1, job.takes().size(), take.id());
        if (!take.in_use())
            continue;
        const TakeResponse made = response_of(job, take);
        DecayOptions options;
        options.source_from_hz = made.source_from_hz;
        options.source_to_hz = made.source_to_hz;
        decays.emplace(take.id(), analyse_decay(made.response, options));
    }
    return decays;
}

} // namespace

void declare_next(Options& options) {
    declare_output(options);
}

int run_next(const Arguments& arguments, Console& console) {
    const std::string path = arguments.words().at(0);
    const JobFolder job(path, Access::write_if_possible);
    JobState state = state_of(job, console.today());
    state.path = path;
    Progress progress(console, arguments.flag("quiet"));
    state.decays = decays_of(job, progress);
    NextReport report{"next", job.simulated(), next_steps(state)};
    report.steps.notes.insert(report.steps.notes.begin(), job.notes().begin(), job.notes().end());
    emit_report(arguments, console, report);
    return 0;
}

} // namespace ebbmark
