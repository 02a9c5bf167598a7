// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/comparison.hpp"

#include "base/normal.hpp"
#include "verdict/added_absorption.hpp"
#include "verdict/allowances.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cassert>
#include <cmath>
#include <map>
#include <numeric>
#include <set>

namespace ebbmark {

namespace {

/// A comparison before its bands and modes are judged together.
struct Draft {
    Comparison result;
    double shown_from_hz = 0, shown_to_hz = 1e9;
    std::vector<BandChange> changes;  ///< with the drift
    std::vector<BandChange> measured; ///< without it
    std::vector<ModePair> modes;      ///< with the drift
    ConditionsResult conditions;
};

std::optional<double> exponential(const std::optional<double>& log) {
    return log ? std::optional(std::exp(*log)) : std::nullopt;
}

ChangeRules rules_of(const CompareOptions& options) {
    return {options.paired, options.metric, options.returns, options.listening, options.alike, {}, {}};
}

/// The conditions need the decay times, which they correct: estimated first without them.
void weigh(Draft& draft, const std::vector<ResponseDecay>& before, const std::vector<ResponseDecay>& after,
           const CompareOptions& options) {
    ChangeRules rules = rules_of(options);
    draft.changes = estimate_changes(before, after, rules);
    std::vector<Band> bands;
    std::vector<std::optional<double>> after_s;
    for (const BandChange& change : draft.changes) {
        bands.push_back(change.values.band);
        after_s.push_back(exponential(change.after_log_s));
    }
    if (!options.before_conditions || !options.after_conditions) {
        for (std::size_t b = 0; b < bands.size(); ++b)
            rules.common_variance.push_back(
                another_microphone_variance() +
                (after_s[b] ? unrecorded_air_variance(bands[b], *after_s[b]) : 0));
        draft.changes = estimate_changes(before, after, rules);
        return;
    }
    draft.conditions =
        weigh_conditions(*options.before_conditions, *options.after_conditions, bands, after_s);
    rules.correction = draft.conditions.correction;
    rules.common_variance = draft.conditions.common_variance;
    draft.changes = estimate_changes(before, after, rules);
}

// --- drift

void widen(std::optional<MeanEstimate>& estimate, const Spread& drift) {
    if (estimate)
        estimate = with_drift(*estimate, drift);
}

/// That of the band around a frequency.
Spread drift_at(const std::vector<UntouchedChange>& untouched, double hz) {
    for (const UntouchedChange& pair : untouched)
        for (const BandChange& change : pair.changes)
            if (hz >= change.values.band.lower_hz && hz < change.values.band.upper_hz)
                return drift_of_band(untouched, change.values.band);
    return {};
}

/// Every interval holds what the room does from one visit to the next, where that is known.
void add_drift(Draft& draft, const CompareOptions& options) {
    draft.measured = draft.changes;
    draft.modes = options.modes;
    for (BandChange& change : draft.changes) {
        const Spread drift = drift_of_band(options.untouched, change.values.band);
        for (auto* estimate : {&change.here, &change.general, &change.after, &change.at_most})
            widen(*estimate, drift);
    }
    for (ModePair& mode : draft.modes)
        widen(mode.change, drift_at(options.untouched, mode.before_hz));
}

/// As question_change(), with the drift of that very mean.
QuestionChange question_with_drift(const Draft& draft, const CompareOptions& options,
                                   const std::vector<Band>& only = {}) {
    QuestionChange change = question_change(draft.measured, *options.question, only);
    const Spread drift = drift_of_mean(options.untouched, draft.measured, change);
    for (auto* estimate : {&change.here, &change.general, &change.after})
        widen(*estimate, drift);
    return change;
}

std::optional<UncertaintyBudget> budget_of_question(const Draft& draft, const CompareOptions& options,
                                                    const Question& question) {
    const QuestionChange change = question_change(draft.measured, question);
    return budget_of(draft.measured, change,
                     draft.result.reproducibility_measured ? ScatterFrom::returns : ScatterFrom::places,
                     drift_of_mean(options.untouched, draft.measured, change));
}

DriftFinding describe_drift(const UntouchedChange& pair, const Question& question) {
    DriftFinding finding{pair.from, pair.to, Measured::none(Empty::one_position), {}};
    const QuestionChange change = question_change(pair.changes, question);
    if (question.modes_hz.empty() && change.here)
        finding.change_percent = percent_with_interval(*change.here);
    for (const std::size_t band : change.bands)
        finding.bands.push_back(pair.changes[band].values.band);
    return finding;
}

/// "+1.2", "-0.3"; nothing moved is "0.0".
std::string signed_tenth(double percent) {
    return std::abs(percent) < 0.05 ? "0.0" : fmt::format("{:+.1f}", percent);
}

/// A line among the conditions for each pair of visits before the build.
void describe_drifts(Comparison& result, const CompareOptions& options) {
    for (const UntouchedChange& pair : options.untouched) {
        DriftFinding finding = describe_drift(pair, options.question.value_or(Question{"", 40, 200, {}, ""}));
        std::string effect = "nothing was built between them: ";
        if (const Measured& change = finding.change_percent; change && change.low && change.high)
            effect +=
                fmt::format("mean decay, {} to {} Hz, changed by {} % ({} to {} %); ",
                            label(finding.bands.front()), label(finding.bands.back()), signed_tenth(*change),
                            signed_tenth(*change.low), signed_tenth(*change.high));
        effect += "intervals widened by what is more than measuring again explains";
        result.conditions.push_back(
            {"visits before the build", pair.from, pair.to, ConditionEffect::widened, effect});
        result.drift.push_back(std::move(finding));
    }
}

// --- bands

void describe_bound(BandFinding& finding, const BandChange& change) {
    double sum = 0, highest = -INFINITY;
    std::size_t count = 0;
    for (const PositionPair& pair : change.values.pairs) {
        if (std::find(change.places.begin(), change.places.end(), pair.position) == change.places.end())
            continue;
        sum += *pair.before.log_s;
        ++count;
        highest = std::max(highest, pair.after.log_s.value_or(pair.after.log_bound.value_or(-INFINITY)));
    }
    for (const DecayValue& value : change.values.before) {
        sum += value.log_s.value_or(0);
        ++count;
    }
    for (const DecayValue& value : change.values.after)
        highest = std::max(highest, value.log_s.value_or(value.log_bound.value_or(-INFINITY)));
    if (count == 0 || !std::isfinite(highest))
        return;
    finding.before_s = std::exp(sum / static_cast<double>(count));
    finding.after_at_most_s = std::exp(highest);
    if (*finding.after_at_most_s < *finding.before_s)
        finding.notes.push_back(BoundedByFilter{100 * (1 - *finding.after_at_most_s / *finding.before_s)});
    if (change.at_most)
        finding.change_at_most_percent = to_percent(change.at_most->mean + half_width(*change.at_most, 0.95));
}

void note_bounded(BandFinding& finding, const BandChange& change) {
    if (change.completed)
        finding.notes.push_back(UpperBoundsEntered{change.values.bounded(),
                                                   change.values.pairs.size() + change.values.after.size()});
    if (change.values.left_out > 0 && change.before_log_s)
        finding.notes.push_back(
            PositionsLeftOut{change.values.left_out, change.values.why_left_out.value_or(Empty::noise)});
}

std::string name_of(std::size_t place, const CompareOptions& options) {
    return place < options.places.size() ? options.places[place] : std::to_string(place + 1);
}

/// Of these places; of states that are not paired, of all.
std::vector<std::string> names_of(const std::vector<std::size_t>& places, const CompareOptions& options) {
    if (!options.paired)
        return options.places;
    std::vector<std::string> names;
    for (const std::size_t place : places)
        names.push_back(name_of(place, options));
    return names;
}

BandFinding describe(const BandChange& change, const CompareOptions& options) {
    BandFinding finding;
    finding.band = change.values.band;
    finding.metric = options.metric;
    finding.positions = change.positions;
    finding.places = names_of(change.places, options);
    finding.before_s = exponential(change.before_log_s);
    finding.after_s = exponential(change.after_log_s);
    if (!change.before_log_s) {
        const bool bounded = change.values.bounded() > 0;
        finding.change_percent =
            Measured::none(bounded ? Empty::filter : change.values.why_left_out.value_or(Empty::noise));
        finding.general_percent = finding.change_percent;
        if (bounded)
            describe_bound(finding, change);
        return finding;
    }
    note_bounded(finding, change);
    if (change.here)
        finding.change_percent = percent_with_interval(*change.here);
    else
        finding.change_percent = Measured::of(to_percent(*change.after_log_s - *change.before_log_s));
    finding.general_percent =
        change.general ? percent_with_interval(*change.general) : Measured::none(Empty::one_position);
    if (!change.here)
        finding.notes.push_back(NoInterval{});
    return finding;
}

void block(BandFinding& finding) {
    finding.change_percent = Measured::none(Empty::conditions);
    finding.general_percent = Measured::none(Empty::conditions);
    finding.change_at_most_percent.reset();
    finding.notes.push_back(ConditionsDiffer{});
}

// --- prediction

Measured predicted_decay(const PredictedBand& predicted, const BandFinding& finding,
                         const CompareOptions& options) {
    if (predicted.decay_s || !predicted.area_m2 || !options.volume_m3 || !finding.before_s)
        return predicted.decay_s;
    const double celsius = options.before_conditions ? options.before_conditions->celsius.value_or(20) : 20;
    const auto with = [&](double area) {
        return decay_with_area_s(*options.volume_m3, *finding.before_s, area, celsius);
    };
    Measured decay{with(*predicted.area_m2), {}, {}, {}};
    if (predicted.area_m2.low && predicted.area_m2.high) {
        decay.low = with(*predicted.area_m2.high); // more area, shorter decay
        decay.high = with(*predicted.area_m2.low);
    }
    return decay;
}

void compare_with_prediction(BandFinding& finding, const BandChange& change, const CompareOptions& options) {
    const PredictedBand* predicted = options.prediction ? options.prediction->at(finding.band) : nullptr;
    if (!predicted)
        return;
    finding.predicted_s = predicted_decay(*predicted, finding, options);
    if (!finding.predicted_s || !change.after)
        return;
    // The state before carries no part in it, it only says where "no change" lies.
    finding.against_prediction =
        against_prediction(against_input(*change.after, *change.before_log_s, finding.predicted_s));
    if (!finding.predicted_s.low)
        finding.notes.push_back(PredictionExact{});
}

// --- question

/// What the prediction says of the question's bands, against what came over the same; nothing where it is for
/// other places.
std::optional<PromiseAnswer> promise_answer(QuestionFinding& finding, const Question& question,
                                            const Draft& draft, const CompareOptions& options) {
    const std::string& predicted = options.prediction->places;
    if (!predicted.empty() && !same_places(predicted, finding.places)) {
        finding.notes.push_back(PredictedElsewhere{predicted});
        return {};
    }
    if (predicted.empty() && draft.result.listening_places > 0)
        finding.notes.push_back(PredictionNamesNoPlaces{});
    std::vector<PromisedPart> parts;
    for (const BandFinding& band : draft.result.bands)
        if (const PredictedBand* row = options.prediction->at(band.band); row && band.before_s) {
            const Measured predicted_s = predicted_decay(*row, band, options);
            parts.push_back({band.band, row->before_s.value_or(*band.before_s), predicted_s, row->parts});
        }
    const PromisedMean promised = promised_mean(parts, question);
    if (promised.bands.empty())
        return {};
    return answer_promise(promised, draft.conditions.blocked
                                        ? QuestionChange{}
                                        : question_with_drift(draft, options, promised.bands));
}

QuestionChange change_of_modes(const Question& question, const std::vector<ModePair>& modes,
                               QuestionFinding& finding) {
    double mean = 0;
    std::vector<Spread> spreads;
    for (const double hz : question.modes_hz) {
        const auto mode = std::min_element(modes.begin(), modes.end(), [&](const auto& a, const auto& b) {
            return std::abs(a.before_hz - hz) < std::abs(b.before_hz - hz);
        });
        // Modes are named to a tenth of a hertz; a quarter tone is the widest that still means the same.
        const bool near = mode != modes.end() && std::abs(std::log2(mode->before_hz / hz)) < 1.0 / 24;
        const auto one = near ? tested(*mode) : std::nullopt;
        if (!one || one->at_most) {
            finding.notes.push_back(ModeWithoutDecay{hz});
            continue;
        }
        mean += one->change.mean;
        spreads.push_back({std::pow(one->change.standard_error, 2), one->change.degrees_of_freedom});
    }
    QuestionChange change;
    const auto count = static_cast<double>(spreads.size());
    if (spreads.size() == question.modes_hz.size()) {
        const Spread all = sum_of(spreads);
        change.here = MeanEstimate{mean / count, std::sqrt(all.variance) / count, all.degrees_of_freedom};
    }
    return change;
}

void note_missing(QuestionFinding& finding, const QuestionChange& change, const Draft& draft) {
    for (const Band& band : change.missing) {
        const auto& bands = draft.result.bands;
        const bool bounded = std::any_of(bands.begin(), bands.end(), [&](const BandFinding& found) {
            return found.band == band && found.after_at_most_s;
        });
        finding.notes.push_back(BandWithoutChange{band, bounded});
    }
}

/// What the first of the question's bands lacks; with values at one position alone, a second one.
Empty why_unanswered(const QuestionChange& change, const Draft& draft) {
    for (const Band& band : change.missing)
        for (const BandFinding& found : draft.result.bands)
            if (found.band == band && found.change_percent.empty)
                return *found.change_percent.empty;
    return Empty::one_position;
}

std::vector<std::string> all_names(const Comparison& comparison, const CompareOptions& options) {
    std::vector<std::size_t> all(static_cast<std::size_t>(comparison.pairs));
    std::iota(all.begin(), all.end(), std::size_t{0});
    return names_of(all, options);
}

std::vector<std::size_t> places_of_bands(const std::vector<BandChange>& changes,
                                         const std::vector<std::size_t>& bands) {
    std::set<std::size_t> places;
    for (const std::size_t band : bands)
        places.insert(changes[band].places.begin(), changes[band].places.end());
    return {places.begin(), places.end()};
}

QuestionFinding answer(const Question& question, const Draft& draft, const CompareOptions& options) {
    QuestionFinding finding;
    finding.text = question.text;
    finding.metric = options.metric;
    finding.fixed = question.fixed;
    const bool of_modes = !question.modes_hz.empty();
    const QuestionChange change =
        of_modes ? change_of_modes(question, draft.modes, finding) : question_with_drift(draft, options);
    note_missing(finding, change, draft);
    finding.places = of_modes ? all_names(draft.result, options)
                              : names_of(places_of_bands(draft.changes, change.bands), options);
    if (options.prediction && !of_modes)
        finding.promise = promise_answer(finding, question, draft, options);
    if (draft.conditions.blocked || !change.here) {
        const Empty why = draft.conditions.blocked ? Empty::conditions : why_unanswered(change, draft);
        finding.change_percent = finding.general_percent = Measured::none(why);
        return finding;
    }
    const double hz = of_modes ? question.modes_hz.front() : question.from_hz;
    const Tested alone[] = {{*change.here, unchanged_margin(hz), false}};
    const Judged judged = judge(alone).front();
    finding.finding = judged.finding;
    finding.could_show_percent = judged.could_show_percent;
    finding.change_percent = percent_with_interval(*change.here);
    finding.general_percent =
        change.general ? percent_with_interval(*change.general) : Measured::none(Empty::one_position);
    if (options.paired && !of_modes)
        finding.budget = budget_of_question(draft, options, question);
    if (options.acceptance) {
        finding.acceptance = accept(*change.here, *options.acceptance);
        finding.notes.push_back(*options.acceptance);
    }
    return finding;
}

// --- modes

double after_error(const Measured& decay_s) {
    return decay_s.low && decay_s.high ? std::log(*decay_s.high / *decay_s.low) / (2 * normal_two_sided_95)
                                       : 0;
}

void note_untold_modes(Comparison& result) {
    int lost = 0, unstable = 0;
    for (const ModeFinding& finding : result.modes) {
        lost += !finding.mode.after_hz && !finding.mode.change;
        unstable += finding.mode.after_hz && !finding.mode.change;
    }
    if (lost > 0)
        result.notes.push_back(ModesLostAfter{lost, result.modes.size()});
    if (unstable > 0)
        result.notes.push_back(ModesComeAndGo{unstable, result.modes.size()});
}

/// Of two modes near a predicted one only the nearer is meant.
bool is_nearest(const ModePair& mode, const PredictedMode& predicted, const std::vector<ModePair>& modes) {
    const double off = std::abs(mode.before_hz - predicted.before_hz);
    return std::none_of(modes.begin(), modes.end(), [&](const ModePair& other) {
        return std::abs(other.before_hz - predicted.before_hz) < off;
    });
}

void describe_modes(Draft& draft, const CompareOptions& options) {
    if (options.prediction)
        draft.result.predicted_modes = static_cast<int>(options.prediction->modes.size());
    for (const ModePair& mode : draft.modes) {
        ModeFinding finding;
        finding.mode = mode;
        if (const PredictedMode* told =
                options.prediction ? options.prediction->mode_at(mode.before_hz) : nullptr;
            told && is_nearest(mode, *told, draft.modes))
            finding.mode.predicted_t60_s = told->decay_s;
        if (mode.after_hz)
            finding.mode.after_hz = *mode.after_hz / (1 + draft.conditions.mode_shift);
        finding.notes = mode.notes;
        const auto estimate = tested(mode);
        if (draft.conditions.blocked)
            finding.change_percent = Measured::none(Empty::conditions);
        else if (!estimate || estimate->at_most)
            finding.change_percent = Measured::none(mode.why_no_change);
        else
            finding.change_percent = percent_with_interval(estimate->change);
        if (finding.change_percent && finding.mode.predicted_t60_s)
            finding.against = against_prediction(against_input(
                with_drift({std::log(*mode.after_t60_s), after_error(mode.after_t60_s), INFINITY},
                           drift_at(options.untouched, mode.before_hz)),
                std::log(*mode.before_t60_s), finding.mode.predicted_t60_s));
        draft.result.modes.push_back(finding);
    }
    note_untold_modes(draft.result);
}

// --- all together

void note_alike(Comparison& result, const CompareOptions& options) {
    std::map<std::size_t, AlikeInBass> groups;
    for (std::size_t i = 0; i < options.alike.size(); ++i)
        groups[options.alike[i]].places.push_back(name_of(i, options));
    for (auto& [number, group] : groups)
        if (group.places.size() > 1)
            result.notes.push_back(std::move(group));
}

void note_basis(Comparison& result, const CompareOptions& options) {
    if (options.responses_before > 0 &&
        (options.responses_before != result.places_before || options.responses_after != result.places_after))
        result.notes.push_back(RepeatsJoined{options.responses_before, result.places_before,
                                             options.responses_after, result.places_after});
    if (options.paired)
        note_alike(result, options);
    if (!options.paired)
        result.notes.push_back(StatesNotPaired{});
    else if (result.pairs == 1)
        result.notes.push_back(OnePlaceOnly{result.reproducibility_measured,
                                            options.before_conditions && options.after_conditions});
    else if (result.reproducibility_measured)
        result.notes.push_back(HeadlineWithReturn{});
    else if (result.pairs > 1)
        result.notes.push_back(ScatterStandsIn{});
    if (options.prediction && std::none_of(result.bands.begin(), result.bands.end(), [&](const auto& band) {
            return options.prediction->at(band.band) != nullptr;
        }))
        result.notes.push_back(PredictionElsewhere{});
}

Draft drafted(const std::vector<ResponseDecay>& before, const std::vector<ResponseDecay>& after,
              const CompareOptions& options) {
    assert(!before.empty() && !after.empty() && (!options.paired || before.size() == after.size()));
    Draft draft;
    Comparison& result = draft.result;
    draft.shown_from_hz = options.shown_from_hz;
    draft.shown_to_hz = options.shown_to_hz;
    result.paired = options.paired;
    result.pairs = static_cast<int>(std::min(before.size(), after.size()));
    result.places_before = before.size();
    result.places_after = after.size();
    if (options.prediction)
        result.prediction_stored_before = options.prediction->stored_before;
    result.reproducibility_measured = options.paired && !options.returns.empty();
    result.listening_places =
        static_cast<int>(std::count(options.listening.begin(), options.listening.end(), true));
    weigh(draft, before, after, options);
    add_drift(draft, options);
    result.conditions = draft.conditions.conditions;
    describe_drifts(result, options);
    for (const BandChange& change : draft.changes) {
        BandFinding finding = describe(change, options);
        if (draft.conditions.blocked) {
            block(finding);
        } else {
            compare_with_prediction(finding, change, options);
            if (options.volume_m3 && change.here)
                finding.added_area_m2 = added_area(finding, change, options);
        }
        result.bands.push_back(std::move(finding));
    }
    if (options.paired && !draft.conditions.blocked)
        result.clarity = clarity_changes(before, after);
    describe_modes(draft, options);
    if (options.question)
        result.question = answer(*options.question, draft, options);
    note_basis(result, options);
    return draft;
}

bool is_shown(const Draft& draft, const Band& band) {
    constexpr double hair = 1e-9;
    return band.nominal_hz >= draft.shown_from_hz * (1 - hair) &&
           band.nominal_hz <= draft.shown_to_hz * (1 + hair);
}

void hide_bands(Draft& draft) {
    std::erase_if(draft.result.bands, [&](const BandFinding& band) { return !is_shown(draft, band.band); });
    std::erase_if(draft.result.clarity, [&](const ClarityChange& one) { return !is_shown(draft, one.band); });
}

/// Where a judgement goes.
struct Place {
    Finding* finding;
    std::optional<double>* could_show_percent; ///< nothing for modes
};

/// What is judged together.
struct Family {
    std::vector<Tested> tested;
    std::vector<Place> places;

    void judge() const {
        const auto judged = ebbmark::judge(tested);
        for (std::size_t i = 0; i < judged.size(); ++i) {
            *places[i].finding = judged[i].finding;
            if (places[i].could_show_percent)
                *places[i].could_show_percent = judged[i].could_show_percent;
        }
    }
};

void collect_bands(Draft& draft, Family& family) {
    for (std::size_t b = 0; b < draft.changes.size(); ++b) {
        const BandChange& change = draft.changes[b];
        BandFinding& finding = draft.result.bands[b];
        if (!is_shown(draft, finding.band))
            continue;
        const double margin = unchanged_margin(finding.band.nominal_hz);
        if (change.here)
            family.tested.push_back({*change.here, margin, false});
        else if (change.at_most)
            family.tested.push_back({*change.at_most, margin, true});
        else
            continue;
        family.places.push_back({&finding.finding, change.here ? &finding.could_show_percent : nullptr});
    }
}

void collect_modes(Draft& draft, Family& family) {
    for (ModeFinding& mode : draft.result.modes)
        if (const auto one = tested(mode.mode)) {
            family.tested.push_back(*one);
            family.places.push_back({&mode.finding, nullptr});
        }
}

// How many modes can be told apart must not decide what a band shows, so the bands together have four fifths
// of the chance of a false finding and the modes one; what is shown passes its share on to the rest.
constexpr double share_of_bands = 0.8;

/// One family over all bands and modes of all drafts.
void judge_together(std::vector<Draft>& drafts) {
    Family family;
    for (Draft& draft : drafts)
        if (!draft.conditions.blocked)
            collect_bands(draft, family);
    const std::size_t bands = family.tested.size();
    for (Draft& draft : drafts)
        if (!draft.conditions.blocked)
            collect_modes(draft, family);
    const std::size_t modes = family.tested.size() - bands;
    for (std::size_t i = 0; i < family.tested.size(); ++i)
        family.tested[i].weight = i < bands ? share_of_bands / static_cast<double>(bands)
                                            : (1 - share_of_bands) / static_cast<double>(modes);
    family.judge();
}

} // namespace

ModesAgainst modes_against(const Comparison& comparison) {
    ModesAgainst modes{comparison.predicted_modes, 0, 0, 0, 0};
    for (const ModeFinding& finding : comparison.modes)
        if (finding.mode.predicted_t60_s) {
            modes.as_predicted += finding.against == AgainstPrediction::as_predicted;
            modes.less += finding.against == AgainstPrediction::less_than_predicted;
            modes.more += finding.against == AgainstPrediction::more_than_predicted;
        }
    modes.predicted = std::max(modes.predicted, modes.as_predicted + modes.less + modes.more);
    modes.cannot_tell = modes.predicted - modes.as_predicted - modes.less - modes.more;
    return modes;
}

std::string_view name(Scope scope) {
    return scope == Scope::place ? "place" : scope == Scope::places ? "places" : "room";
}

Scope scope_of(const Comparison& comparison, int positions) {
    if (!comparison.paired)
        return Scope::room;
    return positions <= 1 ? Scope::place : Scope::places;
}

Comparison compare(const std::vector<ResponseDecay>& before, const std::vector<ResponseDecay>& after,
                   const CompareOptions& options) {
    return compare_chain({{before, after, options}}).front();
}

std::optional<UntouchedChange> untouched_change(const std::vector<ResponseDecay>& before,
                                                const std::vector<ResponseDecay>& after,
                                                const CompareOptions& options) {
    Draft draft;
    weigh(draft, before, after, options);
    if (draft.conditions.blocked)
        return {};
    return UntouchedChange{"", "", std::move(draft.changes)};
}

std::vector<Comparison> compare_chain(const std::vector<StatePair>& pairs) {
    std::vector<Draft> drafts;
    for (const StatePair& pair : pairs)
        drafts.push_back(drafted(pair.before, pair.after, pair.options));
    judge_together(drafts);
    std::vector<Comparison> results;
    for (Draft& draft : drafts) {
        hide_bands(draft);
        results.push_back(std::move(draft.result));
    }
    return results;
}

} // namespace ebbmark
