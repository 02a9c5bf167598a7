// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/reports/sweep_report.hpp"

#include "proof/reports/json_fields.hpp"
#include "proof/text/guarded.hpp"
#include "proof/text/numbers.hpp"
#include "proof/words/device_texts.hpp"
#include "proof/words/table.hpp"

#include <fmt/format.h>

namespace ebbmark {

namespace {

double whole_s(const Sweep& sweep) {
    return sweep.lead_silence_s + (sweep.repeats - 1) * sweep.repeat_period_s + sweep.seconds +
           sweep.tail_silence_s;
}

Json fields(const SweepReport& report) {
    const Sweep& sweep = report.sweep;
    Json json = json_object("sweep", Origin::real);
    json["sound"] = report.sound;
    json["description"] = report.description;
    json["start_hz"] = json_number(sweep.start_hz, frequency_digits);
    json["stop_hz"] = json_number(sweep.stop_hz, frequency_digits);
    json["seconds"] = json_number(sweep.seconds);
    json["rate_hz"] = json_number(sweep.rate_hz, frequency_digits);
    json["level_dbfs"] = json_number(sweep.level_dbfs);
    json["repeats"] = sweep.repeats;
    json["whole_s"] = json_number(whole_s(sweep), frequency_digits);
    json["sha256"] = report.sha256;
    return json;
}

} // namespace

std::string to_json(const SweepReport& report) {
    return json_text(fields(report));
}

std::string to_csv(const SweepReport& report) {
    std::string text = "field,value\n";
    const Json json = fields(report);
    for (auto it = json.begin(); it != json.end(); ++it)
        text +=
            fmt::format("{},{}\n", it.key(), csv_text(it->is_string() ? it->get<std::string>() : it->dump()));
    return text;
}

std::string to_text(const SweepReport& report) {
    const Sweep& sweep = report.sweep;
    std::string text = fmt::format(
        fmt::runtime(texts::sweep_written), plain_text(report.sound), sweep.repeats, cell(sweep.seconds),
        frequency_text(sweep.start_hz), frequency_text(sweep.stop_hz), cell(whole_s(sweep)),
        frequency_text(sweep.rate_hz), cell(sweep.level_dbfs), plain_text(report.description));
    for (const texts::Text caution : texts::sweep_cautions)
        text += wrapped(std::string(caution), terminal_columns, 2, "- ");
    return text;
}

} // namespace ebbmark
