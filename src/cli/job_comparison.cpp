// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/job_comparison.hpp"

#include "base/error.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace ebbmark {

namespace {

std::vector<std::string> visits_with_takes(const JobFolder& job, bool before) {
    std::vector<std::string> names;
    for (const auto& [name, protocol] : job.visits())
        if (is_before(name) == before && !job.takes_in_use(name).empty())
            names.push_back(name);
    return names;
}

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

void note_single(std::vector<std::string>& notes, const std::vector<PositionDecay>& list,
                 const std::vector<PositionDecay>& other, const std::string& visit) {
    for (const PositionDecay& entry : list)
        if (!at(other, entry.position))
            notes.push_back(fmt::format("Position {} was measured in visit {} only and is left out.",
                                        entry.position.name(), visit));
}

std::optional<double> mean_of_ends(const std::optional<double>& start, const std::optional<double>& end) {
    if (start && end)
        return 0.5 * (*start + *end);
    return start ? start : end;
}

std::string joined(const std::string& a, const std::string& b) {
    return a.empty() || b.empty() ? a + b : a + ", " + b;
}

VisitConditions conditions_of(const VisitProtocol& protocol) {
    VisitConditions conditions;
    conditions.celsius = mean_of_ends(protocol.temperature_start_c, protocol.temperature_end_c);
    conditions.humidity_percent =
        mean_of_ends(protocol.humidity_start_percent, protocol.humidity_end_percent);
    conditions.equipment = joined(joined(protocol.loudspeaker, protocol.loudspeaker_settings),
                                  joined(protocol.microphone, protocol.recorder));
    conditions.doors_and_windows = joined(protocol.doors, protocol.windows);
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
    question.fixed = fixed ? "in the job, on " + fixed->fixed_at : "not fixed yet: as job.toml says now";
    return question;
}

std::optional<AcceptanceRule> acceptance_of(const JobFolder& job) {
    const auto& fixed = job.fixed_question();
    const auto& agreed = fixed ? fixed->acceptance : job.description().acceptance;
    return agreed ? std::optional(AcceptanceRule{agreed->at_least_percent}) : std::nullopt;
}

/// What the visit's first position gave again after the microphone had been away.
void add_returns(std::vector<RepeatedTake>& returns, const JobFolder& job, const std::string& visit,
                 const std::vector<PositionDecay>& positions, const DecayOptions& options,
                 Progress& progress) {
    for (const PositionDecay& again : analyse_visit(job, visit, options, true, progress))
        if (const PositionDecay* first = at(positions, again.position))
            returns.push_back({first->decay, again.decay});
}

/// The stored prediction, and whether it was there before this visit.
void add_prediction(CompareReport& report, CompareOptions& options, const JobFolder& job) {
    const StoredPrediction* stored = prediction_for(job.predictions(), report.after);
    if (!stored)
        return;
    options.prediction = stored->prediction;
    options.prediction->stored_before = stored->is_before(report.after);
    report.prediction = PredictionSource{{stored->file, stored->sha256}, stored->stored_at};
}

bool is_listening(const JobFolder& job, const Position& position) {
    const MicrophonePlace* place = job.description().microphone(position.microphone);
    return place && place->listening;
}

} // namespace

std::string first_before(const JobFolder& job) {
    const auto names = visits_with_takes(job, true);
    if (names.empty())
        refuse(job,
               "there is no visit before the build with a usable take; name two visits with --from-visit and "
               "--to-visit");
    return names.front();
}

std::string latest_other(const JobFolder& job, const std::string& before) {
    std::string latest, made_at;
    for (const Take& take : job.takes())
        if (take.in_use() && take.visit != before && !is_before(take.visit) && take.made_at >= made_at) {
            latest = take.visit;
            made_at = take.made_at;
        }
    if (latest.empty())
        refuse(job,
               "there is no visit after the build with a usable take; measure it, or name two visits with "
               "--from-visit and --to-visit");
    return latest;
}

CompareReport compare_visits(const JobFolder& job, const std::string& from_visit, const std::string& to_visit,
                             const DecayOptions& options, Progress& progress) {
    const auto before = analyse_visit(job, from_visit, options, false, progress);
    const auto after = analyse_visit(job, to_visit, options, false, progress);
    CompareReport report;
    report.simulated = job.simulated();
    report.before = from_visit;
    report.after = to_visit;
    CompareOptions compared;
    compared.volume_m3 = report.volume_m3 = job.description().room.volume_m3;
    compared.question = question_of(job);
    compared.acceptance = acceptance_of(job);
    add_prediction(report, compared, job);
    compared.before_conditions = conditions_of(job.visits().at(from_visit));
    compared.after_conditions = conditions_of(job.visits().at(to_visit));
    compared.schroeder_hz =
        visit_result(job.description(), job.visits().at(from_visit), before, {}).statement.schroeder_hz;
    add_returns(compared.returns, job, from_visit, before, options, progress);
    add_returns(compared.returns, job, to_visit, after, options, progress);
    std::vector<ResponseDecay> first, second;
    for (const PositionDecay& entry : before) {
        const PositionDecay* other = at(after, entry.position);
        if (!other)
            continue;
        first.push_back(entry.decay);
        second.push_back(other->decay);
        compared.listening.push_back(is_listening(job, entry.position));
        add_evidence(report.before_files, job, from_visit, entry.position);
        add_evidence(report.after_files, job, to_visit, entry.position);
    }
    if (first.empty())
        refuse(job,
               fmt::format("visits {} and {} have no position in common; measure the same positions again",
                           from_visit, to_visit));
    report.comparison = compare(first, second, compared);
    if (const int places = report.comparison.listening_places; places > 0)
        report.comparison.notes.push_back(
            fmt::format("The figures rest on the {} positions at listening places, not on all {}.", places,
                        first.size()));
    note_single(report.comparison.notes, before, after, from_visit);
    note_single(report.comparison.notes, after, before, to_visit);
    return report;
}

} // namespace ebbmark
