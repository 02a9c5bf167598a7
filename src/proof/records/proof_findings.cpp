// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/charts/curve_chart.hpp"
#include "proof/charts/decay_chart.hpp"
#include "proof/charts/result_chart.hpp"
#include "proof/charts/waterfall_chart.hpp"
#include "proof/records/modes_table.hpp"
#include "proof/records/page_content.hpp"
#include "proof/records/proof_document.hpp"
#include "proof/reports/finding_report.hpp"
#include "proof/reports/further_report.hpp"
#include "proof/text/numbers.hpp"
#include "proof/words/cells.hpp"
#include "proof/words/comparison_texts.hpp"
#include "proof/words/page_texts.hpp"
#include "proof/words/proof_findings_texts.hpp"
#include "proof/words/proof_texts.hpp"
#include "proof/words/wording.hpp"

#include <algorithm>
#include <tuple>

namespace ebbmark {

namespace {

std::string word(texts::Text text) {
    return std::string(text);
}

DocumentText paragraph(const std::string& words, TextKind kind = TextKind::body) {
    return {kind, with_minus_sign(words)};
}

void add_all(DocumentSection& section, const std::vector<std::string>& sentences) {
    for (const std::string& sentence : sentences)
        section.parts.push_back(paragraph(sentence));
}

/// Typographic minus signs in every cell.
DocumentTable printed(DocumentTable table) {
    for (DocumentRow& row : table.rows)
        for (std::string& cell : row.cells)
            cell = with_minus_sign(cell);
    return table;
}

// --- bands

DocumentTable general_table(const CompareReport& report) {
    const auto& bands = report.comparison.bands;
    const bool general =
        std::any_of(bands.begin(), bands.end(), [](const BandFinding& b) { return !!b.general_percent; });
    const bool predicted =
        std::any_of(bands.begin(), bands.end(), [](const BandFinding& b) { return !!b.predicted_s; });
    DocumentTable table{
        "general",
        filled(texts::general_head, report.comparison.pairs, scope_words(headline_places(report.comparison))),
        {{word(texts::column_band), "Hz"}},
        {},
        word(texts::general_key)};
    const auto add = [&](std::initializer_list<DocumentColumn> columns) {
        table.columns.insert(table.columns.end(), columns);
    };
    if (general)
        add({{"general change", "%"}, {word(texts::column_interval), "%"}});
    if (predicted)
        add({{word(texts::column_predicted), "s"},
             {word(texts::column_interval), "s"},
             {"after", "s"},
             {"came out", "", true}});
    for (const BandFinding& band : bands) {
        if (!band.general_percent && !band.predicted_s)
            continue;
        DocumentRow row{{label(band.band)}};
        const auto put = [&](std::initializer_list<std::string> cells) {
            row.cells.insert(row.cells.end(), cells);
        };
        if (general)
            put({percent_cell(band.general_percent), percent_interval_cell(band.general_percent)});
        if (predicted)
            put({seconds_cell(band.predicted_s), interval_cell(band.predicted_s, seconds_text),
                 after_shown(band),
                 band.predicted_s ? std::string(name(band.against_prediction)) : word(texts::none)});
        row.opens_group = opens_octave(band.band);
        table.rows.push_back(std::move(row));
    }
    return table;
}

DocumentSection bands_section(const ProofInput& input) {
    const CompareReport& report = input.comparison;
    DocumentSection section{word(texts::bands_head), {}, false};
    for (const std::string& sentence : remaining_findings(report.comparison))
        section.parts.push_back(paragraph(sentence));
    DocumentChart chart;
    chart.name = "change";
    chart.description = chart_description(report);
    chart.height = 0.52;
    chart.narrow_height = 1.28;
    chart.draw = [report](const ChartSize& size) { return comparison_chart(report, size); };
    section.parts.push_back(chart);
    DocumentTable bands = bands_table(report, input.units);
    bands.key = word(texts::bands_key) + (bands.key.empty() ? "" : " " + bands.key);
    section.parts.push_back(bands);
    DocumentTable general = general_table(report);
    if (!general.rows.empty())
        section.parts.push_back(general);
    add_all(section, prediction_sentences(report));
    if (report.prediction)
        section.parts.push_back(paragraph(word(texts::prediction_method), TextKind::quiet));
    return section;
}

// --- modes

DocumentSection modes_section(const ProofInput& input) {
    const auto& modes = input.comparison.comparison.modes;
    DocumentSection section{word(texts::modes_head), {}, false};
    if (modes.empty()) {
        section.parts.push_back(paragraph(word(texts::proof_no_modes_plain)));
        return section;
    }
    DocumentTable table = modes_table(modes, input.comparison);
    table.name = "modes";
    table.caption = filled(texts::modes_caption, modes.size()) + " – " + modes_counts(modes);
    table.key = word(texts::modes_key);
    section.parts.push_back(table);
    if (DocumentTable predicted = modes_prediction_table(modes); !predicted.rows.empty())
        section.parts.push_back(std::move(predicted));
    return section;
}

// --- over time

DocumentTable ridges_table(const WaterfallReport& report) {
    DocumentTable table{
        "waterfall", "", {{"visit", "", true}, {"rings on at", "Hz"}, {"60\u00a0dB", "s"}}, {}, ""};
    for (const WaterfallEntry& entry : report.entries)
        for (const std::size_t k : ridges(entry.waterfall, 8))
            table.rows.push_back({{entry.name, fmt::format("{:.1f}", entry.waterfall.hz[k]),
                                   seconds_cell(entry.waterfall.decay_s[k])}});
    return table;
}

/// With less than two layers over the noise there is nothing to see.
constexpr double most_noise_db = -15;

DocumentSection waterfall_section(const ProofInput& input) {
    DocumentSection section{word(texts::waterfall_head), {}, false};
    for (const WaterfallEntry& entry : input.waterfall->entries)
        if (entry.waterfall.noise_db > most_noise_db) {
            section.parts.push_back(
                paragraph(filled(texts::waterfall_noise, input.shown_position, entry.name)));
            return section;
        }
    DocumentChart chart;
    chart.name = "waterfall";
    chart.caption = filled(texts::waterfall_caption, input.shown_position);
    chart.description = chart_description(*input.waterfall);
    chart.height = 0.44;
    chart.narrow_height = 1.9;
    chart.draw = [report = *input.waterfall](const ChartSize& size) { return waterfall_chart(report, size); };
    chart.table = ridges_table(*input.waterfall);
    section.parts.push_back(chart);
    return section;
}

/// Both curves of each band at steps of 5 dB: the times after the onset.
DocumentTable curves_table(const CurvePanels& panels) {
    DocumentTable table{"decay-curves", "", {{"band", "Hz"}, {"visit", "", true}, {"T20", "s"}}, {}, ""};
    for (int level = -5; level >= -45; level -= 10)
        table.columns.push_back({with_minus_sign(fmt::format("{} dB at", level)), "s"});
    for (const CurvePair& pair : panels.pairs)
        for (const auto& [visit, curve, t20_s] : {std::tuple{panels.before, &pair.before, pair.before_s},
                                                  {panels.after, &pair.after, pair.after_s}}) {
            DocumentRow row{{label(pair.band), visit, seconds_cell(t20_s)}};
            for (int level = -5; level >= -45; level -= 10) {
                const auto reached = std::find_if(curve->begin(), curve->end(), [&](const DecayPoint& point) {
                    return point.level_db <= level;
                });
                row.cells.push_back(reached == curve->end() ? word(texts::none)
                                                            : seconds_text(reached->time_s));
            }
            table.rows.push_back(std::move(row));
        }
    return table;
}

DocumentSection curves_section(const ProofInput& input) {
    DocumentSection section{word(texts::curves_head), {}, false};
    DocumentChart chart;
    chart.name = "decay-curves";
    chart.caption =
        filled(texts::curves_caption, input.shown_position, input.curves.before, input.curves.after);
    chart.description = filled(texts::describes_curves, input.curves.pairs.size());
    chart.height = 0.36;
    chart.narrow_height = 1.3;
    chart.draw = [panels = input.curves](const ChartSize& size) { return curve_chart(panels, size); };
    chart.table = curves_table(input.curves);
    section.parts.push_back(chart);
    return section;
}

// --- absorption

DocumentTable added_table(const ProofInput& input) {
    DocumentTable table{
        "added-absorption",
        filled(texts::added_table_caption, scope_words(headline_places(input.comparison.comparison))),
        {{word(texts::column_band), "Hz"},
         {"measured", area_unit(input.units)},
         {"predicted", area_unit(input.units)}},
        {},
        ""};
    for (const BandFinding& band : input.comparison.comparison.bands) {
        const auto predicted = predicted_area_m2(input.comparison, band);
        if (band.added_area_m2 || predicted)
            table.rows.push_back({{label(band.band), area_cell(band.added_area_m2, input.units),
                                   predicted ? area_cell(*predicted, input.units) : word(texts::none)}});
    }
    return table;
}

DocumentSection added_section(const ProofInput& input) {
    const CompareReport& report = input.comparison;
    DocumentSection section{word(texts::added_head), {}, false};
    if (!report.volume_m3) {
        section.parts.push_back(paragraph(word(texts::added_none)));
        return section;
    }
    const bool predicted = std::any_of(report.comparison.bands.begin(), report.comparison.bands.end(),
                                       [](const BandFinding& band) { return !!band.predicted_s; });
    DocumentChart chart;
    chart.name = "added-absorption";
    chart.caption = filled(texts::added_caption, scope_words(headline_places(report.comparison)),
                           volume_text(*report.volume_m3, input.units),
                           predicted ? texts::added_caption_predicted : texts::Text());
    chart.description = filled(texts::describes_added, report.comparison.bands.size());
    chart.height = 0.36;
    chart.narrow_height = 0.9;
    chart.draw = [report, units = input.units](const ChartSize& size) {
        return added_area_chart(report, 1 / area_in(1, units), area_unit(units), size);
    };
    chart.table = added_table(input);
    section.parts.push_back(chart);
    if (const auto& schroeder = input.before.statement.schroeder_hz)
        section.parts.push_back(
            paragraph(filled(texts::added_schroeder, fmt::format("{:.0f}", *schroeder)), TextKind::quiet));
    return section;
}

DocumentSection chain_section(const ProofInput& input) {
    DocumentSection section{word(texts::chain_head), {}, false};
    add_all(section, chain_sentences(input.comparison));
    const DocumentTable steps = by_trap_table(input.comparison, input.units);
    if (!steps.rows.empty())
        section.parts.push_back(printed(steps));
    return section;
}

// --- further measures

DocumentSection further_section(const ProofInput& input) {
    const CompareReport& report = input.comparison;
    DocumentSection section{word(texts::further_head), {}, false};
    for (const VisitTarget& target : report.targets)
        section.parts.push_back(paragraph(target_sentence(target)));
    if (!report.targets.empty())
        section.parts.push_back(paragraph(target_source_note(), TextKind::quiet));
    if (report.bass_response) {
        section.parts.push_back(printed(bass_table(*report.bass_response)));
        section.parts.push_back(paragraph(bass_caption(*report.bass_response), TextKind::quiet));
        add_all(section, bass_sentences(*report.bass_response));
    }
    if (!report.comparison.clarity.empty())
        section.parts.push_back(printed(clarity_table(report.comparison.clarity)));
    return section;
}

} // namespace

std::vector<DocumentSection> proof_findings(const ProofInput& input) {
    std::vector<DocumentSection> sections = {bands_section(input), modes_section(input)};
    if (input.waterfall)
        sections.push_back(waterfall_section(input));
    if (!input.curves.pairs.empty())
        sections.push_back(curves_section(input));
    sections.push_back(added_section(input));
    for (const auto& make : {chain_section, further_section})
        if (DocumentSection section = make(input); !section.parts.empty())
            sections.push_back(std::move(section));
    return sections;
}

} // namespace ebbmark
