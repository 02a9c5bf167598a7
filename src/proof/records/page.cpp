// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/records/page.hpp"

#include "proof/charts/decay_chart.hpp"
#include "proof/records/page_content.hpp"
#include "proof/reports/finding_report.hpp"
#include "proof/text/guarded.hpp"
#include "proof/text/numbers.hpp"
#include "proof/words/comparison_texts.hpp"
#include "proof/words/page_texts.hpp"
#include "proof/words/wording.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace ebbmark {

namespace {

std::string text(texts::Text words) {
    return std::string(words);
}

std::string subtitle_of(const Comparison& comparison) {
    const std::string positions = compared_positions(comparison);
    if (comparison.bands.empty())
        return positions;
    return positions + text(comparison.bands.front().band.width == BandWidth::third ? texts::in_third_octaves
                                                                                    : texts::in_octaves);
}

/// What the reader came for, then what else was found. What was asked before the second visit comes first,
/// good or bad news alike.
void add_findings(std::vector<DocumentPart>& parts, const CompareReport& report) {
    const Comparison& comparison = report.comparison;
    std::string first = headline(comparison);
    std::vector<std::string> others = remaining_findings(comparison);
    if (comparison.question) {
        auto answers = answer_sentences(*comparison.question);
        answers.erase(answers.begin() + 1); // the answer itself is the headline
        for (std::string& sentence : answers)
            sentence = with_minus_sign(plain_text(sentence));
        answers.push_back(first);
        others.insert(others.begin(), answers.begin(), answers.end());
        first = answer_headline(*comparison.question);
    }
    if (report.evidence_faults)
        first = evidence_warning(report.evidence_faults) + ' ' + first;
    parts.push_back(DocumentText{TextKind::finding, first});
    for (const std::string& sentence : others)
        parts.push_back(DocumentText{TextKind::body, sentence});
}

DocumentChart chart_of(const CompareReport& report) {
    DocumentChart chart;
    chart.name = "comparison";
    chart.description = chart_description(report);
    chart.height = 0.55;
    chart.narrow_height = 1.28;
    chart.draw = [report](const ChartSize& size) { return comparison_chart(report, size); };
    return chart;
}

DocumentColumns::Entry against_the_prediction(const CompareReport& report) {
    DocumentColumns::Entry entry{text(texts::prediction_head), prediction_sentences(report)};
    for (std::string& sentence : entry.paragraphs)
        sentence = plain_text(sentence);
    if (!entry.paragraphs.empty())
        entry.paragraphs.push_back(text(texts::prediction_method));
    return entry;
}

DocumentColumns words_of(const CompareReport& report) {
    DocumentColumns columns;
    columns.entries = {against_the_prediction(report),
                       meaning_of(report.comparison),
                       limits_of_proof(),
                       method_of(report, Units::metric),
                       caution_when_repeating(),
                       {text(texts::remarks_head), all_notes(report), text(texts::remarks_left_out)}};
    std::erase_if(columns.entries,
                  [](const DocumentColumns::Entry& entry) { return entry.paragraphs.empty(); });
    return columns;
}

// So few files per state stand with whole hashes in any case. Of more than the second the short list names
// one less and counts the rest.
constexpr std::size_t whole_hashes = 3, listed_files = 10, name_columns = 20, half_digest = 32;

/// Both states beside each other, with the first half of each hash.
DocumentTable short_evidence_of(const CompareReport& report) {
    const auto head = [](const std::string& state) {
        return DocumentColumn{shortened(plain_text(state), name_columns), "", true};
    };
    DocumentTable table{
        "evidence",
        text(texts::evidence_head_cut),
        {head(report.before), {"", "", false, true}, head(report.after), {"", "", false, true}},
        {},
        ""};
    const auto& before = report.before_files;
    const auto& after = report.after_files;
    table.rows.resize(std::min(listed_files, std::max(before.size(), after.size())));
    const auto add = [&](const std::vector<EvidenceFile>& files) {
        for (std::size_t i = 0; i < table.rows.size(); ++i) {
            auto& cells = table.rows[i].cells;
            const bool counted = files.size() > listed_files && i + 1 == listed_files;
            const bool listed = i < files.size() && !counted;
            cells.push_back(counted  ? fmt::format(fmt::runtime(texts::evidence_left_out), files.size() - i)
                            : listed ? shortened(plain_text(files[i].name), name_columns)
                                     : "");
            cells.push_back(listed ? files[i].sha256.substr(0, half_digest) : "");
        }
    };
    add(before);
    add(after);
    return table;
}

DocumentTable evidence_of(const CompareReport& report) {
    DocumentTable table{"evidence",
                        text(texts::evidence_head),
                        {{"", "", true}, {"", "", true}, {"", "", false, true}},
                        {},
                        ""};
    const auto add = [&](const std::string& state, const std::vector<EvidenceFile>& files) {
        for (const EvidenceFile& file : files)
            table.rows.push_back({{state, file.name, file.sha256}});
    };
    add(report.before, report.before_files);
    add(report.after, report.after_files);
    if (std::max(report.before_files.size(), report.after_files.size()) > whole_hashes)
        table.shorter = std::make_shared<DocumentTable>(short_evidence_of(report));
    return table;
}

} // namespace

Document page_document(const CompareReport& report, const PageFacts& facts) {
    Document document;
    document.title = text(texts::page_title);
    document.subtitle = subtitle_of(report.comparison);
    document.date = facts.date;
    document.simulated = report.simulated;
    document.footer =
        fmt::format(fmt::runtime(texts::page_footer), plain_text(facts.version), plain_text(facts.date));
    DocumentSection section;
    add_findings(section.parts, report);
    section.parts.push_back(chart_of(report));
    section.parts.push_back(bands_table(report, Units::metric));
    section.parts.push_back(words_of(report));
    if (!report.before_files.empty() || !report.after_files.empty())
        section.parts.push_back(evidence_of(report));
    document.sections = {section};
    return document;
}

} // namespace ebbmark
