// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/decay_report.hpp"

#include "proof/guarded.hpp"
#include "proof/json_fields.hpp"
#include "proof/numbers.hpp"
#include "proof/table.hpp"
#include "proof/texts.hpp"
#include "proof/wording.hpp"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <set>

namespace ebbmark {

namespace {

/// A quantity that may be empty, with its name and unit; the order is that of JSON and CSV.
struct Quantity {
    std::string_view name, unit;
    Measured BandDecay::*member;
};

constexpr std::array<Quantity, 3> decay_times = {
    {{"edt", "s", &BandDecay::edt_s}, {"t20", "s", &BandDecay::t20_s}, {"t30", "s", &BandDecay::t30_s}}};
constexpr std::array<Quantity, 2> straightness = {
    {{"nonlinearity", "permille", &BandDecay::nonlinearity_permille},
     {"curvature", "percent", &BandDecay::curvature_percent}}};
constexpr std::array<Quantity, 5> clarity = {{{"c50", "db", &BandDecay::c50_db},
                                              {"c80", "db", &BandDecay::c80_db},
                                              {"d50", "percent", &BandDecay::d50_percent},
                                              {"ts", "ms", &BandDecay::ts_ms},
                                              {"decay_range", "db", &BandDecay::decay_range_db}}};

Json band_json(const BandDecay& band) {
    Json json, empty = Json::object();
    json["nominal_hz"] = json_number(band.band.nominal_hz, frequency_digits);
    json["exact_hz"] = json_number(band.band.exact_hz, frequency_digits);
    json["width"] = name(band.band.width);
    for (const Quantity& q : decay_times)
        add_with_interval(json, empty, q.name, q.unit, band.*q.member);
    json["at_most_s"] = json_number(band.at_most_s);
    for (const Quantity& q : straightness)
        add_measured(json, empty, q.name, q.unit, band.*q.member);
    json["shape"] = name(band.shape);
    for (const Quantity& q : clarity)
        add_measured(json, empty, q.name, q.unit, band.*q.member);
    json["bandwidth_time"] = json_number(band.bandwidth_time);
    json["empty"] = empty;
    json["notes"] = band.notes;
    return json;
}

/// "t30_s:noise curvature_percent:noise"
std::string reasons_cell(const BandDecay& band) {
    std::string reasons;
    const auto add = [&](const auto& quantities) {
        for (const Quantity& q : quantities)
            if (const auto& why = (band.*q.member).empty)
                reasons += fmt::format("{}{}_{}:{}", reasons.empty() ? "" : " ", q.name, q.unit, code(*why));
    };
    add(decay_times);
    add(straightness);
    add(clarity);
    return reasons;
}

/// Text of one value: the number, its bound, or the reason for none.
std::string shown(const Measured& measured, int decimals) {
    if (measured)
        return fmt::format("{:.{}f}", *measured, decimals);
    return std::string(measured.empty ? code(*measured.empty) : texts::none);
}

std::string time_shown(const Measured& measured, const std::optional<double>& at_most_s) {
    if (measured)
        return seconds_text(*measured);
    if (at_most_s && measured.empty == Empty::filter)
        return fmt::format(fmt::runtime(texts::at_most), seconds_text(*at_most_s));
    return std::string(measured.empty ? code(*measured.empty) : texts::none);
}

/// Interval of the longest range that has one.
std::string interval_shown(const BandDecay& band) {
    struct Named {
        std::string_view name;
        const Measured& value;
    };
    for (const Named& time : {Named{"T30", band.t30_s}, Named{"T20", band.t20_s}, Named{"EDT", band.edt_s}})
        if (time.value && time.value.low && time.value.high)
            return fmt::format("{} {}-{}", time.name, seconds_text(*time.value.low),
                               seconds_text(*time.value.high));
    return std::string(texts::none);
}

std::vector<std::string> text_row(const BandDecay& band) {
    return {label(band.band),
            time_shown(band.edt_s, band.at_most_s),
            time_shown(band.t20_s, band.at_most_s),
            time_shown(band.t30_s, band.at_most_s),
            shown(band.nonlinearity_permille, 1),
            shown(band.curvature_percent, 1),
            std::string(name(band.shape)),
            interval_shown(band),
            shown(band.decay_range_db, 1),
            band.bandwidth_time ? cell(band.bandwidth_time, 3) : std::string(texts::none),
            shown(band.c50_db, 1),
            shown(band.c80_db, 1),
            shown(band.d50_percent, 0),
            shown(band.ts_ms, 0)};
}

std::string band_table(const ResponseDecay& decay) {
    const auto group = [](texts::Text text) { return std::string(text); };
    const std::string time = group(texts::group_long), straight = group(texts::group_straight),
                      sure = group(texts::group_sure), clear = group(texts::group_clear);
    const std::vector<Column> columns = {{"", "band", "Hz"},
                                         {time, "EDT", "s"},
                                         {time, "T20", "s"},
                                         {time, "T30", "s"},
                                         {straight, "xi", "‰"},
                                         {straight, "C", "%"},
                                         {straight, "shape", "", true},
                                         {sure, "95 %", "s", true},
                                         {sure, "range", "dB"},
                                         {sure, "B·T", ""},
                                         {clear, "C50", "dB"},
                                         {clear, "C80", "dB"},
                                         {clear, "D50", "%"},
                                         {clear, "Ts", "ms"}};
    std::vector<std::vector<std::string>> rows;
    for (const BandDecay& band : decay.bands)
        rows.push_back(text_row(band));
    return table_text(columns, rows);
}

std::set<Empty> reasons_in(const ResponseDecay& decay) {
    std::set<Empty> reasons;
    const auto add = [&](const BandDecay& band, const auto& quantities) {
        for (const Quantity& q : quantities)
            if (const auto& why = (band.*q.member).empty)
                reasons.insert(*why);
    };
    for (const BandDecay& band : decay.bands) {
        add(band, decay_times);
        add(band, straightness);
        add(band, clarity);
    }
    return reasons;
}

std::string entry_text(const DecayEntry& entry) {
    std::string text = wrapped(fmt::format(fmt::runtime(texts::decay_title), plain_text(entry.file),
                                           entry.channel, cell(entry.rate_hz, frequency_digits),
                                           cell(to_microsecond(entry.decay.onset_s))));
    if (entry.decay.bands.empty())
        return text + std::string(texts::no_bands) + '\n';
    text += '\n' + band_table(entry.decay) + '\n';
    for (const std::string& note : entry.decay.notes)
        text += wrapped(plain_text(note));
    std::vector<BandNotes> notes;
    for (const BandDecay& band : entry.decay.bands)
        notes.push_back({band.band, band.notes});
    for (const std::string& note : grouped_notes(notes))
        text += wrapped(note, terminal_columns, 2);
    return text;
}

} // namespace

std::string to_json(const DecayReport& report) {
    Json json = json_object("decay", report.simulated);
    json["responses"] = Json::array();
    for (const DecayEntry& entry : report.responses) {
        Json response = {{"file", entry.file},
                         {"channel", entry.channel},
                         {"rate_hz", json_number(entry.rate_hz, frequency_digits)},
                         {"onset_s", json_number(to_microsecond(entry.decay.onset_s), 15)}};
        response["bands"] = Json::array();
        for (const BandDecay& band : entry.decay.bands)
            response["bands"].push_back(band_json(band));
        response["notes"] = entry.decay.notes;
        json["responses"].push_back(response);
    }
    return json_text(json);
}

std::string to_csv(const DecayReport& report) {
    std::string csv = "file,channel,simulated,nominal_hz,exact_hz,width";
    for (const Quantity& q : decay_times)
        csv += fmt::format(",{0}_{1},{0}_low_{1},{0}_high_{1}", q.name, q.unit);
    csv += ",at_most_s,nonlinearity_permille,curvature_percent,shape";
    for (const Quantity& q : clarity)
        csv += fmt::format(",{}_{}", q.name, q.unit);
    csv += ",bandwidth_time,empty\n";
    for (const DecayEntry& entry : report.responses)
        for (const BandDecay& band : entry.decay.bands) {
            csv += fmt::format("{},{},{},{},{},{}", csv_text(entry.file), entry.channel, report.simulated,
                               cell(band.band.nominal_hz, frequency_digits),
                               cell(band.band.exact_hz, frequency_digits), name(band.band.width));
            for (const Quantity& q : decay_times) {
                const Measured& time = band.*q.member;
                csv += fmt::format(",{},{},{}", cell(time.value), cell(time.low), cell(time.high));
            }
            csv += fmt::format(",{},{},{},{}", cell(band.at_most_s), cell(band.nonlinearity_permille.value),
                               cell(band.curvature_percent.value), name(band.shape));
            for (const Quantity& q : clarity)
                csv += ',' + cell((band.*q.member).value);
            csv += fmt::format(",{},{}\n", cell(band.bandwidth_time), reasons_cell(band));
        }
    return csv;
}

std::string to_text(const DecayReport& report) {
    std::string text = report.simulated ? std::string(texts::simulated_line) + "\n\n" : "";
    std::set<Empty> reasons;
    for (const DecayEntry& entry : report.responses) {
        text += entry_text(entry) + '\n';
        reasons.merge(reasons_in(entry.decay));
    }
    text += wrapped(reasons_sentence(reasons));
    text += wrapped(std::string(texts::decay_key));
    text += wrapped(std::string(texts::decay_method));
    return text;
}

} // namespace ebbmark
