// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/reports/band_rows.hpp"

#include "proof/text/numbers.hpp"
#include "proof/words/decay_notes.hpp"
#include "proof/words/decay_texts.hpp"

#include <fmt/format.h>

#include <array>

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

std::vector<std::string> text_row(const BandDecay& band, std::size_t index,
                                  const std::vector<SureColumn>& sure) {
    std::vector<std::string> row = {label(band.band),
                                    time_shown(band.edt_s, band.at_most_s),
                                    time_shown(band.t20_s, band.at_most_s),
                                    time_shown(band.t30_s, band.at_most_s),
                                    shown(band.nonlinearity_permille, 1),
                                    shown(band.curvature_percent, 1),
                                    std::string(name(band.shape)),
                                    interval_shown(band)};
    for (const SureColumn& column : sure)
        row.push_back(column.cells[index]);
    for (const auto& [value, decimals] :
         {std::pair{band.c50_db, 1}, {band.c80_db, 1}, {band.d50_percent, 0}, {band.ts_ms, 0}})
        row.push_back(shown(value, decimals));
    return row;
}

} // namespace

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
    json["notes"] = sentences(band.notes);
    return json;
}

std::string band_csv_head() {
    std::string csv = "nominal_hz,exact_hz,width";
    for (const Quantity& q : decay_times)
        csv += fmt::format(",{0}_{1},{0}_low_{1},{0}_high_{1}", q.name, q.unit);
    csv += ",at_most_s,nonlinearity_permille,curvature_percent,shape";
    for (const Quantity& q : clarity)
        csv += fmt::format(",{}_{}", q.name, q.unit);
    return csv + ",bandwidth_time,empty";
}

std::string band_csv(const BandDecay& band) {
    std::string csv = fmt::format("{},{},{}", cell(band.band.nominal_hz, frequency_digits),
                                  cell(band.band.exact_hz, frequency_digits), name(band.band.width));
    for (const Quantity& q : decay_times) {
        const Measured& time = band.*q.member;
        csv += fmt::format(",{},{},{}", cell(time.value), cell(time.low), cell(time.high));
    }
    csv += fmt::format(",{},{},{},{}", cell(band.at_most_s), cell(band.nonlinearity_permille.value),
                       cell(band.curvature_percent.value), name(band.shape));
    for (const Quantity& q : clarity)
        csv += ',' + cell((band.*q.member).value);
    return csv + fmt::format(",{},{}", cell(band.bandwidth_time), reasons_cell(band));
}

std::string band_table(const std::vector<BandDecay>& bands, const std::vector<SureColumn>& sure) {
    const std::string time(texts::group_long), straight(texts::group_straight), sure_group(texts::group_sure),
        clear(texts::group_clear);
    std::vector<Column> columns = {{"", "band", "Hz"},
                                   {time, "EDT", "s"},
                                   {time, "T20", "s"},
                                   {time, "T30", "s"},
                                   {straight, "xi", "‰"},
                                   {straight, "C", "%"},
                                   {straight, "shape", "", true},
                                   {sure_group, "95 %", "s", true}};
    for (const SureColumn& column : sure)
        columns.push_back({sure_group, column.head, column.unit});
    for (const auto& [head, unit] : {std::pair{"C50", "dB"}, {"C80", "dB"}, {"D50", "%"}, {"Ts", "ms"}})
        columns.push_back({clear, head, unit});
    std::vector<std::vector<std::string>> rows;
    for (std::size_t i = 0; i < bands.size(); ++i)
        rows.push_back(text_row(bands[i], i, sure));
    return table_text(columns, rows);
}

std::string band_table(const std::vector<BandDecay>& bands) {
    SureColumn range{"range", "dB", {}}, product{"B·T", "", {}};
    for (const BandDecay& band : bands) {
        range.cells.push_back(shown(band.decay_range_db, 1));
        product.cells.push_back(band.bandwidth_time ? cell(band.bandwidth_time, 3)
                                                    : std::string(texts::none));
    }
    return band_table(bands, {range, product});
}

std::set<Empty> reasons_in(const std::vector<BandDecay>& bands) {
    std::set<Empty> reasons;
    const auto add = [&](const BandDecay& band, const auto& quantities) {
        for (const Quantity& q : quantities)
            if (const auto& why = (band.*q.member).empty)
                reasons.insert(*why);
    };
    for (const BandDecay& band : bands) {
        add(band, decay_times);
        add(band, straightness);
        add(band, clarity);
    }
    return reasons;
}

} // namespace ebbmark
