// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/reports/deconvolve_report.hpp"

#include "proof/reports/json_fields.hpp"
#include "proof/text/guarded.hpp"
#include "proof/text/numbers.hpp"
#include "proof/words/check_words.hpp"
#include "proof/words/recording_texts.hpp"
#include "proof/words/result_notes.hpp"
#include "proof/words/table.hpp"
#include "proof/words/wording.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

namespace ebbmark {

namespace {

Json check_json(const QualityCheck& check) {
    return {{"name", code(check.name)},
            {"figure", json_number(check.figure)},
            {"limit", json_number(check.limit)},
            {"unit", check.unit},
            {"held", check.held()},
            {"outcome", code(check.outcome)},
            {"effect", check.effect},
            {"advice", check.advice}};
}

Json band_json(const ResponseBand& band) {
    Json json, empty = Json::object();
    json["nominal_hz"] = json_number(band.nominal_hz, frequency_digits);
    add_measured(json, empty, "decay_range", "db", band.decay_range_db);
    json["noise_db"] = json_number(band.noise_db);
    if (!band.noise_db)
        empty["noise_db"] = code(Empty::length);
    json["distortion_percent"] = json_number(band.distortion_percent);
    json["empty"] = empty;
    return json;
}

bool all_held(const DeconvolveReport& report) {
    return std::all_of(report.checks.begin(), report.checks.end(),
                       [](const QualityCheck& check) { return check.held(); });
}

texts::Text verdict_text(const DeconvolveReport& report) {
    if (!report.accepted)
        return texts::response_rejected;
    return all_held(report) ? texts::response_accepted : texts::response_noted;
}

std::string checks_text(const std::vector<QualityCheck>& checks) {
    std::vector<std::vector<std::string>> rows;
    for (const QualityCheck& check : checks)
        rows.push_back({std::string(code(check.outcome)), std::string(code(check.name)),
                        fmt::format("{} {}", cell(check.figure), plain_text(check.unit)),
                        fmt::format(fmt::runtime(texts::check_limit), cell(check.limit))});
    std::string text = table_text(
        {{"", "", "", true}, {"", "check", "", true}, {"", "figure", ""}, {"", "", "", true}}, rows);
    return text + outcomes_text(checks);
}

Json calibration_json(const CalibrationSource& source) {
    return {{"kind", code(source.kind)},
            {"file", source.file},
            {"sha256", source.sha256},
            {"date", source.date},
            {"pascal_per_unit", json_number(source.pascal_per_unit)}};
}

std::string calibration_text(const CalibrationSource& source) {
    return wrapped(fmt::format(fmt::runtime(texts::response_calibration), code(source.kind),
                               plain_text(source.file), source.sha256.substr(0, 12),
                               source.date.empty() ? texts::undated : texts::Text(source.date)));
}

std::string bands_table(const DeconvolveReport& report) {
    std::vector<std::vector<std::string>> rows;
    for (const ResponseBand& band : report.bands)
        rows.push_back(
            {frequency_text(band.nominal_hz),
             band.decay_range_db
                 ? fmt::format("{:.1f}", *band.decay_range_db)
                 : std::string(band.decay_range_db.empty ? code(*band.decay_range_db.empty) : texts::none),
             band.noise_db ? fmt::format("{:.0f}", *band.noise_db) : std::string(texts::none),
             band.distortion_percent ? cell(band.distortion_percent, 2) : std::string(texts::none)});
    return table_text({{"", "band", ""},
                       {"", "decay range", "dB"},
                       {"", "noise", report.levels_absolute ? "dB re 20 µPa" : "dBFS"},
                       {"", "distortion", "%"}},
                      rows);
}

} // namespace

std::string to_json(const DeconvolveReport& report) {
    Json json = json_object(report.command, origin_of(report.simulated));
    json["response"] = report.response;
    json["rate_hz"] = json_number(report.rate_hz, frequency_digits);
    json["delay_s"] =
        report.delay_s ? json_number(to_microsecond(*report.delay_s), 15) : Json(); // no sweep came in
    if (!report.delay_s)
        json["empty"] = {{"delay_s", code(Empty::disturbed)}};
    json["drift_ppm"] = json_number(report.drift_ppm);
    json["accepted"] = report.accepted;
    json["checks"] = Json::array();
    for (const QualityCheck& check : report.checks)
        json["checks"].push_back(check_json(check));
    json["bands"] = Json::array();
    for (const ResponseBand& band : report.bands)
        json["bands"].push_back(band_json(band));
    json["noise_reference"] = report.levels_absolute ? "20 uPa" : "full scale";
    json["calibration"] = Json::array();
    for (const CalibrationSource& source : report.calibration)
        json["calibration"].push_back(calibration_json(source));
    json["notes"] = sentences(report.notes);
    return json_text(json);
}

std::string to_csv(const DeconvolveReport& report) {
    std::string csv = "response,simulated,accepted,nominal_hz,decay_range_db,distortion_percent,empty\n";
    for (const ResponseBand& band : report.bands)
        csv += fmt::format("{},{},{},{},{},{},{}\n", csv_text(report.response), report.simulated,
                           report.accepted, cell(band.nominal_hz, frequency_digits),
                           cell(band.decay_range_db.value), cell(band.distortion_percent),
                           band.decay_range_db.empty
                               ? fmt::format("decay_range_db:{}", code(*band.decay_range_db.empty))
                               : "");
    return csv;
}

std::string to_text(const DeconvolveReport& report) {
    std::string text = report.simulated ? std::string(texts::simulated_line) + "\n\n" : "";
    text += wrapped(fmt::format(fmt::runtime(verdict_text(report)), plain_text(report.response)));
    if (report.delay_s)
        text += wrapped(
            fmt::format(fmt::runtime(texts::response_delay), cell(to_microsecond(*report.delay_s), 7)));
    if (report.drift_ppm)
        text += wrapped(fmt::format(fmt::runtime(texts::response_drift), cell(std::abs(*report.drift_ppm), 3),
                                    *report.drift_ppm < 0 ? texts::slow : texts::fast));
    if (!report.checks.empty())
        text += '\n' + checks_text(report.checks);
    if (!report.bands.empty())
        text += '\n' + bands_table(report) + '\n';
    for (const CalibrationSource& source : report.calibration)
        text += calibration_text(source);
    for (const std::string& note : sentences(report.notes))
        text += wrapped(plain_text(note));
    std::set<Empty> reasons;
    for (const ResponseBand& band : report.bands)
        if (band.decay_range_db.empty)
            reasons.insert(*band.decay_range_db.empty);
    return reasons.empty() ? text : text + wrapped(reasons_sentence(reasons));
}

} // namespace ebbmark
