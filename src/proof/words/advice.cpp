// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/words/advice.hpp"

#include "proof/words/verify_notes.hpp"

#include <fmt/format.h>

namespace ebbmark {

namespace {

std::string names_of(const std::vector<Position>& positions) {
    std::string text;
    for (const Position& position : positions)
        text += (text.empty() ? "" : ", ") + position.name();
    return text;
}

struct LackWords {
    std::string operator()(PlanItem item) const { return sentence(item); }
    std::string operator()(const NotMeasured& lack) const {
        return "positions not measured: " + names_of(lack.positions);
    }
    std::string operator()(const RangeTooShort& lack) const {
        return fmt::format("{} has {:.0f} dB of decay range at {} Hz, {:.0f} are needed for T20: {}",
                           lack.position.name(), lack.range_db, label(lack.band), lack.needed_db,
                           lack.sweeps ? fmt::format("repeat with {} sweeps, or louder", *lack.sweeps)
                                       : "play louder or wait until the room is quieter, and repeat");
    }
    std::string operator()(const TakeRejected& lack) const {
        std::string failed;
        for (const FailedCheck& check : lack.checks)
            failed += (failed.empty() ? "" : "; ") + std::string(code(check.name)) +
                      (check.advice.empty() ? "" : ": " + check.advice);
        return fmt::format("{} was rejected by its own checks{}: repeat it", lack.position.name(),
                           failed.empty() ? "" : " (" + failed + ")");
    }
    std::string operator()(const ReturnMissing& lack) const {
        return fmt::format("the return: move the microphone away, back to {}, and measure again",
                           lack.position.name());
    }
    std::string operator()(const ProtocolBlank& lack) const {
        return fmt::format("in visits/{}/visit.toml: {}", lack.visit, fmt::join(lack.keys, ", "));
    }
    std::string operator()(const VisitBeforeMissing& lack) const {
        return lack.positions.empty() ? "a visit before the build, to compare with"
                                      : "the visit before the build: " + names_of(lack.positions);
    }
    std::string operator()(const VisitAfterMissing&) const { return "a visit after the build"; }
    std::string operator()(const EvidenceChanged& lack) const {
        return fmt::format("the evidence as it was kept ({}): ebbmark verify {} tells more; restore these "
                           "files from the copy on your second disk",
                           words_for(lack.faults), lack.job);
    }
};

struct StepWords {
    std::string operator()(const FillInPlan& step) const {
        return fmt::format("fill in {}/job.toml; the examples in it show how", step.job);
    }
    std::string operator()(const MeasureBefore& step) const {
        return fmt::format("record the sweep at each position and bring it in: ebbmark import {} before "
                           "RECORDING {} --sweep SWEEP.toml",
                           step.job, step.first.name());
    }
    std::string operator()(const NotYet& step) const { return "not yet: " + sentence(step.lack); }
    std::string operator()(const CopyJob& step) const {
        return fmt::format(
            "copy {} to a second disk and check the copy there: ebbmark verify COPY --digest {}", step.job,
            step.digest);
    }
    std::string operator()(const KeepPrediction& step) const {
        return fmt::format("keep a prediction: ebbmark predict {} --keep", step.job);
    }
    std::string operator()(const MakePromise& step) const {
        return "make the promise and give the client the page before the build: ebbmark promise " + step.job;
    }
    std::string operator()(const BuildAndMeasure& step) const {
        return fmt::format("build the traps, then measure the same positions: ebbmark import {} after "
                           "RECORDING {} --sweep SWEEP.toml",
                           step.job, step.first.name());
    }
    std::string operator()(const ForecastAsBuilt& step) const {
        return fmt::format("built otherwise than planned: {}; work out what was built, beside what was "
                           "promised: ebbmark predict {} --as-built --keep",
                           fmt::join(step.traps, ", "), step.job);
    }
    std::string operator()(const CompareVisits& step) const {
        return fmt::format("see what changed: ebbmark compare {}{}", step.job,
                           step.visit == "after" ? "" : " --to-visit " + step.visit);
    }
    std::string operator()(const MakeProof& step) const {
        return "make the pages for the invoice: ebbmark proof " + step.job;
    }
};

} // namespace

std::string sentence(PlanItem item) {
    switch (item) {
    case PlanItem::title:
        return "job.title in job.toml";
    case PlanItem::room_size:
        return "the room's length, width and height in job.toml";
    case PlanItem::source:
        return "a loudspeaker place, [[source]], in job.toml";
    case PlanItem::microphone:
        break;
    }
    return "a microphone place, [[microphone]], in job.toml";
}

std::string sentence(const Lack& lack) {
    return std::visit(LackWords{}, lack);
}

std::string sentence(const Step& step) {
    return std::visit(StepWords{}, step);
}

} // namespace ebbmark
