// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/next.hpp"

#include "job/fixed_plan.hpp"

#include <fmt/format.h>

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

std::string joined(const std::vector<std::string>& words) {
    std::string text;
    for (const std::string& word : words)
        text += (text.empty() ? "" : ", ") + word;
    return text;
}

std::vector<std::string> missing_in_description(const JobDescription& job) {
    std::vector<std::string> missing;
    if (job.title.empty())
        missing.emplace_back("job.title in job.toml");
    if (!job.room.volume_m3)
        missing.emplace_back("the room's length, width and height in job.toml");
    if (job.sources.empty())
        missing.emplace_back("a loudspeaker place, [[source]], in job.toml");
    if (job.microphones.empty())
        missing.emplace_back("a microphone place, [[microphone]], in job.toml");
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

/// The first visit before the build, to which the others compare; empty where there is none.
std::string before_visit(const JobState& state) {
    for (const auto& [name, protocol] : state.visits)
        if (is_before(name) && !measured_positions(state, name).empty())
            return name;
    return "";
}

/// What is to be measured in a visit: after the build, what was measured before it.
std::set<Position> wanted(const JobState& state, const std::string& visit) {
    const std::string before = before_visit(state);
    return before.empty() || before == visit ? planned_positions(state.description)
                                             : measured_positions(state, before);
}

/// Sweeps that average the noise down by what is missing: 3 dB for each doubling.
std::string cure_for_noise(const Take& take, double lacking_db) {
    const int repeats = take.sweep ? take.sweep->repeats : 1;
    const double needed = repeats * std::pow(10, lacking_db / 10);
    if (needed > most_sweeps)
        return "play louder or wait until the room is quieter, and repeat";
    return fmt::format("repeat with {} sweeps, or louder", static_cast<int>(std::ceil(needed)));
}

bool is_asked(const JobQuestion& question, const Band& band) {
    if (question.kind == JobQuestion::Kind::bands)
        return band.nominal_hz >= question.from_hz && band.nominal_hz <= question.to_hz;
    return std::any_of(question.modes_hz.begin(), question.modes_hz.end(),
                       [&](double hz) { return hz >= band.lower_hz && hz < band.upper_hz; });
}

/// The band of the question with the least decay range in one take, where it is too little.
std::optional<std::string> lacking_range(const JobState& state, const Take& take) {
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
    return fmt::format("{} has {:.0f} dB of decay range at {} Hz, {:.0f} are needed for T20: {}",
                       take.position.name(), range, label(worst->band), needed_range_db,
                       cure_for_noise(take, needed_range_db - range));
}

/// Positions whose takes were all rejected or lack range; one sound take is enough.
std::vector<std::string> weak_positions(const JobState& state, const std::string& visit) {
    std::map<Position, std::optional<std::string>> reasons;
    std::set<Position> good;
    for (const Take& take : state.takes) {
        if (take.visit != visit || take.is_return || !take.excluded_because.empty())
            continue;
        auto reason = take.accepted ? lacking_range(state, take) : std::nullopt;
        if (take.accepted && !reason)
            good.insert(take.position);
        std::string failed;
        for (const QualityCheck& check : take.checks)
            if (check.outcome == CheckOutcome::rejected)
                failed += (failed.empty() ? "" : "; ") + std::string(code(check.name)) +
                          (check.advice.empty() ? "" : ": " + check.advice);
        if (!take.accepted)
            reason = fmt::format("{} was rejected by its own checks{}: repeat it", take.position.name(),
                                 failed.empty() ? "" : " (" + failed + ")");
        if (reason)
            reasons[take.position] = reason;
    }
    std::vector<std::string> weak;
    for (const auto& [position, reason] : reasons)
        if (!good.contains(position))
            weak.push_back(*reason);
    return weak;
}

/// What a visit lacks before one may leave the room.
std::vector<std::string> lacking(const JobState& state, const std::string& visit) {
    std::vector<std::string> lacks;
    std::vector<std::string> names;
    const auto measured = measured_positions(state, visit);
    for (const Position& position : wanted(state, visit))
        if (!measured.contains(position))
            names.push_back(position.name());
    if (!names.empty())
        lacks.push_back("positions not measured: " + joined(names));
    for (const std::string& reason : weak_positions(state, visit))
        lacks.push_back(reason);
    const auto first = first_position(state.takes, visit);
    if (first && measured_positions(state, visit, true).empty())
        lacks.push_back(fmt::format("the return: move the microphone away, back to {}, and measure again",
                                    first->name()));
    if (const auto protocol = state.visits.find(visit); protocol != state.visits.end())
        if (const auto blank = blank_items(protocol->second); !blank.empty())
            lacks.push_back(fmt::format("in visits/{}/visit.toml: {}", visit, joined(blank)));
    return lacks;
}

NextSteps plan(const JobState& state, std::vector<std::string> missing) {
    NextSteps steps{"plan", "", std::move(missing), {}, {}, {}};
    steps.now.push_back("fill in " + state.path + "/job.toml; the examples in it show how");
    return steps;
}

void advise_number(const JobState& state, NextSteps& steps) {
    if (planned_positions(state.description).size() < wanted_positions)
        steps.notes.push_back(
            fmt::format("job.toml has {} positions; with {} or more the comparison can show smaller "
                        "changes",
                        planned_positions(state.description).size(), wanted_positions));
}

NextSteps start_measuring(const JobState& state) {
    NextSteps steps{"measure", "before", {}, {}, {}, {}};
    std::vector<std::string> names;
    for (const Position& position : planned_positions(state.description))
        names.push_back(position.name());
    steps.missing.push_back("the visit before the build: " + joined(names));
    steps.now.push_back("record the sweep at each position and bring it in: ebbmark import " + state.path +
                        " before RECORDING " + names.front() + " --sweep SWEEP.toml");
    advise_number(state, steps);
    return steps;
}

void go_on_measuring(const JobState& state, NextSteps& steps) {
    steps.stage = "measure";
    steps.safe_to_leave = false;
    for (const std::string& lack : steps.missing)
        steps.now.push_back("not yet: " + lack);
    if (is_before(steps.visit))
        advise_number(state, steps);
}

std::string copy_advice(const JobState& state) {
    return fmt::format("copy {} to a second disk and check the copy there: ebbmark verify COPY --digest {}",
                       state.path, state.digest);
}

void after_before_visit(const JobState& state, NextSteps& steps) {
    steps.missing.push_back("a visit after the build");
    std::vector<std::string> not_built;
    for (const JobTrap& trap : state.description.traps)
        if (!trap.built)
            not_built.push_back(trap.name);
    if (!not_built.empty())
        steps.notes.push_back("after the build, enter in [trap.built] what really stands there: " +
                              joined(not_built));
    const std::string& date = state.visits.at(steps.visit).date;
    if (date != state.today)
        steps.notes.push_back(
            fmt::format("the visit \"{}\" was on {}: measure once more on the day of the build, "
                        "before it begins, as a visit \"before-2\"; the difference is the drift "
                        "without traps",
                        steps.visit, date));
    if (!state.description.traps.empty() && state.predictions.empty())
        steps.now.push_back("keep a prediction: ebbmark predict " + state.path + " --keep");
    if (!state.description.traps.empty() && state.promises.empty())
        steps.now.push_back(
            "make the promise and give the client the page before the build: ebbmark promise " + state.path);
    steps.now.push_back("build the traps, then measure the same positions: ebbmark import " + state.path +
                        " after RECORDING " + first_position(state.takes, steps.visit)->name() +
                        " --sweep SWEEP.toml");
}

} // namespace

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
    NextSteps steps{"measure", visit, lacking(state, visit), {}, {}, {}};
    for (const std::string& item : blank)
        steps.notes.push_back("still missing: " + item);
    if (const auto note =
            difference_note(state.description, state.fixed_question, state.promises, state.path);
        !note.empty())
        steps.notes.push_back(note);
    if (!state.faults.empty())
        steps.missing.insert(
            steps.missing.begin(),
            fmt::format("the evidence as it was kept ({}): ebbmark verify {} tells more; restore "
                        "these files from the copy on your second disk",
                        state.faults, state.path));
    if (!steps.missing.empty()) {
        go_on_measuring(state, steps);
        return steps;
    }
    steps.safe_to_leave = true;
    steps.now.push_back(copy_advice(state));
    if (is_before(visit)) {
        after_before_visit(state, steps);
    } else if (before_visit(state).empty()) {
        steps.missing.emplace_back("a visit before the build, to compare with");
    } else {
        steps.stage = "compare";
        steps.now.push_back(fmt::format("see what changed: ebbmark compare {}{}", state.path,
                                        visit == "after" ? "" : " --to-visit " + visit));
        steps.now.push_back("make the pages for the invoice: ebbmark proof " + state.path);
    }
    return steps;
}

} // namespace ebbmark
