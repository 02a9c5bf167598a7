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

PageSection meaning(const Comparison& comparison) {
    PageSection section{text(texts::meaning_head), {}};
    const auto explain = [&](Finding finding, texts::Text words) {
        if (any(comparison, finding))
            section.paragraphs.push_back(text(words));
    };
    explain(Finding::shorter, texts::meaning_shorter);
    explain(Finding::longer, texts::meaning_longer);
    if (any(comparison, Finding::shorter) || any(comparison, Finding::longer))
        section.paragraphs.push_back(text(texts::meaning_error));
    explain(Finding::shown_unchanged, texts::meaning_unchanged);
    explain(Finding::no_change_shown, texts::meaning_not_shown);
    explain(Finding::not_measurable, texts::meaning_not_measurable);
    return section;
}

std::vector<std::string> against_the_prediction(const CompareReport& report) {
    auto sentences = prediction_sentences(report);
    for (std::string& sentence : sentences)
        sentence = plain_text(sentence);
    if (!sentences.empty())
        sentences.push_back(text(texts::prediction_method));
    return sentences;
}

PageSection method(const CompareReport& report, Units units) {
    PageSection section{text(texts::method_head),
                        {text(texts::decay_method), comparison_method(report.comparison)}};
    if (report.volume_m3)
        section.paragraphs.push_back(
            fmt::format(fmt::runtime(texts::absorption_key), volume_text(*report.volume_m3, units)));
    return section;
}

} // namespace

DocumentTable bands_table(const CompareReport& report, Units units) {
    const Comparison& comparison = report.comparison;
    const std::string kinds = metrics(comparison);
    DocumentTable table;
    table.name = "bands";
    table.caption = fmt::format(fmt::runtime(texts::table_caption), kinds.empty() ? "T20" : kinds);
    table.columns = columns_of(report, units);
    for (const BandFinding& band : comparison.bands)
        table.rows.push_back(row_of(report, band, kinds.find('/') != std::string::npos, units));
    table.key = reasons_sentence(reasons_in(comparison));
    return table;
}

PageContent page_content(const CompareReport& report, const PageFacts& facts, Units units) {
    const Comparison& comparison = report.comparison;
    PageContent content;
    content.title = text(texts::page_title);
    content.subtitle = compared_positions(comparison);
    if (!comparison.bands.empty())
        content.subtitle +=
            text(comparison.bands.front().band.width == BandWidth::third ? texts::in_third_octaves
                                                                         : texts::in_octaves);
    content.simulated = report.simulated;
    content.headline = headline(comparison);
    content.remaining = remaining_findings(comparison);
    if (comparison.question) {
        // What was asked before the second visit comes first, good or bad news alike.
        auto sentences = answer_sentences(*comparison.question);
        sentences.erase(sentences.begin() + 1); // the answer itself is the headline
        for (std::string& sentence : sentences)
            sentence = with_minus_sign(plain_text(sentence));
        sentences.push_back(content.headline);
        content.remaining.insert(content.remaining.begin(), sentences.begin(), sentences.end());
        content.headline = answer_headline(*comparison.question);
    }
    if (report.evidence_faults)
        content.headline = evidence_warning(report.evidence_faults) + ' ' + content.headline;
    content.bands = bands_table(report, units);
    content.sections = {{text(texts::prediction_head), against_the_prediction(report)},
                        meaning(comparison),
                        {text(texts::limits_head),
                         {text(texts::limits_cause), text(texts::limits_places), text(texts::limits_rules)}},
                        method(report, units),
                        {text(texts::caution_head), {text(texts::caution_loud)}}};
    std::erase_if(content.sections, [](const PageSection& section) { return section.paragraphs.empty(); });
    content.remarks = all_notes(comparison);
    content.footer =
        fmt::format(fmt::runtime(texts::page_footer), plain_text(facts.version), plain_text(facts.date));
    return content;
}

} // namespace ebbmark
