// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/reports/compare_report.hpp"

#include "proof/reports/finding_report.hpp"
#include "proof/reports/further_report.hpp"
#include "proof/reports/json_fields.hpp"
#include "proof/text/numbers.hpp"
#include "proof/words/cells.hpp"
#include "proof/words/comparison_texts.hpp"
#include "proof/words/decay_texts.hpp"
#include "proof/words/proof_record_texts.hpp"
#include "proof/words/table.hpp"
#include "proof/words/units.hpp"
#include "proof/words/verdict_notes.hpp"
#include "proof/words/verify_notes.hpp"
#include "proof/words/visit_texts.hpp"
#include "proof/words/wording.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace ebbmark {

namespace {

Json band_json(const Comparison& comparison, const BandFinding& band) {
    Json json, empty = empty_json(band);
    json["nominal_hz"] = json_number(band.band.nominal_hz, frequency_digits);
    json["width"] = name(band.band.width);
    json["metric"] = name(band.metric);
    json["positions"] = band.positions;
    json["places"] = band.places;
    json["scope"] =
        name(scope_of(comparison, std::max(band.positions, static_cast<int>(band.places.size()))));
    json["before_s"] = json_number(band.before_s);
    json["after_s"] = json_number(band.after_s);
    json["after_at_most_s"] = json_number(band.after_at_most_s);
    Json change_reason; // `empty_json` has it already
    add_with_interval(json, change_reason, "change", "percent", band.change_percent);
    json["could_show_percent"] = json_number(band.could_show_percent);
    json["finding"] = name(band.finding);
    add_general_and_prediction(json, band);
    json["empty"] = empty;
    json["notes"] = sentences(band.notes);
    return json;
}

Json absorption_json(const Comparison& comparison) {
    Json areas = Json::array();
    for (const BandFinding& band : comparison.bands)
        if (band.added_area_m2)
            areas.push_back({{"nominal_hz", json_number(band.band.nominal_hz, frequency_digits)},
                             {"area_m2", json_number(band.added_area_m2.value)},
                             {"area_low_m2", json_number(band.added_area_m2.low)},
                             {"area_high_m2", json_number(band.added_area_m2.high)}});
    return areas;
}

Json files_json(const std::vector<EvidenceFile>& files) {
    Json json = Json::array();
    for (const EvidenceFile& file : files)
        json.push_back({{"file", file.name}, {"sha256", file.sha256}});
    return json;
}

/// Everything but what the chain has beside it.
Json comparison_json(const CompareReport& report) {
    const Comparison& comparison = report.comparison;
    Json json = json_object("compare", origin_of(report.simulated));
    json["before"] = report.before;
    json["after"] = report.after;
    json["pairs"] = comparison.pairs;
    json["paired"] = comparison.paired;
    json["reproducibility_measured"] = comparison.reproducibility_measured;
    json["listening_places"] = comparison.listening_places;
    json["prediction"] = prediction_json(report);
    json["question"] = question_json(comparison);
    json["bands"] = Json::array();
    for (const BandFinding& band : comparison.bands)
        json["bands"].push_back(band_json(comparison, band));
    json["modes"] = modes_json(comparison.modes);
    json["added_absorption"] = absorption_json(comparison);
    json["targets"] = visit_targets_json(report.targets);
    json["bass_response"] = bass_response_json(report.bass_response);
    json["clarity"] = clarity_json(comparison.clarity);
    json["conditions"] = conditions_json(comparison.conditions);
    json["drift"] = drift_json(comparison);
    json["before_files"] = files_json(report.before_files);
    json["after_files"] = files_json(report.after_files);
    json["notes"] = notes_on_whole(report);
    if (report.evidence_faults)
        json["notes"].insert(json["notes"].begin(), evidence_warning(report.evidence_faults));
    return json;
}

std::string optional_text(const std::optional<double>& value, std::string (*format)(double)) {
    return value ? format(*value) : std::string(texts::none);
}

std::vector<std::string> text_row(const BandFinding& band) {
    const Measured& change = band.change_percent;
    const std::string why(change.empty ? code(*change.empty) : texts::none);
    return {label(band.band),
            metric_text(band.metric),
            std::to_string(band.positions),
            optional_text(band.before_s, seconds_text),
            after_shown(band),
            change ? percent_within(change, *change) : why,
            change.low && change.high
                ? fmt::format(fmt::runtime(texts::range), percent_within(change, *change.low),
                              percent_within(change, *change.high))
                : std::string(texts::none),
            optional_text(band.could_show_percent, percent_text),
            std::string(name(band.finding))};
}

std::string band_table(const CompareReport& report) {
    std::vector<Column> columns = {{"", "band", "Hz"},  {"", "", "", true},      {"", "pos.", ""},
                                   {"", "before", "s"}, {"", "after", "s"},      {"", "change", "%"},
                                   {"", "95 %", "%"},   {"", "could", "show %"}, {"", "finding", "", true}};
    if (report.volume_m3)
        columns.push_back({"", "added", "m²"});
    std::vector<std::vector<std::string>> rows;
    for (const BandFinding& band : report.comparison.bands) {
        rows.push_back(text_row(band));
        if (report.volume_m3)
            rows.back().push_back(area_text(band.added_area_m2));
    }
    return table_text(columns, rows);
}

} // namespace

std::string evidence_warning(const std::optional<EvidenceFaults>& faults) {
    return faults ? filled(texts::evidence_broken, words_for(*faults)) : "";
}

Json empty_json(const BandFinding& band) {
    Json empty = Json::object();
    const auto add = [&](const char* key, bool missing, Empty why) {
        if (missing)
            empty[key] = code(why);
    };
    const Empty of_change = band.change_percent.empty.value_or(Empty::one_position);
    add("before_s", !band.before_s, of_change);
    add("after_s", !band.after_s, band.after_at_most_s ? Empty::filter : of_change);
    add("change_percent", !band.change_percent, of_change);
    add("could_show_percent", !band.could_show_percent, of_change);
    return empty;
}

std::string after_shown(const BandFinding& band) {
    if (band.after_s)
        return seconds_text(*band.after_s);
    if (band.after_at_most_s)
        return fmt::format(fmt::runtime(texts::at_most), seconds_text(*band.after_at_most_s));
    return std::string(texts::none);
}

std::string to_json(const CompareReport& report) {
    Json json = comparison_json(report);
    json["earlier_visits"] = Json::array();
    for (const CompareReport& earlier : report.earlier)
        json["earlier_visits"].push_back(comparison_json(earlier));
    json["added_absorption_by_trap"] = by_trap_json(report.by_trap);
    return json_text(json);
}

std::string to_text(const CompareReport& report) {
    const Comparison& comparison = report.comparison;
    std::string text = report.simulated ? std::string(texts::simulated_line) + "\n\n" : "";
    if (report.evidence_faults)
        text += wrapped(evidence_warning(report.evidence_faults)) + '\n';
    text += compared_positions(comparison) + "\n\n";
    if (comparison.question) {
        for (const std::string& sentence : answer_sentences(*comparison.question))
            text += wrapped(sentence);
        text += '\n';
    }
    text += wrapped(headline(comparison));
    for (const std::string& sentence : remaining_findings(comparison))
        text += wrapped(sentence);
    if (!comparison.bands.empty())
        text += '\n' + band_table(report) + '\n';
    const auto add_block = [&](const std::string& heading, const std::string& block) {
        if (!block.empty())
            text += (heading.empty() ? "" : heading + "\n") + block + '\n';
    };
    add_block("", prediction_text(report));
    add_block("", general_and_prediction_text(comparison));
    add_block(std::string(texts::modes_head), modes_text(comparison));
    add_block(std::string(texts::visit_targets_head), visit_targets_text(report.targets));
    add_block(std::string(texts::bass_head), bass_response_text(report.bass_response));
    add_block(std::string(texts::clarity_head), clarity_text(comparison.clarity));
    add_block(std::string(texts::chain_head), chain_text(report));
    add_block(std::string(texts::conditions_head), conditions_text(comparison));
    for (const std::string& note : all_notes(report))
        text += wrapped(note);
    if (const auto reasons = reasons_in(comparison); !reasons.empty())
        text += wrapped(reasons_sentence(reasons));
    if (report.volume_m3)
        text += wrapped(
            fmt::format(fmt::runtime(texts::absorption_key), volume_text(*report.volume_m3, Units::metric)));
    return text + wrapped(std::string(texts::compare_key)) + wrapped(comparison_method(comparison)) +
           wrapped(std::string(texts::decay_method));
}

} // namespace ebbmark
