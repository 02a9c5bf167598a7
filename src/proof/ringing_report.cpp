// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/ringing_report.hpp"

#include "proof/guarded.hpp"
#include "proof/json_fields.hpp"
#include "proof/numbers.hpp"
#include "proof/table.hpp"
#include "proof/texts.hpp"
#include "proof/wording.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

namespace ebbmark {

namespace {

// Frequencies are known to a few thousandths of a hertz at best; the interval says how well.
constexpr int mode_digits = 6;

Json interval_json(const MeasuredMode& mode) {
    Json json;
    Json empty = Json::object();
    json["hz"] = json_number(mode.hz.value, mode_digits);
    json["hz_low"] = json_number(mode.hz.low, mode_digits);
    json["hz_high"] = json_number(mode.hz.high, mode_digits);
    add_with_interval(json, empty, "t60", "s", mode.t60_s);
    json["q"] = json_number(mode.q());
    json["level_db"] = Json::array();
    for (const double level : mode.level_db)
        json["level_db"].push_back(json_number(level));
    json["room_mode"] = nullptr;
    if (mode.room_mode)
        json["room_mode"] = *mode.room_mode;
    json["empty"] = empty;
    json["notes"] = mode.notes;
    return json;
}

std::string orders_text(const MeasuredMode& mode) {
    if (!mode.room_mode)
        return "";
    const auto& n = *mode.room_mode;
    return fmt::format("{} {} {}", n[0], n[1], n[2]);
}

double strongest_level(const MeasuredMode& mode) {
    return *std::max_element(mode.level_db.begin(), mode.level_db.end());
}

std::string mode_table(const Ringing& ringing) {
    const bool named = std::any_of(ringing.modes.begin(), ringing.modes.end(),
                                   [](const MeasuredMode& mode) { return mode.room_mode.has_value(); });
    std::vector<Column> columns = {
        {"", "mode", "Hz"}, {"", "T60", "s"}, {"", "95 %", "s", true}, {"", "Q", ""}, {"", "level", "dB"}};
    if (named)
        columns.push_back({"", "nx ny nz", "", true});
    std::vector<std::vector<std::string>> rows;
    for (const MeasuredMode& mode : ringing.modes) {
        rows.push_back({fmt::format("{:.2f}", *mode.hz), seconds_text(*mode.t60_s),
                        fmt::format(fmt::runtime(texts::range), seconds_text(*mode.t60_s.low),
                                    seconds_text(*mode.t60_s.high)),
                        fmt::format("{:.1f}", mode.q()), fmt::format("{:.0f}", strongest_level(mode))});
        if (named)
            rows.back().push_back(orders_text(mode));
    }
    return table_text(columns, rows);
}

} // namespace

std::string to_json(const RingingReport& report) {
    Json json = json_object("ringing", report.simulated);
    json["files"] = report.files;
    json["rate_hz"] = json_number(report.rate_hz, frequency_digits);
    json["modes"] = Json::array();
    for (const MeasuredMode& mode : report.ringing.modes)
        json["modes"].push_back(interval_json(mode));
    json["unresolved"] = Json::array();
    for (const UnresolvedRange& range : report.ringing.unresolved)
        json["unresolved"].push_back({{"from_hz", json_number(range.from_hz)},
                                      {"to_hz", json_number(range.to_hz)},
                                      {"empty", code(range.why)}});
    json["drift_percent"] = json_number(report.ringing.drift_percent, 2);
    json["notes"] = report.ringing.notes;
    return json_text(json);
}

std::string to_csv(const RingingReport& report) {
    std::string csv = "hz,hz_low,hz_high,t60_s,t60_low_s,t60_high_s,q,nx,ny,nz,from_hz,to_hz,empty,simulated";
    for (const std::string& file : report.files)
        csv += "," + csv_text("level_db " + file);
    csv += '\n';
    for (const MeasuredMode& mode : report.ringing.modes) {
        csv +=
            fmt::format("{},{},{},{},{},{},{},", cell(mode.hz.value, mode_digits),
                        cell(mode.hz.low, mode_digits), cell(mode.hz.high, mode_digits),
                        cell(mode.t60_s.value), cell(mode.t60_s.low), cell(mode.t60_s.high), cell(mode.q()));
        csv += mode.room_mode ? fmt::format("{}", fmt::join(*mode.room_mode, ",")) : ",,";
        csv += fmt::format(",,,,{}", report.simulated);
        for (const double level : mode.level_db)
            csv += ',' + cell(level);
        csv += '\n';
    }
    for (const UnresolvedRange& range : report.ringing.unresolved)
        csv += fmt::format(",,,,,,,,,,{},{},{},{}{}\n", cell(range.from_hz), cell(range.to_hz),
                           code(range.why), report.simulated, std::string(report.files.size(), ','));
    return csv;
}

std::string to_text(const RingingReport& report) {
    std::string text = report.simulated ? std::string(texts::simulated_line) + "\n\n" : "";
    const Ringing& ringing = report.ringing;
    text += wrapped(fmt::format(fmt::runtime(texts::ringing_title), ringing.modes.size(), ringing.positions,
                                ringing.positions == 1 ? texts::position_word : texts::positions_word));
    if (!ringing.modes.empty())
        text += '\n' + mode_table(ringing);
    text += '\n';
    std::set<Empty> reasons;
    for (const UnresolvedRange& range : ringing.unresolved) {
        text +=
            wrapped(fmt::format(fmt::runtime(texts::ringing_unresolved), fmt::format("{:.1f}", range.from_hz),
                                fmt::format("{:.1f}", range.to_hz), code(range.why)));
        reasons.insert(range.why);
    }
    for (const std::string& note : ringing.notes)
        text += wrapped(plain_text(note));
    text += wrapped(reasons_sentence(reasons));
    text += wrapped(std::string(texts::ringing_key));
    text += wrapped(std::string(texts::ringing_method));
    return text;
}

} // namespace ebbmark
