// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/reports/finding_report.hpp"

#include "proof/text/guarded.hpp"
#include "proof/text/numbers.hpp"
#include "proof/words/comparison_texts.hpp"
#include "proof/words/table.hpp"
#include "proof/words/verdict_notes.hpp"
#include "proof/words/wording.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>

namespace ebbmark {

namespace {

void add_predicted(Json& json, const char* value, const char* low, const char* high,
                   const Measured& predicted) {
    json[value] = json_number(predicted.value);
    json[low] = json_number(predicted.low);
    json[high] = json_number(predicted.high);
}

Json mode_json(const ModeFinding& finding) {
    const ModePair& mode = finding.mode;
    Json json, empty = Json::object();
    json["before_hz"] = json_number(mode.before_hz, frequency_digits);
    json["after_hz"] = json_number(mode.after_hz, frequency_digits);
    json["pairing"] = json_number(mode.pairing);
    add_with_interval(json, empty, "before_t60", "s", mode.before_t60_s);
    add_with_interval(json, empty, "after_t60", "s", mode.after_t60_s);
    json["after_t60_at_most_s"] = json_number(mode.after_t60_at_most_s);
    add_with_interval(json, empty, "change", "percent", finding.change_percent);
    json["finding"] = name(finding.finding);
    add_predicted(json, "predicted_t60_s", "predicted_t60_low_s", "predicted_t60_high_s",
                  mode.predicted_t60_s);
    json["against_prediction"] = name(finding.against);
    json["empty"] = empty;
    json["notes"] = sentences(finding.notes);
    return json;
}

std::string none() {
    return std::string(texts::none);
}

bool is_narrow(const Measured& percent) {
    return percent.low && percent.high && *percent.high - *percent.low < 4;
}

std::string interval_text(const Measured& percent) {
    if (!percent.low || !percent.high)
        return none();
    return fmt::format(fmt::runtime(texts::range), percent_within(percent, *percent.low),
                       percent_within(percent, *percent.high));
}

} // namespace

std::string size_text(const Measured& percent, bool shorter) {
    const auto size = [&](double value) {
        const double shown = shorter ? -value : value;
        return is_narrow(percent) ? fmt::format("{:.1f}", shown) : percent_text(shown);
    };
    if (!percent.low || !percent.high)
        return size(*percent);
    const double from = shorter ? *percent.high : *percent.low, to = shorter ? *percent.low : *percent.high;
    return fmt::format(fmt::runtime(texts::size_with_interval), size(*percent), size(from), size(to));
}

namespace {

std::string seconds_or_none(const std::optional<double>& value_s) {
    return value_s ? seconds_text(*value_s) : none();
}

std::string predicted_text(const Measured& predicted_s) {
    if (!predicted_s)
        return none();
    return predicted_s.low && predicted_s.high
               ? fmt::format("{} ({})", seconds_text(*predicted_s),
                             fmt::format(fmt::runtime(texts::range), seconds_text(*predicted_s.low),
                                         seconds_text(*predicted_s.high)))
               : seconds_text(*predicted_s);
}

std::string answer(const QuestionFinding& question) {
    const Measured& change = question.change_percent;
    switch (question.finding) {
    case Finding::shorter:
        return fmt::format(fmt::runtime(texts::answer_shorter), size_text(change, true));
    case Finding::longer:
        return fmt::format(fmt::runtime(texts::answer_longer), size_text(change, false));
    case Finding::shown_unchanged:
        return fmt::format(fmt::runtime(texts::answer_unchanged), interval_text(change));
    case Finding::no_change_shown:
        return fmt::format(fmt::runtime(texts::answer_not_shown), interval_text(change),
                           percent_text(question.could_show_percent.value_or(NAN)));
    case Finding::not_measurable:
        break;
    }
    return fmt::format(fmt::runtime(texts::answer_not_measurable),
                       texts::reason(change.empty.value_or(Empty::one_position)));
}

/// "Less than predicted: 3 of 8 bands, 40 to 63 Hz." of the bands that have a prediction.
void add_verdict(std::vector<std::string>& sentences, const Comparison& comparison, AgainstPrediction verdict,
                 texts::Text sentence) {
    std::vector<Band> chosen, all;
    std::size_t predicted = 0;
    for (const BandFinding& band : comparison.bands) {
        all.push_back(band.band);
        predicted += band.predicted_s ? 1 : 0;
        if (band.predicted_s && band.against_prediction == verdict)
            chosen.push_back(band.band);
    }
    if (!chosen.empty())
        sentences.push_back(
            fmt::format(fmt::runtime(sentence), chosen.size(), predicted, bands_text(chosen, all)));
}

bool says_more_than_here(const BandFinding& band) {
    return bool(band.general_percent) && band.general_percent != band.change_percent;
}

} // namespace

std::string percent_within(const Measured& change, double percent) {
    if (!is_narrow(change) || std::abs(percent) < 0.05)
        return signed_percent_text(percent);
    return fmt::format("{:+.1f}", percent);
}

std::vector<std::string> headline_places(const Comparison& comparison) {
    if (comparison.question && !comparison.question->places.empty())
        return comparison.question->places;
    for (const BandFinding& band : comparison.bands)
        if (!band.places.empty())
            return band.places;
    return {};
}

std::string scope_words(const std::vector<std::string>& places) {
    constexpr std::size_t most_named = 3;
    if (places.empty())
        return "";
    return places.size() <= most_named
               ? fmt::format(", at {}", plain_text(fmt::format("{}", fmt::join(places, " and "))))
               : fmt::format(", at {} places", places.size());
}

std::string answer_headline(const QuestionFinding& question) {
    std::string text = fmt::format(fmt::runtime(texts::answer_headline),
                                   question.text + scope_words(question.places), answer(question));
    text.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(text.front())));
    return text;
}

std::vector<ModeFinding> longest_ringing(std::vector<ModeFinding> modes, std::size_t most) {
    const auto longer = [](const ModeFinding& a, const ModeFinding& b) {
        return a.mode.before_t60_s.value.value_or(0) > b.mode.before_t60_s.value.value_or(0);
    };
    std::stable_sort(modes.begin(), modes.end(), longer);
    modes.erase(modes.begin() + static_cast<std::ptrdiff_t>(std::min(most, modes.size())), modes.end());
    std::sort(modes.begin(), modes.end(),
              [](const ModeFinding& a, const ModeFinding& b) { return a.mode.before_hz < b.mode.before_hz; });
    return modes;
}

std::string modes_counts(const std::vector<ModeFinding>& modes) {
    std::string counts;
    for (const Finding finding : {Finding::shorter, Finding::longer, Finding::shown_unchanged,
                                  Finding::no_change_shown, Finding::not_measurable}) {
        const auto count = std::count_if(modes.begin(), modes.end(),
                                         [&](const ModeFinding& mode) { return mode.finding == finding; });
        if (count > 0)
            counts += (counts.empty() ? "" : ", ") + fmt::format("{} {}", count, name(finding));
    }
    return counts;
}

namespace {

/// What was promised and what came over the same bands; nulls where nothing was.
/// Standard uncertainties of ln(after/before).
Json budget_json(const std::optional<UncertaintyBudget>& budget) {
    if (!budget)
        return nullptr;
    Json json = {{"parts", Json::array()},
                 {"combined", json_number(budget->total.standard_error)},
                 {"degrees_of_freedom", json_number(budget->total.degrees_of_freedom)},
                 {"coverage_factor", json_number(budget->coverage_factor())}};
    for (const UncertaintyPart& part : budget->parts)
        json["parts"].push_back(
            {{"cause", name(part.source)}, {"standard_uncertainty", json_number(part.deviation)}});
    return json;
}

void add_promise(Json& json, const std::optional<PromiseAnswer>& promise) {
    const bool whole = promise && promise->missing.empty();
    const Measured promised = promise ? promise->promised_percent : Measured();
    add_predicted(json, "predicted_percent", "predicted_low_percent", "predicted_high_percent",
                  whole ? promised : Measured());
    add_predicted(json, "promised_percent", "promised_low_percent", "promised_high_percent", promised);
    add_predicted(json, "came_percent", "came_low_percent", "came_high_percent",
                  promise ? promise->came_percent : Measured());
    json["promised_bands_hz"] = Json::array();
    if (promise)
        for (const Band& band : promise->bands)
            json["promised_bands_hz"].push_back(json_number(band.nominal_hz, frequency_digits));
    json["promised_parts"] = promise && promise->promised_parts
                                 ? Json({{"before", json_number(promise->promised_parts->before)},
                                         {"materials", json_number(promise->promised_parts->wool)},
                                         {"model", json_number(promise->promised_parts->model)}})
                                 : Json();
    json["told_below_percent"] = json_number(promise ? promise->told_below_percent : std::nullopt);
    json["against_prediction"] = name(promise ? promise->came : AgainstPrediction::cannot_tell);
}

} // namespace

Json question_json(const Comparison& comparison) {
    const auto& question = comparison.question;
    if (!question)
        return nullptr;
    Json json, empty = Json::object();
    json["text"] = question->text;
    json["metric"] = name(question->metric);
    json["fixed"] = question->fixed;
    add_with_interval(json, empty, "change", "percent", question->change_percent);
    add_with_interval(json, empty, "general", "percent", question->general_percent);
    json["could_show_percent"] = json_number(question->could_show_percent);
    json["finding"] = name(question->finding);
    json["places"] = question->places;
    json["scope"] = name(scope_of(comparison, static_cast<int>(question->places.size())));
    json["budget"] = budget_json(question->budget);
    add_promise(json, question->promise);
    json["acceptance"] = question->acceptance ? Json(name(*question->acceptance)) : Json(nullptr);
    json["empty"] = empty;
    json["notes"] = sentences(question->notes);
    return json;
}

Json modes_json(const std::vector<ModeFinding>& modes) {
    Json json = Json::array();
    for (const ModeFinding& mode : modes)
        json.push_back(mode_json(mode));
    return json;
}

Json conditions_json(const std::vector<Condition>& conditions) {
    Json json = Json::array();
    for (const Condition& condition : conditions)
        json.push_back({{"what", condition.what},
                        {"before", condition.before},
                        {"after", condition.after},
                        {"effect", condition.effect}});
    return json;
}

Json drift_json(const Comparison& comparison) {
    Json json = Json::array();
    for (const DriftFinding& drift : comparison.drift) {
        Json one = {{"from", drift.from}, {"to", drift.to}, {"bands_hz", Json::array()}}, reason;
        for (const Band& band : drift.bands)
            one["bands_hz"].push_back(json_number(band.nominal_hz));
        add_with_interval(one, reason, "change", "percent", drift.change_percent);
        json.push_back(std::move(one));
    }
    return json;
}

void add_general_and_prediction(Json& json, const BandFinding& band) {
    Json reason; // the change's own reason says it already
    add_with_interval(json, reason, "general", "percent", band.general_percent);
    json["change_at_most_percent"] = json_number(band.change_at_most_percent);
    add_predicted(json, "predicted_s", "predicted_low_s", "predicted_high_s", band.predicted_s);
    json["against_prediction"] = name(band.against_prediction);
}

std::vector<std::string> promise_sentences(const QuestionFinding& question) {
    if (!question.promise)
        return {};
    const PromiseAnswer& promise = *question.promise;
    const std::string bands = bands_text(promise.bands);
    if (!promise.promised_percent)
        return {fmt::format(fmt::runtime(texts::promised_too_little), bands)};
    const auto size = [](const Measured& change) {
        return fmt::format("{}\u00a0% ({}\u00a0%)", signed_percent_text(*change), interval_text(change));
    };
    std::vector<std::string> said = {fmt::format(
        fmt::runtime(texts::promised_and_came), bands, size(promise.promised_percent),
        promise.came_percent ? size(promise.came_percent) : std::string(none()), name(promise.came))};
    if (!promise.came_percent)
        return said;
    if (promise.told_below_percent)
        said.push_back(
            fmt::format(fmt::runtime(texts::promise_told_below), percent_text(*promise.told_below_percent)));
    else
        said.emplace_back(texts::promise_never_told);
    return said;
}

std::vector<std::string> answer_sentences(const QuestionFinding& question) {
    std::vector<std::string> said = {
        fmt::format(fmt::runtime(texts::question_asked), question.fixed, question.text),
        fmt::format(fmt::runtime(texts::answer_head), answer(question))};
    if (question.general_percent && question.general_percent != question.change_percent)
        said.push_back(fmt::format(fmt::runtime(texts::answer_general),
                                   signed_percent_text(*question.general_percent),
                                   interval_text(question.general_percent)));
    for (const std::string& sentence : promise_sentences(question))
        said.push_back(sentence);
    if (question.acceptance)
        said.push_back(fmt::format(fmt::runtime(texts::answer_acceptance), name(*question.acceptance)));
    for (const VerdictNote& note : question.notes)
        said.push_back(sentence(note));
    return said;
}

Json prediction_json(const CompareReport& report) {
    if (!report.prediction)
        return nullptr;
    const auto& prediction = report.comparison.prediction_stored_before;
    return {{"file", report.prediction->table.name},
            {"sha256", report.prediction->table.sha256},
            {"stored_at", report.prediction->stored_at},
            {"stored_before", prediction ? Json(*prediction) : Json(nullptr)}};
}

std::vector<std::string> prediction_sentences(const CompareReport& report) {
    if (!report.prediction)
        return {};
    const bool counts = report.comparison.prediction_stored_before.value_or(false);
    std::vector<std::string> said = {
        fmt::format(fmt::runtime(counts ? texts::prediction_stored : texts::prediction_too_late),
                    report.prediction->stored_at, report.after, report.prediction->table.name,
                    report.prediction->table.sha256)};
    add_verdict(said, report.comparison, AgainstPrediction::as_predicted, texts::bands_as_predicted);
    add_verdict(said, report.comparison, AgainstPrediction::less_than_predicted,
                texts::bands_less_than_predicted);
    add_verdict(said, report.comparison, AgainstPrediction::more_than_predicted,
                texts::bands_more_than_predicted);
    add_verdict(said, report.comparison, AgainstPrediction::cannot_tell, texts::bands_cannot_tell);
    return said;
}

std::string prediction_text(const CompareReport& report) {
    std::string text;
    for (const std::string& sentence : prediction_sentences(report))
        text += wrapped(sentence);
    return text;
}

std::string general_and_prediction_text(const Comparison& comparison) {
    const auto& bands = comparison.bands;
    const bool general = std::any_of(bands.begin(), bands.end(), says_more_than_here);
    const bool predicted =
        std::any_of(bands.begin(), bands.end(), [](const BandFinding& b) { return bool(b.predicted_s); });
    if (!general && !predicted)
        return "";
    std::vector<Column> columns = {{"", "band", "Hz"}};
    if (general) {
        columns.push_back({std::string(texts::group_general), "change", "%"});
        columns.push_back({std::string(texts::group_general), "95 %", "%"});
    }
    if (predicted) {
        columns.push_back({std::string(texts::group_prediction), "predicted after", "s"});
        columns.push_back({std::string(texts::group_prediction), "after", "s"});
        columns.push_back({std::string(texts::group_prediction), "came out", "", true});
    }
    std::vector<std::vector<std::string>> rows;
    for (const BandFinding& band : bands) {
        if (!band.general_percent && !band.predicted_s)
            continue;
        std::vector<std::string> row = {label(band.band)};
        if (general) {
            row.push_back(band.general_percent ? signed_percent_text(*band.general_percent) : none());
            row.push_back(interval_text(band.general_percent));
        }
        if (predicted) {
            row.push_back(predicted_text(band.predicted_s));
            row.push_back(seconds_or_none(band.after_s));
            row.push_back(band.predicted_s ? std::string(name(band.against_prediction)) : none());
        }
        rows.push_back(std::move(row));
    }
    return table_text(columns, rows);
}

namespace {

std::string after_text(const ModePair& mode) {
    if (mode.after_t60_s || !mode.after_t60_at_most_s)
        return seconds_or_none(mode.after_t60_s.value);
    return fmt::format(fmt::runtime(texts::at_most), seconds_text(*mode.after_t60_at_most_s));
}

/// Of those that were predicted; empty where none was.
std::string modes_prediction_text(const Comparison& comparison) {
    std::vector<std::vector<std::string>> rows;
    for (const ModeFinding& finding : longest_ringing(comparison.modes, 12))
        if (finding.mode.predicted_t60_s)
            rows.push_back({fmt::format("{:.1f}", finding.mode.before_hz),
                            predicted_text(finding.mode.predicted_t60_s), after_text(finding.mode),
                            std::string(name(finding.against))});
    if (rows.empty())
        return "";
    const ModesAgainst modes = modes_against(comparison);
    return wrapped(fmt::format(fmt::runtime(texts::modes_predicted), modes.predicted, modes.as_predicted,
                               modes.less, modes.more, modes.cannot_tell)) +
           table_text({{"", "mode", "Hz"},
                       {"", "predicted T60", "s"},
                       {"", "after", "s"},
                       {"", "came out", "", true}},
                      rows);
}

} // namespace

std::string modes_text(const Comparison& comparison) {
    if (comparison.modes.empty())
        return "";
    const std::vector<Column> columns = {
        {"", "mode", "Hz"},  {"", "after", "Hz"}, {"", "T60 before", "s"},  {"", "after", "s"},
        {"", "change", "%"}, {"", "95 %", "%"},   {"", "finding", "", true}};
    std::vector<std::vector<std::string>> rows;
    for (const ModeFinding& finding : longest_ringing(comparison.modes, 12)) {
        const ModePair& mode = finding.mode;
        rows.push_back({fmt::format("{:.1f}", mode.before_hz),
                        mode.after_hz ? fmt::format("{:.1f}", *mode.after_hz) : none(),
                        seconds_or_none(mode.before_t60_s.value), after_text(mode),
                        finding.change_percent ? signed_percent_text(*finding.change_percent) : none(),
                        interval_text(finding.change_percent), std::string(name(finding.finding))});
    }
    return wrapped(fmt::format(fmt::runtime(texts::modes_counted), comparison.modes.size(),
                               modes_counts(comparison.modes))) +
           table_text(columns, rows) + modes_prediction_text(comparison);
}

std::string conditions_text(const Comparison& comparison) {
    std::string text, same;
    for (const Condition& condition : comparison.conditions) {
        if (condition.kind == ConditionEffect::none && condition.before == condition.after) {
            same += (same.empty() ? "" : "; ") +
                    fmt::format(fmt::runtime(texts::condition_same), condition.what, condition.before);
            continue;
        }
        text += wrapped(fmt::format(fmt::runtime(texts::condition), condition.what, condition.before,
                                    condition.after, condition.effect));
    }
    if (!same.empty())
        text += wrapped(fmt::format(fmt::runtime(texts::conditions_same), same));
    return text;
}

} // namespace ebbmark
