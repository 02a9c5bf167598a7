// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/reports/job_reports.hpp"
#include "proof/reports/json_fields.hpp"
#include "proof/text/guarded.hpp"
#include "proof/text/numbers.hpp"
#include "proof/words/job_texts.hpp"
#include "proof/words/table.hpp"

#include <fmt/format.h>

namespace ebbmark {

namespace {

std::string width_text(const PredictedBand& band) {
    return band.width ? name(*band.width) : "";
}

void add_quantity(Json& json, const char* value, const char* low, const char* high,
                  const Measured& measured) {
    json[value] = json_number(measured.value);
    json[low] = json_number(measured.low);
    json[high] = json_number(measured.high);
}

std::string with_interval(const Measured& measured, std::string (*format)(double)) {
    if (!measured)
        return std::string(texts::none);
    return measured.low && measured.high
               ? fmt::format(
                     "{} ({})", format(*measured),
                     fmt::format(fmt::runtime(texts::range), format(*measured.low), format(*measured.high)))
               : format(*measured);
}

std::string area(double area_m2) {
    return fmt::format("{:.1f}", area_m2);
}

} // namespace

std::string to_json(const PredictionReport& report) {
    Json json = json_object("predict", origin_of(report.simulated));
    json["file"] = report.stored.file;
    json["sha256"] = report.stored.sha256;
    json["stored_at"] = report.stored.stored_at;
    json["visits_measured"] = report.stored.visits;
    json["stored_before"] = report.counts;
    json["bands"] = Json::array();
    for (const PredictedBand& band : report.stored.prediction.bands) {
        Json entry;
        entry["nominal_hz"] = json_number(band.nominal_hz, frequency_digits);
        entry["width"] = band.width ? Json(name(*band.width)) : Json(nullptr);
        add_quantity(entry, "predicted_s", "predicted_low_s", "predicted_high_s", band.decay_s);
        add_quantity(entry, "added_absorption_m2", "added_absorption_low_m2", "added_absorption_high_m2",
                     band.area_m2);
        json["bands"].push_back(std::move(entry));
    }
    return json_text(json);
}

std::string to_csv(const PredictionReport& report) {
    std::string csv = "simulated,stored_before,nominal_hz,width,predicted_s,predicted_low_s,predicted_high_s,"
                      "added_absorption_m2,added_absorption_low_m2,added_absorption_high_m2\n";
    for (const PredictedBand& band : report.stored.prediction.bands) {
        csv += fmt::format("{},{},{},{}", report.simulated, report.counts,
                           cell(band.nominal_hz, frequency_digits), width_text(band));
        for (const auto& value : {band.decay_s.value, band.decay_s.low, band.decay_s.high, band.area_m2.value,
                                  band.area_m2.low, band.area_m2.high})
            csv += ',' + cell(value);
        csv += '\n';
    }
    return csv;
}

std::string to_text(const PredictionReport& report) {
    std::string text = report.simulated ? std::string(texts::simulated_line) + "\n\n" : "";
    const texts::Text said = report.stored.is_as_built() ? texts::predict_as_built
                             : report.counts             ? texts::predict_counts
                                                         : texts::predict_too_late;
    text += wrapped(
        fmt::format(fmt::runtime(said), report.stored.stored_at, report.stored.file, report.stored.sha256));
    const std::vector<Column> columns = {
        {"", "band", "Hz"}, {"", "width", "", true}, {"", "decay after", "s"}, {"", "added", "m²"}};
    std::vector<std::vector<std::string>> rows;
    for (const PredictedBand& band : report.stored.prediction.bands)
        rows.push_back({cell(band.nominal_hz, frequency_digits), width_text(band),
                        with_interval(band.decay_s, seconds_text), with_interval(band.area_m2, area)});
    return text + '\n' + table_text(columns, rows);
}

} // namespace ebbmark
