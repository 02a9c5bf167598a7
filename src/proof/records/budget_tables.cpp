// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/records/budget_tables.hpp"

#include "base/normal.hpp"
#include "proof/text/numbers.hpp"
#include "proof/words/budget_texts.hpp"
#include "proof/words/cells.hpp"

#include <fmt/format.h>

#include <cmath>

namespace ebbmark {

namespace {

std::string word(texts::Text text) {
    return std::string(text);
}

DocumentText said(const std::string& words) {
    return {TextKind::body, with_minus_sign(words)};
}

std::string joined(const std::vector<std::string>& places) {
    return fmt::format("{}", fmt::join(places, ", "));
}

/// A standard uncertainty of a logarithm, as percent of the value.
std::string size_cell(double deviation) {
    return fmt::format("{:.1f}\u00a0%", 100 * deviation);
}

std::string end_text(double percent) {
    return with_minus_sign(fmt::format("{:.0f}", percent));
}

struct Cause {
    texts::Text what, from;
};

Cause cause_of(UncertaintySource source) {
    switch (source) {
    case UncertaintySource::fits:
        return {texts::budget_fits, texts::budget_fits_from};
    case UncertaintySource::places:
        return {texts::budget_places, texts::budget_places_from};
    case UncertaintySource::returns:
        return {texts::budget_returns, texts::budget_returns_from};
    case UncertaintySource::hidden:
        return {texts::budget_hidden, texts::budget_hidden_from};
    case UncertaintySource::air:
        return {texts::budget_air, texts::budget_air_from};
    case UncertaintySource::neighbours:
        return {texts::budget_neighbours, texts::budget_neighbours_from};
    case UncertaintySource::drift:
        return {texts::budget_drift, texts::budget_drift_from};
    }
    return {};
}

DocumentTable table_of(const std::string& name, const std::string& caption) {
    return {name,
            caption,
            {{word(texts::budget_cause), "", true},
             {word(texts::budget_size), ""},
             {word(texts::budget_from), "", true}},
            {},
            ""};
}

void add_row(DocumentTable& table, texts::Text what, double deviation, texts::Text from) {
    table.rows.push_back({{word(what), size_cell(deviation), word(from)}});
}

void add_whole(DocumentTable& table, double deviation, const std::string& from) {
    DocumentRow row{{word(texts::budget_whole), size_cell(deviation), from}};
    row.strong = true;
    table.rows.push_back(std::move(row));
}

DocumentTable measured_table(const QuestionFinding& question, const UncertaintyBudget& budget) {
    DocumentTable table =
        table_of("budget-measured", filled(texts::budget_measured, question.text, joined(question.places)));
    for (const UncertaintyPart& part : budget.parts)
        add_row(table, cause_of(part.source).what, part.deviation, cause_of(part.source).from);
    const double freedom = budget.total.degrees_of_freedom;
    add_whole(table, budget.total.standard_error,
              filled(texts::budget_whole_measured,
                     freedom > 200 ? "over 200" : fmt::format("{:.1f}", freedom),
                     fmt::format("{:.2f}", budget.coverage_factor()), end_text(*question.change_percent.low),
                     end_text(*question.change_percent.high)));
    return table;
}

} // namespace

DocumentSection budget_section(const Comparison& comparison) {
    DocumentSection section{word(texts::budget_head), {}, false};
    const auto& question = comparison.question;
    if (!question || !question->budget || !question->change_percent.low)
        return section;
    section.parts.push_back(measured_table(*question, *question->budget));
    if (comparison.drift.empty())
        section.parts.push_back(said(word(texts::budget_no_drift)));
    if (question->promise)
        for (DocumentPart& part :
             budget_section(question->promise->promised_percent, question->promise->promised_parts,
                            bands_text(question->promise->bands), joined(question->places))
                 .parts)
            section.parts.push_back(std::move(part));
    return section;
}

DocumentSection budget_section(const Measured& promised_percent, const std::optional<PredictedParts>& parts,
                               const std::string& bands, const std::string& places) {
    DocumentSection section{word(texts::budget_head), {}, false};
    if (!promised_percent.low || !promised_percent.high)
        return section;
    if (!parts) {
        section.parts.push_back(said(word(texts::budget_not_told)));
        return section;
    }
    DocumentTable table = table_of("budget-promised", filled(texts::budget_promised, bands, places));
    add_row(table, texts::budget_before, parts->before, texts::budget_before_from);
    add_row(table, texts::budget_wool, parts->wool, texts::budget_wool_from);
    add_row(table, texts::budget_model, parts->model, texts::budget_model_from);
    const double half = std::log((100 + *promised_percent.high) / (100 + *promised_percent.low)) / 2;
    add_whole(table, half / normal_two_sided_95,
              filled(texts::budget_whole_promised, end_text(*promised_percent.low),
                     end_text(*promised_percent.high)));
    section.parts.push_back(std::move(table));
    section.parts.push_back(said(word(texts::budget_model_walls)));
    return section;
}

} // namespace ebbmark
