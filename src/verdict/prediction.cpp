// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/prediction.hpp"

#include "base/error.hpp"
#include "base/normal.hpp"
#include "room/absorption.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <map>
#include <string>

namespace ebbmark {

namespace {

constexpr std::array<std::string_view, 12> number_columns = {"nominal_hz",
                                                             "before_s",
                                                             "mode_hz",
                                                             "predicted_s",
                                                             "predicted_low_s",
                                                             "predicted_high_s",
                                                             "added_absorption_m2",
                                                             "added_absorption_low_m2",
                                                             "added_absorption_high_m2",
                                                             "u_before",
                                                             "u_wool",
                                                             "u_model"};

std::string_view trimmed(std::string_view text) {
    const auto is_blank = [](char c) { return c == ' ' || c == '\t' || c == '\r' || c == '"'; };
    while (!text.empty() && is_blank(text.front()))
        text.remove_prefix(1);
    while (!text.empty() && is_blank(text.back()))
        text.remove_suffix(1);
    return text;
}

std::vector<std::string_view> fields_of(std::string_view line, char separator) {
    std::vector<std::string_view> fields;
    while (true) {
        const auto end = line.find(separator);
        fields.push_back(trimmed(line.substr(0, end)));
        if (end == line.npos)
            return fields;
        line.remove_prefix(end + 1);
    }
}

/// Where a reader stands, for messages.
struct Place {
    std::string_view source;
    int line = 0;

    [[noreturn]] void refuse(const std::string& text) const {
        throw Error(ErrorKind::unusable, fmt::format("{}, line {}: {}", source, line, text));
    }
};

using Row = std::map<std::string_view, double>;

double number(std::string_view field, std::string_view column, const Place& place) {
    double value = 0;
    const auto [end, failure] = std::from_chars(field.data(), field.data() + field.size(), value);
    if (failure != std::errc{} || end != field.data() + field.size() || !std::isfinite(value))
        place.refuse(fmt::format("\"{}\" in column {} is not a number; write it with a decimal point and "
                                 "without a unit",
                                 field, column));
    return value;
}

Row row_of(const std::vector<std::string_view>& fields, const std::vector<std::string_view>& columns,
           const Place& place) {
    if (fields.size() != columns.size())
        place.refuse(fmt::format("{} fields, but the heading has {}; give each row as many", fields.size(),
                                 columns.size()));
    Row row;
    for (std::size_t i = 0; i < fields.size(); ++i)
        if (!fields[i].empty() &&
            std::find(number_columns.begin(), number_columns.end(), columns[i]) != number_columns.end())
            row[columns[i]] = number(fields[i], columns[i], place);
    return row;
}

/// Far beyond what a room can have; figures without end would end in no number at all.
constexpr double longest_decay_s = 1000, shortest_decay_s = 0.001, largest_area_m2 = 1e6,
                 highest_mode_hz = 22000, lowest_mode_hz = 1, most_uncertainty = 2;

void require_range(const Row& row, std::string_view column, double low, double high, const Place& place) {
    if (const auto found = row.find(column);
        found != row.end() && (found->second < low || found->second > high))
        place.refuse(
            fmt::format("{:g} in column {} lies outside {:g} to {:g}; write the number in the unit that "
                        "the column names",
                        found->second, column, low, high));
}

void require_ranges(const Row& row, const Place& place) {
    for (const char* column : {"before_s", "predicted_s", "predicted_low_s", "predicted_high_s"})
        require_range(row, column, shortest_decay_s, longest_decay_s, place);
    for (const char* column : {"added_absorption_m2", "added_absorption_low_m2", "added_absorption_high_m2"})
        require_range(row, column, -largest_area_m2, largest_area_m2, place);
    for (const char* column : {"u_before", "u_wool", "u_model"})
        require_range(row, column, 0, most_uncertainty, place);
    require_range(row, "mode_hz", lowest_mode_hz, highest_mode_hz, place);
}

Measured quantity(const Row& row, std::string_view value, std::string_view low, std::string_view high,
                  const Place& place) {
    if (!row.contains(value))
        return {};
    Measured measured = Measured::of(row.at(value));
    if (row.contains(low) != row.contains(high))
        place.refuse(fmt::format("{} and {} belong together; give both or none", low, high));
    if (row.contains(low)) {
        measured.low = row.at(low);
        measured.high = row.at(high);
        if (*measured.low > *measured || *measured.high < *measured)
            place.refuse(fmt::format("{0} does not lie between {1} and {2}; give {1} the smaller and {2} the "
                                     "larger end of its interval",
                                     value, low, high));
    }
    return measured;
}

Band nearest_third(double hz) {
    return band_at(BandWidth::third, static_cast<int>(std::lround(10 * std::log10(hz / 1000))));
}

void require_nominal(double hz, const Place& place) {
    if (hz < 9 || hz > 22000)
        place.refuse(
            fmt::format("{:g} Hz lies outside 10 Hz to 20 kHz; write the band's nominal frequency, for "
                        "example 125",
                        hz));
    const Band near = nearest_third(hz);
    if (std::abs(near.nominal_hz - hz) > 1e-3 * hz)
        place.refuse(fmt::format("{:g} Hz is the nominal frequency of no octave or third-octave band; the "
                                 "nearest is {:g}",
                                 hz, near.nominal_hz));
}

PredictedBand band_of(const Row& row, const Place& place) {
    PredictedBand band;
    if (!row.contains("nominal_hz"))
        place.refuse("no nominal_hz; name the band, for example 125");
    band.nominal_hz = row.at("nominal_hz");
    require_nominal(band.nominal_hz, place);
    band.decay_s = quantity(row, "predicted_s", "predicted_low_s", "predicted_high_s", place);
    band.area_m2 =
        quantity(row, "added_absorption_m2", "added_absorption_low_m2", "added_absorption_high_m2", place);
    if (band.decay_s && (*band.decay_s <= 0 || (band.decay_s.low && *band.decay_s.low <= 0)))
        place.refuse("a decay time must be above 0 s; leave the cell empty where nothing is predicted");
    const bool any_part = row.contains("u_before") || row.contains("u_wool") || row.contains("u_model"),
               all_parts = row.contains("u_before") && row.contains("u_wool") && row.contains("u_model");
    if (any_part && !all_parts)
        place.refuse("u_before, u_wool and u_model belong together; give all or none");
    if (all_parts)
        band.parts = PredictedParts{row.at("u_before"), row.at("u_wool"), row.at("u_model")};
    if (row.contains("before_s"))
        band.before_s = row.at("before_s");
    require_ranges(row, place);
    return band;
}

PredictedMode mode_of(const Row& row, const Place& place) {
    PredictedMode mode{row.at("mode_hz"),
                       quantity(row, "predicted_s", "predicted_low_s", "predicted_high_s", place)};
    if (row.contains("nominal_hz"))
        place.refuse("a row is of a band or of a mode; leave nominal_hz or mode_hz empty");
    if (!(mode.before_hz > 0) || !mode.decay_s || *mode.decay_s <= 0 || mode.decay_s.low.value_or(1) <= 0)
        place.refuse("a mode needs its frequency and its decay time, both above 0");
    require_ranges(row, place);
    return mode;
}

void require_columns(const std::vector<std::string_view>& columns, const Place& place) {
    const auto has = [&](std::string_view column) {
        return std::find(columns.begin(), columns.end(), column) != columns.end();
    };
    if (!has("nominal_hz") || (!has("predicted_s") && !has("added_absorption_m2")))
        place.refuse("the heading needs the columns nominal_hz and predicted_s or added_absorption_m2; write "
                     "them as they stand here");
}

std::string_view text_in(std::string_view name, const std::vector<std::string_view>& fields,
                         const std::vector<std::string_view>& columns) {
    const auto column = std::find(columns.begin(), columns.end(), name);
    return column == columns.end() ? std::string_view()
                                   : fields[static_cast<std::size_t>(column - columns.begin())];
}

std::optional<BandWidth> width_in(const std::vector<std::string_view>& fields,
                                  const std::vector<std::string_view>& columns, const Place& place) {
    const auto column = std::find(columns.begin(), columns.end(), "width");
    if (column == columns.end())
        return {};
    const std::string_view field = fields[static_cast<std::size_t>(column - columns.begin())];
    for (const BandWidth width : {BandWidth::octave, BandWidth::third})
        if (field == name(width))
            return width;
    place.refuse(fmt::format("\"{}\" in column width is no band width; write octave or third", field));
}

/// A single band says nothing of its width; several that are all octave bands are octaves.
void deduce_widths(Prediction& prediction) {
    const bool octaves = std::all_of(prediction.bands.begin(), prediction.bands.end(), [](const auto& band) {
        return nearest_third(band.nominal_hz).index % 3 == 0;
    });
    if (octaves && prediction.bands.size() == 1)
        return;
    for (PredictedBand& band : prediction.bands)
        if (!band.width)
            band.width = octaves ? BandWidth::octave : BandWidth::third;
}

} // namespace

const PredictedBand* Prediction::at(const Band& band) const {
    for (const PredictedBand& predicted : bands)
        if (predicted.width.value_or(band.width) == band.width &&
            std::abs(predicted.nominal_hz - band.nominal_hz) < 1e-3 * band.nominal_hz)
            return &predicted;
    return nullptr;
}

const PredictedMode* Prediction::mode_at(double before_hz) const {
    const PredictedMode* nearest = nullptr;
    for (const PredictedMode& mode : modes)
        if (const double off = std::abs(mode.before_hz - before_hz);
            off < 2e-3 * before_hz && (!nearest || off < std::abs(nearest->before_hz - before_hz)))
            nearest = &mode;
    return nearest;
}

Prediction parse_prediction(std::string_view text, std::string_view source) {
    Prediction prediction;
    std::vector<std::string_view> columns;
    char separator = ',';
    Place place{source, 0};
    if (text.starts_with("\xEF\xBB\xBF")) // spreadsheets put this mark in front of UTF-8
        text.remove_prefix(3);
    while (!text.empty()) {
        ++place.line;
        const auto end = text.find('\n');
        const std::string_view line = trimmed(text.substr(0, end));
        text.remove_prefix(end == text.npos ? text.size() : end + 1);
        if (line.empty() || line.front() == '#')
            continue;
        if (columns.empty()) {
            separator = line.find(';') != line.npos ? ';' : ',';
            columns = fields_of(line, separator);
            require_columns(columns, place);
            continue;
        }
        const auto fields = fields_of(line, separator);
        const Row row = row_of(fields, columns, place);
        if (row.contains("mode_hz")) {
            const PredictedMode mode = mode_of(row, place);
            for (const PredictedMode& earlier : prediction.modes)
                if (earlier.before_hz == mode.before_hz)
                    place.refuse(fmt::format("the mode at {:g} Hz stands there twice; keep one row per mode",
                                             mode.before_hz));
            prediction.modes.push_back(mode);
            continue;
        }
        PredictedBand band = band_of(row, place);
        band.width = width_in(fields, columns, place);
        if (prediction.places.empty())
            prediction.places = text_in("places", fields, columns);
        for (const PredictedBand& earlier : prediction.bands)
            if (earlier.nominal_hz == band.nominal_hz && earlier.width == band.width)
                place.refuse(
                    fmt::format("{:g} Hz stands there twice; keep one row per band", band.nominal_hz));
        prediction.bands.push_back(band);
    }
    if (prediction.bands.empty())
        place.refuse("no band; write a heading and one row per band");
    deduce_widths(prediction);
    return prediction;
}

std::string_view name(AgainstPrediction verdict) {
    switch (verdict) {
    case AgainstPrediction::as_predicted:
        return "as predicted";
    case AgainstPrediction::less_than_predicted:
        return "less than predicted";
    case AgainstPrediction::more_than_predicted:
        return "more than predicted";
    case AgainstPrediction::cannot_tell:
        return "cannot tell";
    }
    return "";
}

AgainstInput against_input(const MeanEstimate& measured, double no_change_log, const Measured& predicted) {
    // Confidence of two standard deviations of the normal distribution.
    constexpr double confidence_of_2 = 0.9545;
    AgainstInput input{measured.mean - no_change_log, half_width(measured, confidence_of_2),
                       std::log(*predicted) - no_change_log, 0};
    if (predicted.low && predicted.high)
        input.predicted_half = std::log(*predicted.high / *predicted.low) / normal_two_sided_95;
    return input;
}

double normalised_error(const AgainstInput& input) {
    const double combined = std::hypot(input.measured_half, input.predicted_half);
    const double difference = input.measured - input.predicted;
    return combined > 0 ? difference / combined : difference == 0 ? 0 : std::copysign(INFINITY, difference);
}

AgainstPrediction against_prediction(const AgainstInput& input) {
    const double error = normalised_error(input);
    if (std::abs(error) <= 1) {
        const double combined = std::hypot(input.measured_half, input.predicted_half);
        return std::abs(input.predicted) <= combined ? AgainstPrediction::cannot_tell
                                                     : AgainstPrediction::as_predicted;
    }
    const bool shortening = input.predicted <= 0;
    return (error > 0) == shortening ? AgainstPrediction::less_than_predicted
                                     : AgainstPrediction::more_than_predicted;
}

std::optional<double> decay_with_area_s(double volume_m3, double before_s, double area_m2, double celsius) {
    // The area falls in proportion to the decay rate; two decay times fix the proportion.
    const double area_of_halved =
        added_absorption_m2(volume_m3, {before_s, celsius, 0}, {before_s / 2, celsius, 0});
    const double rate = 1 / before_s * (1 + area_m2 / area_of_halved);
    return rate > 0 ? std::optional(1 / rate) : std::nullopt;
}

Measured area_of_decays_m2(double volume_m3, double before_s, const Measured& after_s) {
    if (!after_s)
        return Measured::none(after_s.empty.value_or(Empty::source));
    const auto area = [&](double decay_s) {
        return added_absorption_m2(volume_m3, {before_s, 20, 0}, {decay_s, 20, 0});
    };
    Measured added = Measured::of(area(*after_s));
    if (after_s.low && after_s.high) {
        added.low = area(*after_s.high);
        added.high = area(*after_s.low);
    }
    return added;
}

} // namespace ebbmark
