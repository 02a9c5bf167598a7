// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/records/page_content.hpp"

#include "proof/reports/finding_report.hpp"
#include "proof/text/guarded.hpp"
#include "proof/text/numbers.hpp"
#include "proof/words/cells.hpp"
#include "proof/words/comparison_texts.hpp"
#include "proof/words/decay_texts.hpp"
#include "proof/words/page_texts.hpp"
#include "proof/words/wording.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace ebbmark {

namespace {

std::string text(texts::Text words) {
    return std::string(words);
}

bool any(const Comparison& comparison, Finding finding) {
    return std::any_of(comparison.bands.begin(), comparison.bands.end(),
                       [&](const BandFinding& band) { return band.finding == finding; });
}

/// "T20", or both where the bands differ in what they compare.
std::string metrics(const Comparison& comparison) {
    std::string names;
    for (const Metric metric : {Metric::t20, Metric::t30})
        if (std::any_of(comparison.bands.begin(), comparison.bands.end(),
                        [&](const BandFinding& band) { return band.metric == metric; }))
            names += (names.empty() ? "" : "/") + metric_text(metric);
    return names;
}

std::vector<DocumentColumn> columns_of(const CompareReport& report, Units units) {
    std::vector<DocumentColumn> columns = {{text(texts::column_band), "Hz"},
                                           {shortened(plain_text(report.before), 12), "s"},
                                           {shortened(plain_text(report.after), 12), "s"},
                                           {text(texts::column_change), "%"},
                                           {text(texts::column_interval), "%"},
                                           {text(texts::column_could_show), "%"},
                                           {text(texts::column_finding), "", true}};
    if (report.prediction)
        columns.push_back({text(texts::column_predicted), "s"});
    if (report.volume_m3)
        columns.push_back({text(texts::column_added), area_unit(units)});
    return columns;
}

DocumentRow row_of(const CompareReport& report, const BandFinding& band, bool name_metric, Units units) {
    const Measured& change = band.change_percent;
    const auto signed_text = [&](double percent) { return with_minus_sign(percent_within(change, percent)); };
    const std::string none = text(texts::none);
    DocumentRow row;
    row.cells = {
        name_metric ? fmt::format("{} {}", metric_text(band.metric), label(band.band)) : label(band.band),
        band.before_s ? seconds_text(*band.before_s) : none,
        after_shown(band),
        change ? signed_text(*change) : std::string(change.empty ? code(*change.empty) : texts::none),
        change.low && change.high
            ? fmt::format(fmt::runtime(texts::range), signed_text(*change.low), signed_text(*change.high))
            : none,
        band.could_show_percent ? percent_text(*band.could_show_percent) : none,
        text(name(band.finding))};
    if (report.prediction)
        row.cells.push_back(band.predicted_s ? seconds_text(*band.predicted_s) : none);
    if (report.volume_m3)
        row.cells.push_back(area_cell(band.added_area_m2, units));
    row.strong = band.finding == Finding::shorter || band.finding == Finding::longer;
    row.quiet = band.finding == Finding::not_measurable;
    row.opens_group = opens_octave(band.band);
    return row;
}

} // namespace

DocumentTable bands_table(const CompareReport& report, Units units) {
    const Comparison& comparison = report.comparison;
    const std::string kinds = metrics(comparison);
    DocumentTable table;
    table.name = "bands";
    table.caption = fmt::format(fmt::runtime(texts::table_caption), kinds.empty() ? "T20" : kinds,
                                scope_words(headline_places(comparison)));
    table.columns = columns_of(report, units);
    for (const BandFinding& band : comparison.bands)
        table.rows.push_back(row_of(report, band, kinds.find('/') != std::string::npos, units));
    table.key = reasons_sentence(reasons_in(comparison));
    return table;
}

DocumentColumns::Entry meaning_of(const Comparison& comparison) {
    DocumentColumns::Entry entry{text(texts::meaning_head), {}};
    const auto explain = [&](Finding finding, texts::Text words) {
        if (any(comparison, finding))
            entry.paragraphs.push_back(text(words));
    };
    explain(Finding::shorter, texts::meaning_shorter);
    explain(Finding::longer, texts::meaning_longer);
    if (any(comparison, Finding::shorter) || any(comparison, Finding::longer))
        entry.paragraphs.push_back(text(texts::meaning_error));
    explain(Finding::shown_unchanged, texts::meaning_unchanged);
    explain(Finding::no_change_shown, texts::meaning_not_shown);
    explain(Finding::not_measurable, texts::meaning_not_measurable);
    return entry;
}

DocumentColumns::Entry limits_of_proof() {
    return {text(texts::limits_head),
            {text(texts::limits_cause), text(texts::limits_places), text(texts::limits_rules)}};
}

DocumentColumns::Entry method_of(const CompareReport& report, Units units) {
    DocumentColumns::Entry entry{text(texts::method_head),
                                 {text(texts::decay_method), comparison_method(report.comparison)}};
    if (report.volume_m3)
        entry.paragraphs.push_back(
            fmt::format(fmt::runtime(texts::absorption_key), volume_text(*report.volume_m3, units)));
    return entry;
}

DocumentColumns::Entry caution_when_repeating() {
    return {text(texts::caution_head), {text(texts::caution_loud)}};
}

} // namespace ebbmark
