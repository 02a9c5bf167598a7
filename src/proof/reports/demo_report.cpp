// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/reports/demo_report.hpp"

#include "proof/reports/compare_report.hpp"
#include "proof/reports/job_reports.hpp"
#include "proof/reports/json_fields.hpp"
#include "proof/text/guarded.hpp"
#include "proof/text/numbers.hpp"
#include "proof/words/job_texts.hpp"
#include "proof/words/table.hpp"

#include <fmt/format.h>

namespace ebbmark {

namespace {

std::optional<double> mean(double sum, int count) {
    return count > 0 ? std::optional(sum / count) : std::nullopt;
}

std::string truth_table(const std::vector<TruthRow>& rows) {
    std::vector<std::vector<std::string>> cells;
    for (const TruthRow& row : rows) {
        const auto measured = mean(row.measured_s, row.given), truth = mean(row.true_s, row.given);
        cells.push_back({row.visit, label(row.band),
                         measured ? seconds_text(*measured) : std::string(texts::none),
                         truth ? seconds_text(*truth) : std::string(texts::none),
                         fmt::format(fmt::runtime(texts::inside_of), row.inside, row.given),
                         fmt::format("{}", row.empty)});
    }
    return table_text({{"", "visit", "", true},
                       {"", "band", "Hz"},
                       {"", "measured", "s"},
                       {"", "true", "s"},
                       {"", "inside", ""},
                       {"", "empty", ""}},
                      cells);
}

} // namespace

std::string to_json(const DemoReport& report) {
    Json json = json_object("demo", Origin::simulated);
    json["job"] = report.job;
    json["truth"] = Json::array();
    for (const TruthRow& row : report.truth)
        json["truth"].push_back({{"visit", row.visit},
                                 {"nominal_hz", json_number(row.band.nominal_hz, frequency_digits)},
                                 {"measured_s", json_number(mean(row.measured_s, row.given))},
                                 {"true_s", json_number(mean(row.true_s, row.given))},
                                 {"positions", row.given},
                                 {"inside", row.inside},
                                 {"without_value", row.empty}});
    json["comparison"] = Json::parse(to_json(report.comparison));
    json["verification"] = Json::parse(to_json(report.verification));
    return json_text(json);
}

std::string to_csv(const DemoReport& report) {
    std::string text = "visit,nominal_hz,measured_s,true_s,positions,inside,without_value\n";
    for (const TruthRow& row : report.truth)
        text += fmt::format("{},{},{},{},{},{},{}\n", row.visit, cell(row.band.nominal_hz, frequency_digits),
                            cell(mean(row.measured_s, row.given)), cell(mean(row.true_s, row.given)),
                            row.given, row.inside, row.empty);
    return text;
}

std::string to_text(const DemoReport& report) {
    int given = 0, inside = 0, empty = 0;
    for (const TruthRow& row : report.truth) {
        given += row.given;
        inside += row.inside;
        empty += row.empty;
    }
    return std::string(texts::simulated_line) + "\n\n" + wrapped(std::string(texts::demo_room)) + '\n' +
           to_text(report.comparison) + '\n' + wrapped(std::string(texts::demo_truth)) + '\n' +
           truth_table(report.truth) + '\n' +
           wrapped(fmt::format(fmt::runtime(texts::demo_inside), inside, given, empty)) + '\n' +
           to_text(report.verification) + '\n' +
           wrapped(fmt::format(fmt::runtime(texts::demo_pages), plain_text(report.job)));
}

} // namespace ebbmark
