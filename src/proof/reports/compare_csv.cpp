// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/reports/finding_report.hpp"
#include "proof/text/guarded.hpp"
#include "proof/text/numbers.hpp"

#include <fmt/format.h>

#include <array>

namespace ebbmark {

namespace {

/// Every row has these cells; what a kind of row does not have stays empty.
constexpr std::array csv_columns = {"row",
                                    "simulated",
                                    "nominal_hz",
                                    "width",
                                    "metric",
                                    "positions",
                                    "before_s",
                                    "after_s",
                                    "after_at_most_s",
                                    "change_percent",
                                    "change_low_percent",
                                    "change_high_percent",
                                    "could_show_percent",
                                    "finding",
                                    "added_area_m2",
                                    "added_area_low_m2",
                                    "added_area_high_m2",
                                    "general_percent",
                                    "general_low_percent",
                                    "general_high_percent",
                                    "change_at_most_percent",
                                    "predicted_s",
                                    "predicted_low_s",
                                    "predicted_high_s",
                                    "predicted_percent",
                                    "against_prediction",
                                    "acceptance",
                                    "mode_before_hz",
                                    "mode_after_hz",
                                    "empty"};

class Row {
  public:
    Row(std::string_view kind, bool simulated) {
        set("row", kind);
        set("simulated", simulated ? "true" : "false");
    }
    void set(std::string_view column, std::string_view text) { at(column) = csv_text(std::string(text)); }
    void set(std::string_view column, const std::optional<double>& value, int digits = 4) {
        at(column) = cell(value, digits);
    }
    /// A quantity with its interval in the columns name_unit, name_low_unit, name_high_unit.
    void set(const std::string& name, const std::string& unit, const Measured& measured) {
        set(name + '_' + unit, measured.value);
        set(name + "_low_" + unit, measured.low);
        set(name + "_high_" + unit, measured.high);
    }
    std::string text() const { return fmt::format("{}\n", fmt::join(cells_, ",")); }

  private:
    std::string& at(std::string_view column) {
        std::size_t i = 0;
        while (column != csv_columns[i])
            ++i;
        return cells_.at(i);
    }
    std::array<std::string, csv_columns.size()> cells_;
};

std::string reasons(const Json& empty) {
    std::string text;
    for (const auto& [key, why] : empty.items())
        text += (text.empty() ? "" : " ") + key + ':' + why.get<std::string>();
    return text;
}

std::string question_row(const CompareReport& report, const QuestionFinding& question) {
    Row row("question", report.simulated);
    row.set("metric", name(question.metric));
    row.set("positions",
            static_cast<double>(report.comparison.listening_places > 0 ? report.comparison.listening_places
                                                                       : report.comparison.pairs));
    row.set("change", "percent", question.change_percent);
    row.set("could_show_percent", question.could_show_percent);
    row.set("finding", name(question.finding));
    row.set("general", "percent", question.general_percent);
    if (question.promise) {
        row.set("predicted_percent", question.promise->promised_percent.value);
        row.set("against_prediction", name(question.promise->came));
    }
    if (question.acceptance)
        row.set("acceptance", name(*question.acceptance));
    if (question.change_percent.empty)
        row.set("empty", fmt::format("change_percent:{}", code(*question.change_percent.empty)));
    return row.text();
}

std::string band_row(bool simulated, const BandFinding& band) {
    Row row("band", simulated);
    row.set("nominal_hz", band.band.nominal_hz, frequency_digits);
    row.set("width", name(band.band.width));
    row.set("metric", name(band.metric));
    row.set("positions", static_cast<double>(band.positions));
    row.set("before_s", band.before_s);
    row.set("after_s", band.after_s);
    row.set("after_at_most_s", band.after_at_most_s);
    row.set("change", "percent", band.change_percent);
    row.set("could_show_percent", band.could_show_percent);
    row.set("finding", name(band.finding));
    row.set("added_area", "m2", band.added_area_m2);
    row.set("general", "percent", band.general_percent);
    row.set("change_at_most_percent", band.change_at_most_percent);
    row.set("predicted", "s", band.predicted_s);
    row.set("against_prediction", name(band.against_prediction));
    row.set("empty", reasons(empty_json(band)));
    return row.text();
}

std::string mode_row(bool simulated, const ModeFinding& finding) {
    const ModePair& mode = finding.mode;
    Row row("mode", simulated);
    row.set("metric", "t60");
    row.set("before_s", mode.before_t60_s.value);
    row.set("after_s", mode.after_t60_s.value);
    row.set("after_at_most_s", mode.after_t60_at_most_s);
    row.set("change", "percent", finding.change_percent);
    row.set("finding", name(finding.finding));
    row.set("predicted", "s", mode.predicted_t60_s);
    row.set("against_prediction", name(finding.against));
    row.set("mode_before_hz", mode.before_hz, frequency_digits);
    row.set("mode_after_hz", mode.after_hz, frequency_digits);
    if (finding.change_percent.empty)
        row.set("empty", fmt::format("change_percent:{}", code(*finding.change_percent.empty)));
    return row.text();
}

} // namespace

std::string to_csv(const CompareReport& report) {
    std::string csv = fmt::format("{}\n", fmt::join(csv_columns, ","));
    if (report.comparison.question)
        csv += question_row(report, *report.comparison.question);
    for (const BandFinding& band : report.comparison.bands)
        csv += band_row(report.simulated, band);
    for (const ModeFinding& mode : report.comparison.modes)
        csv += mode_row(report.simulated, mode);
    return csv;
}

} // namespace ebbmark
