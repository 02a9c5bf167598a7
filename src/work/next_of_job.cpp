// SPDX-License-Identifier: GPL-3.0-or-later
#include "work/next_of_job.hpp"

#include "job/next.hpp"
#include "job/verify.hpp"
#include "work/analysed_job.hpp"
#include "work/safe_recording.hpp"

namespace ebbmark {

namespace {

/// Decay of every take that counts, for what may be missing in it.
std::map<std::string, ResponseDecay> decays_of(const AnalysedJob& job, Progress& progress) {
    std::map<std::string, ResponseDecay> decays;
    for (const Take& take : job.takes()) {
        progress.show(decays.size() + 1, job.takes().size(), take.id());
        if (!take.in_use())
            continue;
        const TakeResponse& made = job.response_of(take);
        DecayOptions options;
        options.source_from_hz = made.source_from_hz;
        options.source_to_hz = made.source_to_hz;
        decays.emplace(take.id(), analyse_decay(made.response, options));
    }
    return decays;
}

} // namespace

NextReport next_report(AnalysedJob& job, const std::string& path, const Occasion& occasion,
                       DigitsShown digits, Progress& progress) {
    JobState state = state_of(job, occasion.time.substr(0, 10));
    state.path = path;
    state.faults = faults_in(verify(job.path()));
    state.decays = decays_of(job, progress);
    NextReport report{"next", job.simulated(), next_steps(state), {}, {}};
    if (state.faults.empty() && (digits == DigitsShown::always || report.steps.safe_to_leave.value_or(false)))
        report.digits = job.show_digits(occasion);
    if (report.digits) { // the note is evidence, too
        state.digest = job.digest();
        report.steps = next_steps(state);
    }
    report.notes.assign(job.notes().begin(), job.notes().end());
    for (RecordingWaits& waits : rescued_in(job.path()))
        report.notes.push_back(std::move(waits));
    return report;
}

} // namespace ebbmark
