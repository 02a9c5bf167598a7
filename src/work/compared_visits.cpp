// SPDX-License-Identifier: GPL-3.0-or-later
#include "work/compared_visits.hpp"

#include "base/error.hpp"
#include "job/fixed_plan.hpp"
#include "ringing/ringing.hpp"
#include "work/checked_evidence.hpp"
#include "work/heard_conditions.hpp"
#include "work/measures.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>

namespace ebbmark {

namespace {

[[noreturn]] void refuse(const JobFolder& job, const std::string& what) {
    throw Error(ErrorKind::unusable, fmt::format("{}: {}", job.path().string(), what));
}

/// Every recording that a position's result rests on, as evidence.
void add_evidence(std::vector<EvidenceFile>& files, const JobFolder& job, const std::string& visit,
                  const Position& position) {
    const auto positions = job.takes_in_use(visit);
    for (const Take& take : positions.at(position))
        files.push_back({take.sound, take.sound_sha256});
}

const PositionDecay* at(const std::vector<PositionDecay>& list, const Position& position) {
    const auto it =
        std::find_if(list.begin(), list.end(), [&](const auto& entry) { return entry.position == position; });
    return it == list.end() ? nullptr : &*it;
}

void note_single(std::vector<Note>& notes, const std::vector<PositionDecay>& list,
                 const std::vector<PositionDecay>& other, const std::string& visit) {
    for (const PositionDecay& entry : list)
        if (!at(other, entry.position))
            notes.push_back(MeasuredOnce{entry.position, visit});
}

std::string joined(const std::string& a, const std::string& b) {
    return a.empty() || b.empty() ? a + b : a + ", " + b;
}

VisitConditions conditions_of(const AnalysedJob& job, const std::string& visit) {
    const VisitProtocol& protocol = job.visits().at(visit);
    VisitConditions conditions;
    add_heard(conditions, job, visit);
    conditions.celsius = protocol.temperature_c();
    conditions.humidity_percent = protocol.humidity_percent();
    conditions.equipment = joined(joined(protocol.loudspeaker, protocol.loudspeaker_settings),
                                  joined(protocol.microphone, protocol.recorder));
    conditions.doors_and_windows = joined(protocol.doors, protocol.windows);
    conditions.patches = protocol.patches;
    conditions.persons = protocol.persons ? fmt::format("{}", *protocol.persons) : "";
    conditions.ventilation = protocol.ventilation;
    return conditions;
}

/// The question as it was fixed before the visit after the build, else as it stands in job.toml now.
Question question_of(const JobFolder& job) {
    const auto& fixed = job.fixed_question();
    const JobQuestion& asked = fixed ? fixed->question : job.description().question;
    Question question;
    question.from_hz = asked.from_hz;
    question.to_hz = asked.to_hz;
    if (asked.kind == JobQuestion::Kind::modes)
        question.modes_hz = asked.modes_hz;
    question.text = question.modes_hz.empty()
                        ? fmt::format("mean decay, {:g} to {:g} Hz", asked.from_hz, asked.to_hz)
                        : fmt::format("decay of the modes at {:.4g} Hz", fmt::join(asked.modes_hz, ", "));
    question.fixed = !fixed                   ? "not fixed yet: as job.toml says now"
                     : fixed->promise.empty() ? "in the job, on " + fixed->fixed_at
                                              : "in the promise";
    return question;
}

std::optional<AcceptanceRule> acceptance_of(const JobFolder& job) {
    const auto& fixed = job.fixed_question();
    const auto& agreed = fixed ? fixed->acceptance : job.description().acceptance;
    return agreed ? std::optional(AcceptanceRule{agreed->at_least_percent}) : std::nullopt;
}

/// That of the promise where there is one, else the last one stored before this visit.
const StoredPrediction* prediction_that_counts(const JobFolder& job, const std::string& visit) {
    if (job.fixed_question())
        if (const StoredPromise* promise = promise_that_counts(job.fixed_question(), job.promises()))
            for (const StoredPrediction& stored : job.predictions())
                if (stored.file == promise->prediction)
                    return &stored;
    return prediction_for(job.predictions(), visit);
}

/// The stored prediction, and whether it was there before this visit.
void add_prediction(CompareReport& report, CompareOptions& options, const JobFolder& job) {
    const StoredPrediction* stored = prediction_that_counts(job, report.after);
    if (!stored)
        return;
    options.prediction = stored->prediction;
    options.prediction->stored_before = stored->is_before(report.after);
    report.prediction = PredictionSource{{stored->file, stored->sha256}, stored->stored_at};
}

void add_targets(CompareReport& report, const std::string& visit, const VisitResult& result) {
    for (const TargetResult& target : result.targets)
        report.targets.push_back({visit, target.name, target.nominal_s, target.bands, target.not_judged});
}

/// A visit, analysed once for all comparisons that it is in.
struct VisitData {
    std::string name;
    std::vector<PositionDecay> positions, returns;
};

VisitData measured(const AnalysedJob& job, const std::string& name, const DecayOptions& options,
                   Progress& progress) {
    return {name, analyse_visit(job, name, options, TakeSet::positions, progress),
            analyse_visit(job, name, options, TakeSet::returns, progress)};
}

/// What the visit's first position gave again after the microphone had been away.
void add_returns(std::vector<RepeatedTake>& returns, const VisitData& visit) {
    for (const PositionDecay& again : visit.returns)
        if (const PositionDecay* first = at(visit.positions, again.position))
            returns.push_back({first->decay, again.decay});
}

/// Two visits ready to be compared.
struct Prepared {
    CompareReport report; ///< without its comparison
    StatePair states;
    std::vector<Position> positions;
    std::vector<Condition> takes; ///< what the takes themselves say
};

void pair_positions(Prepared& prepared, const JobFolder& job, const VisitData& from, const VisitData& to) {
    const JobDescription fixed = as_fixed(job);
    for (const PositionDecay& entry : from.positions) {
        const PositionDecay* other = at(to.positions, entry.position);
        if (!other)
            continue;
        prepared.states.before.push_back(entry.decay);
        prepared.states.after.push_back(other->decay);
        prepared.positions.push_back(entry.position);
        prepared.states.options.places.push_back(entry.position.name());
        prepared.states.options.listening.push_back(is_listening(fixed, entry.position));
        add_evidence(prepared.report.before_files, job, from.name, entry.position);
        add_evidence(prepared.report.after_files, job, to.name, entry.position);
    }
    if (prepared.positions.empty())
        refuse(job,
               fmt::format("visits {} and {} have no position in common; measure the same positions again",
                           from.name, to.name));
}

Prepared prepare(const AnalysedJob& job, const VisitData& from, const VisitData& to,
                 const DecayOptions& asked) {
    Prepared prepared;
    CompareReport& report = prepared.report;
    CompareOptions& options = prepared.states.options;
    options.shown_from_hz = asked.from_hz;
    options.shown_to_hz = asked.to_hz;
    report.simulated = job.simulated();
    report.before = from.name;
    report.after = to.name;
    options.volume_m3 = report.volume_m3 = job.description().room.volume_m3;
    options.question = question_of(job);
    options.acceptance = acceptance_of(job);
    add_prediction(report, options, job);
    options.before_conditions = conditions_of(job, from.name);
    options.after_conditions = conditions_of(job, to.name);
    prepared.takes = compared_takes(job, from.name, to.name);
    const JobDescription fixed = as_fixed(job);
    const VisitResult first = visit_result(fixed, job.visits().at(from.name), from.positions, {});
    options.schroeder_hz = first.statement.schroeder_hz;
    add_targets(report, from.name, first);
    add_targets(report, to.name, visit_result(fixed, job.visits().at(to.name), to.positions, {}));
    add_returns(options.returns, from);
    add_returns(options.returns, to);
    pair_positions(prepared, job, from, to);
    return prepared;
}

/// What comes from the responses themselves.
void add_measures(Prepared& prepared, const AnalysedJob& job, const VisitData& from, const VisitData& to) {
    CompareReport& report = prepared.report;
    CompareOptions& options = prepared.states.options;
    const SamePositions visits{from.name, to.name, prepared.positions};
    report.bass_response = bass_response_of(job, visits, options.listening);
    options.alike = alike_places(job, visits);
    // Modes lie in the bass; who looks at higher bands alone need not wait for them.
    const bool asked = options.question && !options.question->modes_hz.empty();
    if (asked || options.shown_from_hz <= RingingOptions{}.to_hz) {
        ModesOfTwo modes = modes_of(job, visits, *options.before_conditions, *options.after_conditions);
        options.modes = std::move(modes.pairs);
        report.notes = std::move(modes.notes);
    }
}

CompareReport finished(Prepared prepared, const Comparison& comparison, const VisitData& from,
                       const VisitData& to) {
    CompareReport report = std::move(prepared.report);
    report.comparison = comparison;
    auto& conditions = report.comparison.conditions;
    conditions.insert(conditions.end(), prepared.takes.begin(), prepared.takes.end());
    if (const int places = comparison.listening_places; places > 0)
        report.notes.insert(report.notes.begin(), RestsOnListeningPlaces{places, prepared.positions.size()});
    note_single(report.notes, from.positions, to.positions, from.name);
    note_single(report.notes, to.positions, from.positions, to.name);
    return report;
}

/// What the room did from each visit before the build to the next; why a pair tells nothing, in `untold`.
/// Nothing where two of them are compared themselves: what is asked is no allowance for the answer.
std::vector<UntouchedChange> untouched_changes(const AnalysedJob& job, const VisitData& from,
                                               const std::vector<std::string>& later,
                                               const DecayOptions& options, std::vector<Note>& untold,
                                               Progress& progress) {
    if (std::any_of(later.begin(), later.end(), [](const std::string& name) { return is_before(name); }))
        return {};
    std::vector<VisitData> visits;
    for (const std::string& name : visits_before(job.takes()))
        visits.push_back(name == from.name ? from : measured(job, name, options, progress));
    std::vector<UntouchedChange> changes;
    for (std::size_t i = 1; i < visits.size(); ++i) {
        const VisitData &first = visits[i - 1], &next = visits[i];
        const bool common = std::any_of(first.positions.begin(), first.positions.end(),
                                        [&](const auto& one) { return at(next.positions, one.position); });
        std::optional<UntouchedChange> change;
        if (common) {
            const StatePair states = prepare(job, first, next, options).states;
            change = untouched_change(states.before, states.after, states.options);
        }
        if (change)
            changes.push_back({first.name, next.name, std::move(change->changes)});
        else
            untold.push_back(DriftNotTold{first.name, next.name, !common});
    }
    return changes;
}

bool of_one_type(const JobDescription& job, const std::vector<std::string>& names) {
    const std::vector<TrapLayer>* layers = nullptr;
    for (const std::string& name : names)
        for (const JobTrap& trap : job.traps)
            if (trap.name == name) {
                if (layers && *layers != trap.layers)
                    return false;
                layers = &trap.layers;
            }
    return layers != nullptr;
}

void require_known_traps(const JobFolder& job, const std::string& visit) {
    const auto& known = job.description().traps;
    for (const std::string& name : job.visits().at(visit).traps)
        if (std::none_of(known.begin(), known.end(), [&](const JobTrap& trap) { return trap.name == name; }))
            refuse(job,
                   fmt::format("the protocol of visit {} names the trap \"{}\", which is not in job.toml; "
                               "write its name as it stands there",
                               visit, name));
}

/// What each visit's new traps added against the visit before it, where the protocols tell which they are.
void add_by_trap(CompareReport& report, const AnalysedJob& job, const std::vector<VisitData>& visits,
                 const DecayOptions& asked) {
    for (std::size_t i = 1; i < visits.size(); ++i) {
        const auto& before = job.visits().at(visits[i - 1].name).traps;
        const auto& now = job.visits().at(visits[i].name).traps;
        TrapAbsorption step{visits[i - 1].name, visits[i].name, {}, false, {}};
        for (const std::string& name : now)
            if (std::find(before.begin(), before.end(), name) == before.end())
                step.traps.push_back(name);
        const bool only_added = std::all_of(before.begin(), before.end(), [&](const std::string& name) {
            return std::find(now.begin(), now.end(), name) != now.end();
        });
        if (step.traps.empty() || !only_added) {
            report.by_trap.clear();
            report.notes.push_back(TrapsNotTold{step.to_visit, step.from_visit});
            return;
        }
        step.one_type = of_one_type(job.description(), step.traps);
        const StatePair states = prepare(job, visits[i - 1], visits[i], asked).states;
        const Comparison found = compare(states.before, states.after, states.options);
        for (const BandFinding& band : found.bands)
            step.area_m2.emplace_back(band.band, band.added_area_m2);
        report.by_trap.push_back(std::move(step));
    }
}

} // namespace

std::string required_visit_before(const JobFolder& job) {
    const std::string visit = visit_before(job.takes());
    if (visit.empty())
        refuse(job,
               "there is no visit before the build with a usable take; name two visits with --from-visit and "
               "--to-visit");
    return visit;
}

std::vector<std::string> later_visits(const JobFolder& job, const std::string& before) {
    std::map<std::string, std::string> last_take; // time and name, to name
    for (const auto& [name, protocol] : job.visits()) {
        if (is_before(name) || job.takes_in_use(name).empty())
            continue;
        std::string made_at;
        for (const Take& take : job.takes())
            if (take.visit == name && take.in_use())
                made_at = std::max(made_at, take.made_at);
        if (name != before)
            last_take[made_at + ' ' + name] = name;
    }
    if (last_take.empty())
        refuse(job,
               "there is no visit after the build with a usable take; measure it, or name two visits with "
               "--from-visit and --to-visit");
    std::vector<std::string> names;
    for (const auto& [time, name] : last_take)
        names.push_back(name);
    return names;
}

std::vector<std::string> visits_of(const std::string& from, const std::vector<std::string>& later) {
    std::vector<std::string> visits = {from};
    visits.insert(visits.end(), later.begin(), later.end());
    return visits;
}

std::vector<std::string> visits_behind(const JobFolder& job, const std::string& from,
                                       const std::vector<std::string>& later) {
    std::vector<std::string> visits = visits_of(from, later);
    for (const std::string& visit : visits_before(job.takes()))
        if (std::find(visits.begin(), visits.end(), visit) == visits.end())
            visits.push_back(visit);
    return visits;
}

CompareReport compare_visits(const AnalysedJob& job, const std::string& from_visit,
                             const std::vector<std::string>& later, const DecayOptions& asked,
                             Progress& progress) {
    return compare_visits_whole(job, from_visit, later, asked, progress).report;
}

CompareReport compare_job(const AnalysedJob& job, const std::string& from_visit,
                          const std::vector<std::string>& later, const DecayOptions& asked, MadeOf made_of,
                          Progress& progress) {
    const auto faults = evidence_faults(verify(job.path()));
    AnewResponses anew;
    if (made_of == MadeOf::recordings)
        anew = make_responses_anew(job, visits_behind(job, from_visit, later), progress);
    CompareReport report = compare_visits(job, from_visit, later, asked, progress);
    report.evidence_faults = faults;
    if (made_of == MadeOf::kept_responses)
        report.notes.push_back(MadeFromKept{});
    else if (anew.differing)
        report.notes.push_back(*anew.differing);
    if (const auto differs =
            plan_differs(job.description(), job.fixed_question(), job.promises(), job.path().string()))
        report.notes.push_back(*differs);
    return report;
}

CompareReport findings_of(const AnalysedJob& job, const Verification& verification, Progress& progress) {
    const std::string from = required_visit_before(job);
    CompareReport report = compare_visits(job, from, later_visits(job, from), {}, progress);
    report.evidence_faults = evidence_faults(verification);
    return report;
}

ComparedVisits compare_visits_whole(const AnalysedJob& job, const std::string& from_visit,
                                    const std::vector<std::string>& later, const DecayOptions& asked,
                                    Progress& progress) {
    for (const std::string& name : later)
        if (job.visits().contains(name))
            require_known_traps(job, name);
    // All bands, whatever is shown: what they know of the scatter, and the question's.
    DecayOptions options = asked;
    options.from_hz = std::min(asked.from_hz, DecayOptions{}.from_hz);
    options.to_hz = std::max(asked.to_hz, DecayOptions{}.to_hz);
    std::vector<VisitData> visits = {measured(job, from_visit, options, progress)};
    for (const std::string& name : later)
        visits.push_back(measured(job, name, options, progress));
    std::vector<Note> untold;
    const auto untouched = untouched_changes(job, visits.front(), later, options, untold, progress);
    std::vector<Prepared> prepared;
    std::vector<StatePair> states;
    for (std::size_t i = 1; i < visits.size(); ++i) {
        prepared.push_back(prepare(job, visits.front(), visits[i], asked));
        prepared.back().states.options.untouched = untouched;
        add_measures(prepared.back(), job, visits.front(), visits[i]);
        states.push_back(prepared.back().states);
    }
    const auto comparisons = compare_chain(states);
    std::vector<CompareReport> reports;
    for (std::size_t i = 0; i < prepared.size(); ++i)
        reports.push_back(finished(std::move(prepared[i]), comparisons[i], visits.front(), visits[i + 1]));
    CompareReport report = std::move(reports.back());
    reports.pop_back();
    report.earlier = std::move(reports);
    report.notes.insert(report.notes.end(), untold.begin(), untold.end());
    if (later.size() > 1)
        add_by_trap(report, job, visits, asked);
    const auto result = [&](const VisitData& visit) {
        return visit_result(as_fixed(job), job.visits().at(visit.name), visit.positions, visit.returns);
    };
    return {std::move(report), result(visits.front()), result(visits.back())};
}

} // namespace ebbmark
