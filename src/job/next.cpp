// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/next.hpp"

#include "job/fixed_plan.hpp"
#include "job/trap_plan.hpp"

#include <algorithm>
#include <cmath>
#include <set>

namespace ebbmark {

namespace {

// ISO 3382-1:2009, 5.3.3: T20 needs its 25 dB and 10 dB more down to the noise.
constexpr double needed_range_db = 35;
// Beyond this, more sweeps cost more time than a louder or quieter set-up: common practice, no source.
constexpr int most_sweeps = 16;
// ISO 3382-2:2008, table 1: the engineering method has six source-microphone pairs.
constexpr std::size_t wanted_positions = 6;

std::vector<PlanItem> missing_in_description(const JobDescription& job) {
    std::vector<PlanItem> missing;
    if (job.title.empty())
        missing.push_back(PlanItem::title);
    if (!job.room.volume_m3)
        missing.push_back(PlanItem::room_size);
    if (job.sources.empty())
        missing.push_back(PlanItem::source);
    if (job.microphones.empty())
        missing.push_back(PlanItem::microphone);
    return missing;
}

std::set<Position> planned_positions(const JobDescription& job) {
    std::set<Position> positions;
    for (const SourcePlace& source : job.sources)
        for (const MicrophonePlace& microphone : job.microphones)
            positions.insert({source.id, microphone.id});
    return positions;
}

std::set<Position> measured_positions(const JobState& state, std::string_view visit, bool returns = false) {
    std::set<Position> positions;
    for (const Take& take : state.takes)
        if (take.visit == visit && take.in_use() && take.is_return == returns)
            positions.insert(take.position);
    return positions;
}

/// The visit in which something was kept last; empty without takes.
std::string latest_visit(const JobState& state) {
    const auto latest =
        std::max_element(state.takes.begin(), state.takes.end(), [](const Take& a, const Take& b) {
            return std::tie(a.made_at, a.visit) < std::tie(b.made_at, b.visit);
        });
    return latest == state.takes.end() ? "" : latest->visit;
}

/// What is to be measured in a visit: after the build, what was measured before it.
std::set<Position> wanted(const JobState& state, const std::string& visit) {
    const std::string before = visit_before(state.takes);
    return before.empty() || before == visit ? planned_positions(state.description)
                                             : measured_positions(state, before);
}

/// Sweeps that average the noise down by what is missing: 3 dB for each doubling. Nothing where they would be
/// too many.
std::optional<int> sweeps_against_noise(const Take& take, double lacking_db) {
    const int repeats = take.sweep ? take.sweep->repeats : 1;
    const double needed = repeats * std::pow(10, lacking_db / 10);
    return needed > most_sweeps ? std::nullopt : std::optional(static_cast<int>(std::ceil(needed)));
}

bool is_asked(const JobQuestion& question, const Band& band) {
    if (question.kind == JobQuestion::Kind::bands)
        return band.nominal_hz >= question.from_hz && band.nominal_hz <= question.to_hz;
    return std::any_of(question.modes_hz.begin(), question.modes_hz.end(),
                       [&](double hz) { return hz >= band.lower_hz && hz < band.upper_hz; });
}

/// The band of the question with the least decay range in one take, where it is too little.
std::optional<RangeTooShort> lacking_range(const JobState& state, const Take& take) {
    const auto decay = state.decays.find(take.id());
    if (decay == state.decays.end())
        return {};
    const JobQuestion& question =
        state.fixed_question ? state.fixed_question->question : state.description.question;
    const BandDecay* worst = nullptr;
    for (const BandDecay& band : decay->second.bands) {
        const bool asked = is_asked(question, band.band);
        const bool lacks = band.decay_range_db && *band.decay_range_db < needed_range_db;
        if (asked && lacks && (!worst || *band.decay_range_db < *worst->decay_range_db))
            worst = &band;
    }
    if (!worst)
        return {};
    const double range = *worst->decay_range_db;
    return RangeTooShort{take.position, range, worst->band, needed_range_db,
                         sweeps_against_noise(take, needed_range_db - range)};
}

TakeRejected rejected(const Take& take) {
    TakeRejected lack{take.position, {}};
    for (const QualityCheck& check : take.checks)
        if (check.outcome == CheckOutcome::rejected)
            lack.checks.push_back({check.name, check.advice});
    return lack;
}

/// Positions whose takes were all rejected or lack range; one sound take is enough.
std::vector<Lack> weak_positions(const JobState& state, const std::string& visit) {
    std::map<Position, Lack> reasons;
    std::set<Position> good;
    for (const Take& take : state.takes) {
        if (take.visit != visit || take.is_return || !take.excluded_because.empty())
            continue;
        if (!take.accepted)
            reasons[take.position] = rejected(take);
        else if (const auto range = lacking_range(state, take))
            reasons[take.position] = *range;
        else
            good.insert(take.position);
    }
    std::vector<Lack> weak;
    for (const auto& [position, reason] : reasons)
        if (!good.contains(position))
            weak.push_back(reason);
    return weak;
}

NextSteps plan(const JobState& state, const std::vector<PlanItem>& missing) {
    NextSteps steps{"plan", "", {missing.begin(), missing.end()}, {FillInPlan{state.path}}, {}, {}};
    for (const std::string& doubt : state.description.doubts)
        steps.notes.push_back(PlanDoubt{doubt});
    return steps;
}

void advise_number(const JobState& state, NextSteps& steps) {
    if (const auto planned = planned_positions(state.description).size();
        planned > 1 && planned < wanted_positions)
        steps.notes.push_back(FewPositions{planned, wanted_positions});
}

NextSteps start_measuring(const JobState& state) {
    NextSteps steps{"measure", "before", {}, {}, {}, {}};
    const auto planned = planned_positions(state.description);
    steps.missing.push_back(VisitBeforeMissing{{planned.begin(), planned.end()}});
    steps.now.push_back(MeasureBefore{state.path, *planned.begin()});
    steps.notes = plan_notes(state.description);
    advise_number(state, steps);
    return steps;
}

void go_on_measuring(const JobState& state, NextSteps& steps) {
    steps.stage = "measure";
    steps.safe_to_leave = false;
    for (const Lack& lack : steps.missing)
        steps.now.push_back(NotYet{lack});
    if (is_before(steps.visit))
        advise_number(state, steps);
}

void after_before_visit(const JobState& state, NextSteps& steps) {
    steps.missing.push_back(VisitAfterMissing{});
    BuiltToEnter not_built;
    for (const JobTrap& trap : state.description.traps)
        if (!trap.built)
            not_built.traps.push_back(trap.name);
    if (!not_built.traps.empty())
        steps.notes.push_back(not_built);
    const std::string& date = state.visits.at(steps.visit).date;
    if (date != state.today)
        steps.notes.push_back(NotTheDayOfBuild{steps.visit, date});
    if (!state.description.traps.empty() && !last_planned(state.predictions))
        steps.now.push_back(KeepPrediction{state.path});
    if (!state.description.traps.empty() && state.promises.empty())
        steps.now.push_back(MakePromise{state.path});
    steps.now.push_back(BuildAndMeasure{state.path, *first_position(state.takes, steps.visit)});
}

} // namespace

std::vector<Lack> lacking(const JobState& state, const std::string& visit) {
    std::vector<Lack> lacks;
    NotMeasured absent;
    const auto measured = measured_positions(state, visit);
    for (const Position& position : wanted(state, visit))
        if (!measured.contains(position))
            absent.positions.push_back(position);
    if (!absent.positions.empty())
        lacks.push_back(absent);
    for (const Lack& reason : weak_positions(state, visit))
        lacks.push_back(reason);
    const auto first = first_position(state.takes, visit);
    if (first && measured_positions(state, visit, true).empty())
        lacks.push_back(ReturnMissing{*first});
    if (const auto protocol = state.visits.find(visit); protocol != state.visits.end())
        if (const auto blank = blank_items(protocol->second, state.description.room.patches); !blank.empty())
            lacks.push_back(ProtocolBlank{visit, blank});
    return lacks;
}

std::vector<JobNote> plan_notes(const JobDescription& job, const std::vector<Position>& places) {
    std::vector<JobNote> notes;
    for (const std::string& doubt : job.doubts)
        notes.push_back(PlanDoubt{doubt});
    if (places.size() == 1)
        notes.push_back(OnePlaceAlone{places.front().name(), wanted_positions});
    return notes;
}

std::vector<JobNote> plan_notes(const JobDescription& job) {
    const auto planned = planned_positions(job);
    return plan_notes(job, {planned.begin(), planned.end()});
}

JobState state_of(const JobFolder& job, std::string today) {
    return {job.path().string(),
            job.description(),
            job.visits(),
            job.takes(),
            job.fixed_question(),
            job.predictions(),
            job.promises(),
            job.digest(),
            std::move(today),
            {},
            {}};
}

NextSteps next_steps(const JobState& state) {
    const auto blank = missing_in_description(state.description);
    if (!blank.empty() && state.takes.empty())
        return plan(state, blank);
    const std::string visit = latest_visit(state);
    if (visit.empty())
        return start_measuring(state);
    NextSteps steps{"measure", visit, lacking(state, visit), {}, {}, plan_notes(state.description)};
    for (const PlanItem item : blank)
        steps.notes.push_back(StillBlank{item});
    if (const auto differs =
            plan_differs(state.description, state.fixed_question, state.promises, state.path))
        steps.notes.push_back(*differs);
    if (!state.faults.empty())
        steps.missing.insert(steps.missing.begin(), EvidenceChanged{state.faults, state.path});
    if (!steps.missing.empty()) {
        go_on_measuring(state, steps);
        return steps;
    }
    steps.safe_to_leave = true;
    steps.now.push_back(CopyJob{state.path, state.digest});
    if (is_before(visit)) {
        after_before_visit(state, steps);
    } else if (visit_before(state.takes).empty()) {
        steps.missing.push_back(VisitBeforeMissing{});
    } else {
        steps.stage = "compare";
        steps.now.push_back(CompareVisits{state.path, visit});
        if (const auto otherwise = built_otherwise(state.description);
            !otherwise.empty() && !last_as_built(state.predictions))
            steps.now.push_back(ForecastAsBuilt{state.path, otherwise});
        steps.now.push_back(MakeProof{state.path});
    }
    return steps;
}

} // namespace ebbmark
