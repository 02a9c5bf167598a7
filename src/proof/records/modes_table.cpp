// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/records/modes_table.hpp"

#include "proof/text/guarded.hpp"
#include "proof/text/numbers.hpp"
#include "proof/words/cells.hpp"
#include "proof/words/page_texts.hpp"
#include "proof/words/proof_findings_texts.hpp"

#include <algorithm>

namespace ebbmark {

namespace {

std::string hertz_cell(const std::optional<double>& hz) {
    return hz ? fmt::format("{:.1f}", *hz) : std::string(texts::none);
}

std::string after_cell(const ModePair& mode) {
    if (mode.after_t60_s || !mode.after_t60_at_most_s)
        return seconds_cell(mode.after_t60_s);
    return filled(texts::at_most, seconds_text(*mode.after_t60_at_most_s));
}

} // namespace

DocumentTable modes_table(const std::vector<ModeFinding>& modes, const CompareReport& report) {
    const std::string before = shortened(plain_text(report.before), 12),
                      after = shortened(plain_text(report.after), 12);
    DocumentTable table;
    table.columns = {{"mode " + before, "Hz"},
                     {after, "Hz"},
                     {"T60 " + before, "s"},
                     {std::string(texts::column_interval), "s"},
                     {"T60 " + after, "s"},
                     {std::string(texts::column_interval), "s"},
                     {std::string(texts::column_change), "%"},
                     {std::string(texts::column_interval), "%"},
                     {std::string(texts::column_finding), "", true}};
    for (const ModeFinding& finding : modes) {
        const ModePair& mode = finding.mode;
        DocumentRow row{{hertz_cell(mode.before_hz), hertz_cell(mode.after_hz),
                         seconds_cell(mode.before_t60_s), interval_cell(mode.before_t60_s, seconds_text),
                         after_cell(mode), interval_cell(mode.after_t60_s, seconds_text),
                         percent_cell(finding.change_percent), percent_interval_cell(finding.change_percent),
                         std::string(name(finding.finding))}};
        row.strong = finding.finding == Finding::shorter || finding.finding == Finding::longer;
        row.quiet = finding.finding == Finding::not_measurable;
        table.rows.push_back(std::move(row));
    }
    return table;
}

DocumentTable modes_prediction_table(const std::vector<ModeFinding>& modes) {
    DocumentTable table{"modes-prediction",
                        std::string(texts::modes_prediction_caption),
                        {{"mode", "Hz"},
                         {std::string(texts::column_predicted), "s"},
                         {std::string(texts::column_interval), "s"},
                         {"after", "s"},
                         {"came out", "", true}},
                        {},
                        ""};
    for (const ModeFinding& finding : modes)
        if (const Measured& predicted = finding.mode.predicted_t60_s)
            table.rows.push_back({{hertz_cell(finding.mode.before_hz), seconds_cell(predicted),
                                   interval_cell(predicted, seconds_text), after_cell(finding.mode),
                                   std::string(name(finding.against))}});
    return table;
}

} // namespace ebbmark
