// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/reports/device_reports.hpp"

#include "proof/reports/json_fields.hpp"
#include "proof/text/guarded.hpp"
#include "proof/text/numbers.hpp"
#include "proof/words/device_texts.hpp"
#include "proof/words/table.hpp"
#include "proof/words/wording.hpp"

#include <fmt/format.h>

#include <cmath>

namespace ebbmark {

namespace {

std::string cell_or_none(const std::optional<double>& value) {
    return value ? fmt::format("{:.0f}", *value) : std::string(texts::none);
}

/// Its code in JSON, and what it means.
struct EndWords {
    std::string_view code, text;
};

EndWords words_for(LevelEnd end) {
    switch (end) {
    case LevelEnd::enough:
        return {"enough", texts::level_enough};
    case LevelEnd::limit:
        return {"limit", texts::level_limit};
    case LevelEnd::clipping:
        return {"clipping", texts::level_clipping};
    case LevelEnd::distortion:
        return {"distortion", texts::level_distortion};
    case LevelEnd::stopped:
        return {"stopped", texts::level_stopped};
    }
    return {};
}

/// The bands of interest that stay short of the decay range even with the sweep proposed.
std::vector<Band> short_bands(const LevelReport& report) {
    std::vector<Band> bands;
    for (const LevelBandRow& row : report.bands)
        if (row.of_interest && row.predicted_db.value_or(0) < report.aimed_db)
            bands.push_back(row.band);
    return bands;
}

std::string steps_table(const LevelReport& report) {
    std::vector<std::vector<std::string>> rows;
    for (const LevelStepRow& step : report.steps)
        rows.push_back({fmt::format("{:.0f}", step.level_dbfs), fmt::format("{:.0f}", step.peak_dbfs),
                        cell_or_none(step.least_range_db),
                        step.most_distortion_percent ? fmt::format("{:.1f}", *step.most_distortion_percent)
                                                     : std::string(texts::none)});
    return table_text({{"", "played", "dBFS"},
                       {"", "recorded", "peak dBFS"},
                       {"", "least decay range", "dB"},
                       {"", "most distortion", "%"}},
                      rows);
}

std::string bands_table(const LevelReport& report) {
    std::vector<std::vector<std::string>> rows;
    for (const LevelBandRow& row : report.bands)
        rows.push_back({label(row.band), fmt::format("{:.0f}", row.noise_dbfs), cell_or_none(row.range_db),
                        cell_or_none(row.predicted_db),
                        row.of_interest ? std::string(texts::level_wanted) : ""});
    return table_text({{"", "band", "Hz"},
                       {"", "noise", "dBFS"},
                       {"decay range", "test", "dB"},
                       {"decay range", "predicted", "dB"},
                       {"", "", "", true}},
                      rows);
}

} // namespace

std::string to_json(const DevicesReport& report) {
    Json json = json_object("devices", Origin::real);
    json["devices"] = Json::array();
    for (const DeviceRow& row : report.devices)
        json["devices"].push_back({{"number", row.number},
                                   {"host", row.host},
                                   {"name", row.name},
                                   {"inputs", row.inputs},
                                   {"outputs", row.outputs},
                                   {"rate_hz", json_number(row.rate_hz, frequency_digits)},
                                   {"default_input", row.default_input},
                                   {"default_output", row.default_output}});
    json["messages"] = report.messages;
    return json_text(json);
}

std::string to_csv(const DevicesReport& report) {
    std::string text = "number,host,name,inputs,outputs,rate_hz,default_input,default_output\n";
    for (const DeviceRow& row : report.devices)
        text += fmt::format("{},{},{},{},{},{},{},{}\n", row.number, csv_text(row.host), csv_text(row.name),
                            row.inputs, row.outputs, cell(row.rate_hz, frequency_digits), row.default_input,
                            row.default_output);
    return text;
}

std::string to_text(const DevicesReport& report) {
    std::vector<std::vector<std::string>> rows;
    for (const DeviceRow& row : report.devices) {
        std::string marks;
        if (row.default_input)
            marks += texts::device_default_input;
        if (row.default_output)
            marks += (marks.empty() ? "" : ", ") + std::string(texts::device_default_output);
        rows.push_back({std::to_string(row.number), plain_text(row.host), plain_text(row.name),
                        std::to_string(row.inputs), std::to_string(row.outputs),
                        cell(row.rate_hz, frequency_digits), marks});
    }
    std::string text = table_text({{"", "number", ""},
                                   {"", "driver", "", true},
                                   {"", "name", "", true},
                                   {"channels", "in", ""},
                                   {"channels", "out", ""},
                                   {"", "rate", "Hz"},
                                   {"", "", "", true}},
                                  rows);
    text += '\n' + wrapped(std::string(texts::devices_use));
    for (const std::string& message : report.messages)
        text += wrapped(plain_text(message), terminal_columns, 2);
    return text;
}

std::string to_json(const LevelReport& report) {
    Json json = json_object("level", origin_of(report.simulated));
    json["job"] = report.job;
    json["device"] = report.device;
    json["output"] = report.output;
    json["output_channel"] = report.output_channel;
    json["source"] = report.source;
    json["end"] = words_for(report.end).code;
    json["limit_dbfs"] = json_number(report.limit_dbfs);
    json["level_dbfs"] = json_number(report.sweep ? std::optional(report.sweep->level_dbfs) : std::nullopt);
    json["start_hz"] = json_number(report.sweep ? std::optional(report.sweep->start_hz) : std::nullopt);
    json["seconds"] = json_number(report.sweep ? std::optional(report.sweep->seconds) : std::nullopt);
    json["repeats"] = report.sweep ? Json(report.sweep->repeats) : Json();
    json["take_s"] = json_number(report.sweep ? std::optional(report.take_s) : std::nullopt);
    json["takes"] = report.takes;
    json["steps"] = Json::array();
    for (const LevelStepRow& step : report.steps)
        json["steps"].push_back({{"level_dbfs", json_number(step.level_dbfs)},
                                 {"peak_dbfs", json_number(step.peak_dbfs)},
                                 {"least_decay_range_db", json_number(step.least_range_db)},
                                 {"most_distortion_percent", json_number(step.most_distortion_percent)}});
    json["bands"] = Json::array();
    for (const LevelBandRow& row : report.bands)
        json["bands"].push_back({{"nominal_hz", json_number(row.band.nominal_hz, frequency_digits)},
                                 {"noise_dbfs", json_number(row.noise_dbfs)},
                                 {"decay_range_db", json_number(row.range_db)},
                                 {"predicted_decay_range_db", json_number(row.predicted_db)},
                                 {"of_interest", row.of_interest}});
    json["notes"] = report.fault.empty() ? Json::array() : Json::array({report.fault});
    return json_text(json);
}

std::string to_csv(const LevelReport& report) {
    std::string text = "nominal_hz,noise_dbfs,decay_range_db,predicted_decay_range_db,of_interest\n";
    for (const LevelBandRow& row : report.bands)
        text +=
            fmt::format("{},{},{},{},{}\n", cell(row.band.nominal_hz, frequency_digits), cell(row.noise_dbfs),
                        cell(row.range_db), cell(row.predicted_db), row.of_interest);
    return text;
}

std::string to_text(const LevelReport& report) {
    std::string text = report.simulated ? std::string(texts::simulated_line) + "\n\n" : "";
    if (!report.steps.empty())
        text += steps_table(report) + '\n';
    text += wrapped(
        fmt::format(fmt::runtime(words_for(report.end).text), report.limit_dbfs, plain_text(report.fault)));
    if (!report.sweep)
        return text + wrapped(std::string(texts::level_none));
    text += '\n' + bands_table(report) + '\n';
    const Sweep& sweep = *report.sweep;
    text += wrapped(fmt::format(fmt::runtime(texts::level_proposal), plain_text(report.source),
                                report.output_channel, plain_text(report.output),
                                frequency_text(sweep.rate_hz), fmt::format("{:.0f}", sweep.level_dbfs),
                                sweep.repeats, cell(sweep.seconds), frequency_text(sweep.start_hz),
                                fmt::format("{:.0f}", report.take_s), report.takes,
                                fmt::format("{:.0f}", std::ceil(report.takes * report.take_s / 60))));
    std::vector<Band> all;
    for (const LevelBandRow& row : report.bands)
        all.push_back(row.band);
    if (const auto missing = short_bands(report); !missing.empty())
        text += wrapped(fmt::format(fmt::runtime(texts::level_short), bands_text(missing, all),
                                    fmt::format("{:.0f}", report.aimed_db)));
    return text;
}

} // namespace ebbmark
