// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/charts/decay_chart.hpp"
#include "proof/document/document.hpp"
#include "proof/records/page.hpp"
#include "proof/records/page_content.hpp"
#include "proof/words/page_texts.hpp"

namespace ebbmark {

namespace {

DocumentChart chart_of(const CompareReport& report) {
    DocumentChart chart;
    chart.name = "comparison";
    chart.description = chart_description(report);
    chart.height = 0.55;
    chart.narrow_height = 1.28;
    chart.draw = [report](const ChartSize& size) { return comparison_chart(report, size); };
    return chart;
}

DocumentColumns words_of(const PageContent& content) {
    DocumentColumns columns;
    for (const PageSection& section : content.sections)
        columns.entries.push_back({section.heading, section.paragraphs});
    if (!content.remarks.empty())
        columns.entries.push_back({std::string(texts::remarks_head), content.remarks});
    return columns;
}

DocumentTable evidence_of(const CompareReport& report) {
    DocumentTable table{"evidence",
                        std::string(texts::evidence_head),
                        {{"", "", true}, {"", "", true}, {"", "", false, true}},
                        {},
                        ""};
    const auto add = [&](const std::string& state, const std::vector<EvidenceFile>& files) {
        for (const EvidenceFile& file : files)
            table.rows.push_back({{state, file.name, file.sha256}});
    };
    add(report.before, report.before_files);
    add(report.after, report.after_files);
    return table;
}

} // namespace

std::string page_html(const CompareReport& report, const PageFacts& facts) {
    const PageContent content = page_content(report, facts);
    Document document;
    document.title = content.title;
    document.subtitle = content.subtitle;
    document.simulated = content.simulated;
    document.footer = content.footer;
    DocumentSection section;
    section.parts.push_back(DocumentText{TextKind::finding, content.headline});
    for (const std::string& sentence : content.remaining)
        section.parts.push_back(DocumentText{TextKind::body, sentence});
    section.parts.push_back(chart_of(report));
    section.parts.push_back(content.bands);
    section.parts.push_back(words_of(content));
    if (!report.before_files.empty() || !report.after_files.empty())
        section.parts.push_back(evidence_of(report));
    document.sections = {section};
    return document_html(document);
}

} // namespace ebbmark
