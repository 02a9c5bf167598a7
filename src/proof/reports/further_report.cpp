// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/reports/further_report.hpp"

#include "proof/reports/finding_report.hpp"
#include "proof/text/guarded.hpp"
#include "proof/text/numbers.hpp"
#include "proof/words/cells.hpp"
#include "proof/words/comparison_texts.hpp"
#include "proof/words/job_notes.hpp"
#include "proof/words/page_texts.hpp"
#include "proof/words/table.hpp"
#include "proof/words/visit_texts.hpp"
#include "proof/words/wording.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace ebbmark {

namespace {

// --- targets

/// "above in 80 to 125 Hz" of the bands with one finding.
void add_group(std::string& text, const std::vector<BandTarget>& bands, TargetFinding finding) {
    std::vector<Band> chosen, all;
    for (const BandTarget& band : bands) {
        all.push_back(band.band);
        if (band.finding == finding)
            chosen.push_back(band.band);
    }
    if (!chosen.empty())
        text += (text.empty() ? "" : "; ") + fmt::format(fmt::runtime(texts::target_group), name(finding),
                                                         chosen.size(), bands_text(chosen, all));
}

// --- bass response

Json evenness_json(const BassEvenness& place) {
    return {{"peak_hz", json_number(place.peak.hz)},
            {"peak_db", json_number(place.peak.db, 3)},
            {"dip_hz", json_number(place.dip.hz)},
            {"dip_db", json_number(place.dip.db, 3)},
            {"unevenness_db", json_number(place.unevenness_db, 3)}};
}

std::string decibels(double value) {
    return fmt::format("{:+.1f}", value);
}

std::string extreme(const BassExtreme& where) {
    return fmt::format(fmt::runtime(texts::bass_extreme), decibels(where.db),
                       fmt::format("{:.0f}", where.hz));
}

// --- clarity

struct ClarityColumn {
    const char* measure;
    const char* head;
    const char* unit;
    int decimals;
};

constexpr ClarityColumn clarity_columns[] = {{"edt_s", "EDT", "%", 0},
                                             {"c50_db", "C50", "dB", 1},
                                             {"c80_db", "C80", "dB", 1},
                                             {"d50_percent", "D50", "points", 0},
                                             {"ts_ms", "Ts", "ms", 0}};

std::string change_cell(const Measured& change, int decimals) {
    const auto number = [&](double value) { return fmt::format("{:+.{}f}", value, decimals); };
    return change.low && change.high ? fmt::format("{} ({})", number(*change),
                                                   fmt::format(fmt::runtime(texts::range),
                                                               number(*change.low), number(*change.high)))
                                     : number(*change);
}

/// Of third octaves those in the middle of an octave.
bool shown_in_text(const Band& band) {
    return band.width == BandWidth::octave || band.index % 3 == 0;
}

std::vector<std::string> clarity_row(const std::vector<ClarityChange>& changes, const Band& band) {
    std::vector<std::string> row = {label(band)};
    for (const ClarityColumn& column : clarity_columns) {
        const auto found = std::find_if(changes.begin(), changes.end(), [&](const ClarityChange& change) {
            return change.band == band && change.measure == column.measure;
        });
        row.push_back(found == changes.end() ? std::string(texts::none)
                                             : change_cell(found->change, column.decimals));
    }
    return row;
}

std::string text_of(const DocumentTable& table) {
    std::vector<Column> columns;
    for (const DocumentColumn& column : table.columns)
        columns.push_back({"", column.head, column.unit, column.words});
    std::vector<std::vector<std::string>> rows;
    for (const DocumentRow& row : table.rows)
        rows.push_back(row.cells);
    return table_text(columns, rows);
}

} // namespace

std::string target_sentence(const VisitTarget& visit) {
    if (visit.not_judged)
        return fmt::format(fmt::runtime(texts::visit_target_plain), plain_text(visit.name),
                           sentence(*visit.not_judged));
    std::string groups;
    for (const TargetFinding finding :
         {TargetFinding::inside, TargetFinding::above, TargetFinding::below, TargetFinding::no_value})
        add_group(groups, visit.bands, finding);
    return fmt::format(fmt::runtime(texts::target_of_visit), plain_text(visit.visit), visit.bands.size(),
                       groups);
}

Json visit_targets_json(const std::vector<VisitTarget>& targets) {
    Json json = Json::array();
    for (const VisitTarget& visit : targets) {
        Json one = {
            {"visit", visit.visit}, {"name", visit.name}, {"nominal_s", json_number(visit.nominal_s)}};
        one["bands"] = Json::array();
        for (const BandTarget& band : visit.bands)
            one["bands"].push_back({{"nominal_hz", json_number(band.band.nominal_hz, frequency_digits)},
                                    {"decay_s", json_number(band.decay_s.value)},
                                    {"low_s", json_number(band.limits.low_s)},
                                    {"high_s", json_number(band.limits.high_s)},
                                    {"limits_source", "from memory"},
                                    {"finding", name(band.finding)}});
        one["notes"] = {visit.not_judged ? sentence(*visit.not_judged) : target_source_note()};
        json.push_back(std::move(one));
    }
    return json;
}

Json bass_response_json(const std::optional<BassResponse>& bass) {
    if (!bass)
        return nullptr;
    const BassResponseChange& change = bass->change;
    Json json = {{"from_hz", json_number(change.from_hz)},
                 {"to_hz", json_number(change.to_hz)},
                 {"smoothing_octaves", json_number(bass_smoothing_octaves)},
                 {"listening_places", bass->listening}};
    json["places"] = Json::array();
    for (std::size_t i = 0; i < change.before.size(); ++i)
        json["places"].push_back({{"position", bass->positions[i]},
                                  {"before", evenness_json(change.before[i])},
                                  {"after", evenness_json(change.after[i])}});
    json["unevenness_before_db"] = json_number(change.unevenness_before_db, 3);
    json["unevenness_after_db"] = json_number(change.unevenness_after_db, 3);
    json["unevenness_change_db"] = json_number(change.unevenness_change_db.value, 3);
    json["unevenness_change_low_db"] = json_number(change.unevenness_change_db.low, 3);
    json["unevenness_change_high_db"] = json_number(change.unevenness_change_db.high, 3);
    json["spread_before_db"] = json_number(change.spread_before_db, 3);
    json["spread_after_db"] = json_number(change.spread_after_db, 3);
    return json;
}

Json clarity_json(const std::vector<ClarityChange>& changes) {
    Json json = Json::array();
    for (const ClarityChange& change : changes)
        json.push_back({{"nominal_hz", json_number(change.band.nominal_hz, frequency_digits)},
                        {"measure", change.measure},
                        {"positions", change.positions},
                        {"before", json_number(change.before)},
                        {"after", json_number(change.after)},
                        {"change", json_number(change.change.value)},
                        {"change_low", json_number(change.change.low)},
                        {"change_high", json_number(change.change.high)}});
    return json;
}

std::string visit_targets_text(const std::vector<VisitTarget>& targets) {
    std::string text, last;
    for (const VisitTarget& visit : targets) {
        if (visit.name != last && visit.nominal_s)
            text += wrapped(fmt::format(fmt::runtime(texts::visit_target), plain_text(visit.name),
                                        seconds_text(*visit.nominal_s)) +
                            ' ' + target_source_note());
        last = visit.name;
        text += wrapped(target_sentence(visit));
    }
    return text;
}

std::string bass_caption(const BassResponse& bass) {
    return fmt::format(
        fmt::runtime(bass.listening ? texts::bass_of_listening_places : texts::bass_of_all_positions),
        fmt::format("{:.0f}", bass.change.from_hz), fmt::format("{:.0f}", bass.change.to_hz),
        std::lround(1 / bass_smoothing_octaves));
}

DocumentTable bass_table(const BassResponse& bass) {
    DocumentTable table{"bass-response",
                        std::string(texts::bass_head),
                        {{"position", "", true},
                         {"before: peak", "dB"},
                         {"dip", "dB"},
                         {"uneven", "dB"},
                         {"after: peak", "dB"},
                         {"dip", "dB"},
                         {"uneven", "dB"}},
                        {},
                        ""};
    for (std::size_t i = 0; i < bass.change.before.size(); ++i) {
        DocumentRow row{{bass.positions[i]}};
        for (const BassEvenness& place : {bass.change.before[i], bass.change.after[i]}) {
            row.cells.push_back(extreme(place.peak));
            row.cells.push_back(extreme(place.dip));
            row.cells.push_back(fmt::format("{:.1f}", place.unevenness_db));
        }
        table.rows.push_back(std::move(row));
    }
    return table;
}

std::string bass_response_text(const std::optional<BassResponse>& bass) {
    if (!bass)
        return "";
    std::string text = wrapped(bass_caption(*bass));
    text += text_of(bass_table(*bass));
    for (const std::string& sentence : bass_sentences(*bass))
        text += wrapped(sentence);
    return text;
}

std::vector<std::string> bass_sentences(const BassResponse& bass) {
    const BassResponseChange& change = bass.change;
    std::vector<std::string> sentences;
    const Measured& uneven = change.unevenness_change_db;
    sentences.push_back(uneven.low ? fmt::format(fmt::runtime(texts::bass_change), decibels(*uneven),
                                                 decibels(*uneven.low), decibels(*uneven.high))
                                   : fmt::format(fmt::runtime(texts::bass_change_of_one), decibels(*uneven)));
    if (change.spread_before_db && change.spread_after_db)
        sentences.push_back(fmt::format(fmt::runtime(texts::bass_spread),
                                        fmt::format("{:.1f}", *change.spread_before_db),
                                        fmt::format("{:.1f}", *change.spread_after_db)));
    return sentences;
}

DocumentTable clarity_table(const std::vector<ClarityChange>& changes) {
    DocumentTable table{
        "clarity", std::string(texts::clarity_head), {{std::string(texts::column_band), "Hz"}}, {}, ""};
    for (const ClarityColumn& column : clarity_columns)
        table.columns.push_back({column.head, column.unit});
    for (std::size_t i = 0; i < changes.size(); ++i)
        if ((i == 0 || !(changes[i].band == changes[i - 1].band)) && shown_in_text(changes[i].band))
            table.rows.push_back({clarity_row(changes, changes[i].band)});
    return table;
}

std::string clarity_text(const std::vector<ClarityChange>& changes) {
    return changes.empty() ? "" : text_of(clarity_table(changes));
}

Json by_trap_json(const std::vector<TrapAbsorption>& steps) {
    Json json = Json::array();
    for (const TrapAbsorption& step : steps) {
        Json one = {{"from_visit", step.from_visit},
                    {"to_visit", step.to_visit},
                    {"traps", step.traps},
                    {"one_type", step.one_type}};
        one["bands"] = Json::array();
        for (const auto& [band, area] : step.area_m2)
            one["bands"].push_back({{"nominal_hz", json_number(band.nominal_hz, frequency_digits)},
                                    {"area_m2", json_number(area.value)},
                                    {"area_low_m2", json_number(area.low)},
                                    {"area_high_m2", json_number(area.high)}});
        json.push_back(std::move(one));
    }
    return json;
}

std::vector<std::string> chain_sentences(const CompareReport& report) {
    std::vector<std::string> sentences;
    for (const CompareReport& earlier : report.earlier) {
        const Comparison& comparison = earlier.comparison;
        sentences.push_back(fmt::format(
            fmt::runtime(texts::chain_visit), plain_text(earlier.after), plain_text(earlier.before),
            comparison.question ? answer_headline(*comparison.question) + ' ' : "", headline(comparison)));
    }
    for (const TrapAbsorption& step : report.by_trap)
        sentences.push_back(fmt::format(
            fmt::runtime(step.one_type ? texts::chain_one_type : texts::chain_types),
            plain_text(step.to_visit), plain_text(fmt::format("{}", fmt::join(step.traps, ", ")))));
    return sentences;
}

DocumentTable by_trap_table(const CompareReport& report, Units units) {
    DocumentTable table{"by-trap", "", {{std::string(texts::column_band), "Hz"}}, {}, ""};
    if (report.by_trap.empty())
        return table;
    for (const auto& entry : report.by_trap.front().area_m2)
        table.rows.push_back({{label(entry.first)}});
    for (const TrapAbsorption& step : report.by_trap) {
        table.columns.push_back({plain_text(step.to_visit), area_unit(units)});
        for (std::size_t i = 0; i < table.rows.size(); ++i)
            table.rows[i].cells.push_back(i < step.area_m2.size() ? area_cell(step.area_m2[i].second, units)
                                                                  : std::string(texts::none));
    }
    return table;
}

std::string chain_text(const CompareReport& report) {
    std::string text;
    for (const std::string& sentence : chain_sentences(report))
        text += wrapped(sentence);
    return report.by_trap.empty() ? text : text + text_of(by_trap_table(report, Units::metric));
}

} // namespace ebbmark
