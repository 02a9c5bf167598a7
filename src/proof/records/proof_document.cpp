// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/records/proof_document.hpp"

#include "proof/charts/result_chart.hpp"
#include "proof/records/modes_table.hpp"
#include "proof/records/page_content.hpp"
#include "proof/records/plan_words.hpp"
#include "proof/records/redaction.hpp"
#include "proof/reports/finding_report.hpp"
#include "proof/text/numbers.hpp"
#include "proof/words/advice.hpp"
#include "proof/words/bundle_texts.hpp"
#include "proof/words/comparison_texts.hpp"
#include "proof/words/job_texts.hpp"
#include "proof/words/page_texts.hpp"
#include "proof/words/promise_texts.hpp"
#include "proof/words/proof_findings_texts.hpp"
#include "proof/words/proof_record_texts.hpp"
#include "proof/words/proof_texts.hpp"
#include "proof/words/record_texts.hpp"
#include "proof/words/verdict_notes.hpp"
#include "proof/words/wording.hpp"

#include <algorithm>

namespace ebbmark {

namespace {

std::string word(texts::Text text) {
    return std::string(text);
}

std::string joined(const std::vector<std::string>& sentences) {
    std::string text;
    for (const std::string& sentence : sentences)
        text += (text.empty() ? "" : " ") + with_minus_sign(sentence);
    return text;
}

/// When a visit was: as its protocol says, else when its first take was made.
std::string date_of(const ProofInput& input, const std::string& visit) {
    const auto protocol = input.visits.find(visit);
    if (protocol != input.visits.end() && !protocol->second.date.empty())
        return protocol->second.date;
    std::string first;
    for (const Take& take : input.takes)
        if (take.visit == visit && (first.empty() || take.made_at < first))
            first = take.made_at;
    return first.substr(0, std::min<std::size_t>(10, first.size()));
}

std::string newest_date(const ProofInput& input) {
    std::string newest;
    for (const Take& take : input.takes)
        newest = std::max(newest, take.made_at);
    return newest;
}

DocumentFacts facts_of(const ProofInput& input) {
    const CompareReport& comparison = input.comparison;
    DocumentFacts facts;
    const auto add = [&](texts::Text what, const std::string& value) {
        facts.entries.emplace_back(word(what), value.empty() ? word(texts::not_given) : value);
    };
    add(texts::fact_contractor, input.job.contractor);
    add(texts::fact_client, input.job.client);
    add(texts::fact_invoice, input.job.invoice);
    add(texts::fact_room, input.job.title);
    add(texts::fact_size, room_size(input.job.room, input.units));
    add(texts::fact_visits,
        filled(texts::fact_visit_on, comparison.before, date_of(input, comparison.before)) + ", " +
            filled(texts::fact_visit_on, comparison.after, date_of(input, comparison.after)));
    return facts;
}

/// The finding on the question, or on all bands where none was asked.
std::string finding_sentence(const CompareReport& report) {
    return report.comparison.question ? answer_headline(*report.comparison.question)
                                      : headline(report.comparison);
}

/// "shorter by 39 % (32 to 46 %)".
std::string size_words(const Measured& change_percent) {
    if (!change_percent)
        return word(texts::none);
    const bool falls = *change_percent < 0;
    return filled(falls ? texts::size_shorter : texts::size_longer, size_text(change_percent, falls));
}

/// "8 as predicted, 1 less, 2 more; 12 cannot be told" of all modes that were predicted.
std::string modes_outcome(const ModesAgainst& modes) {
    return filled(texts::promised_modes_came, modes.as_predicted, modes.less, modes.more, modes.cannot_tell);
}

/// A lack in the words of `next`, but for a protocol with many blank lines.
std::string lack_words(const Lack& lack) {
    constexpr std::size_t most_named = 3;
    const auto* blank = std::get_if<ProtocolBlank>(&lack);
    return blank && blank->keys.size() > most_named ? filled(texts::lacking_protocol, blank->keys.size())
                                                    : sentence(lack);
}

/// What `next` would say that the compared visits lack.
std::string what_lacks(const ProofInput& input) {
    std::string said;
    for (const auto& [visit, lacks] : input.lacks)
        for (const Lack& lack : lacks)
            said += (said.empty() ? "" : " ") + filled(texts::lacking_in_visit, visit, lack_words(lack));
    return said.empty() ? said : filled(texts::lacking, said);
}

/// "at S1-M1 and S2-M1".
std::string scope_heading(const std::vector<std::string>& places) {
    const std::string words = scope_words(places);
    return words.empty() ? words : words.substr(2);
}

/// Line by line what was promised, what came, and whether that is it.
DocumentTable promised_table(const ProofInput& input) {
    const Comparison& comparison = input.comparison.comparison;
    DocumentTable table{"promised",
                        "",
                        {{scope_heading(headline_places(comparison)), "", true},
                         {word(texts::column_promised), "", true},
                         {word(texts::column_came), "", true},
                         {word(texts::column_so), "", true}},
                        {},
                        ""};
    const QuestionFinding& question = *comparison.question;
    const auto& promise = question.promise;
    if (promise && promise->promised_percent) {
        table.rows.push_back({{filled(texts::promised_decay, bands_text(promise->bands)),
                               size_words(promise->promised_percent), size_words(promise->came_percent),
                               std::string(name(promise->came))}});
        table.key = !promise->came_percent ? word(texts::promise_not_measured)
                    : promise->told_below_percent
                        ? filled(texts::promise_told_below, percent_text(*promise->told_below_percent))
                        : word(texts::promise_never_told);
    }
    if (input.job.acceptance)
        table.rows.push_back(
            {{filled(texts::promised_agreed, question.text),
              filled(texts::promised_at_least, percent_text(input.job.acceptance->at_least_percent)),
              size_words(question.change_percent),
              question.acceptance ? std::string(name(*question.acceptance))
                                  : word(texts::promised_not_judged)}});
    if (const ModesAgainst modes = modes_against(comparison); modes.predicted > 0)
        table.rows.push_back({{filled(texts::promised_modes, modes.predicted),
                               word(texts::promised_one_by_one), modes_outcome(modes), word(texts::none)}});
    return table;
}

/// What else is to be said of the question, and the bands in a sentence.
std::vector<DocumentPart> rest_of_finding(const CompareReport& report) {
    std::vector<DocumentPart> parts;
    const auto add = [&](TextKind kind, const std::string& said) {
        if (!said.empty())
            parts.push_back(DocumentText{kind, with_minus_sign(said)});
    };
    if (const auto& asked = report.comparison.question) {
        QuestionFinding question = *asked;
        question.notes.clear(); // they come in small print
        auto said = answer_sentences(question);
        said.erase(said.begin() + 1); // the answer itself stands on the first page
        add(TextKind::body, joined(said));
        add(TextKind::quiet, joined(sentences(asked->notes)));
        add(TextKind::body, filled(texts::band_by_band, scope_words(headline_places(report.comparison)),
                                   headline(report.comparison)));
    }
    return parts;
}

DocumentChart chart_of(const CompareReport& report) {
    const bool predicted = std::any_of(report.comparison.bands.begin(), report.comparison.bands.end(),
                                       [](const BandFinding& band) { return !!band.predicted_s; });
    const bool counts = report.comparison.prediction_stored_before.value_or(false);
    std::string target;
    for (const VisitTarget& visit : report.targets)
        if (visit.visit == report.after && !visit.bands.empty())
            target = filled(texts::result_caption_target, visit.name);
    DocumentChart chart;
    chart.name = "decay";
    chart.caption = filled(texts::result_caption, report.before, report.after,
                           scope_words(headline_places(report.comparison)),
                           !predicted ? ""
                           : counts   ? texts::result_caption_predicted
                                      : texts::result_caption_late,
                           target);
    chart.description = filled(texts::describes_result, report.comparison.bands.size());
    chart.height = 0.78;
    chart.narrow_height = 0.95;
    chart.draw = [report](const ChartSize& size) { return result_chart(report, size); };
    return chart;
}

DocumentColumns meaning_and_limits(const Comparison& comparison) {
    DocumentColumns columns;
    for (const DocumentColumns::Entry& entry : {meaning_of(comparison), limits_of_proof()})
        if (!entry.paragraphs.empty())
            columns.entries.push_back(entry);
    return columns;
}

} // namespace

DocumentSection proof_first_page(const ProofInput& input) {
    DocumentSection section;
    section.parts = {DocumentText{TextKind::caution, evidence_warning(evidence_faults(input.verification))},
                     DocumentText{TextKind::caution, moved_since_promise(input)},
                     DocumentText{TextKind::caution, what_lacks(input)}, facts_of(input),
                     DocumentText{TextKind::finding, with_minus_sign(finding_sentence(input.comparison))}};
    if (input.comparison.comparison.question)
        if (DocumentTable promised = promised_table(input); !promised.rows.empty())
            section.parts.push_back(std::move(promised));
    section.parts.push_back(chart_of(input.comparison));
    section.parts.push_back(DocumentText{TextKind::quiet, word(texts::first_page_rest)});
    std::erase_if(section.parts, [](const DocumentPart& part) {
        const auto* text = std::get_if<DocumentText>(&part);
        return text && text->words.empty();
    });
    return section;
}

DocumentSection proof_answer(const ProofInput& input) {
    DocumentSection section{word(texts::answer_page_head), rest_of_finding(input.comparison), true};
    section.parts.push_back(meaning_and_limits(input.comparison.comparison));
    return section;
}

Document proof_document(const ProofInput& input) {
    Document document;
    document.title = word(texts::page_title);
    document.subtitle = compared_positions(input.comparison.comparison);
    document.author = input.job.contractor;
    document.date = newest_date(input);
    document.simulated = input.comparison.simulated;
    document.mark = input.redacted ? word(texts::redacted_mark) : "";
    document.footer =
        filled(texts::document_footer, texts::verified_digest, input.verification.digest, input.version);
    document.sections = {proof_first_page(input), proof_answer(input)};
    for (const auto& part : {proof_findings, proof_room, proof_record})
        for (DocumentSection& section : part(input))
            document.sections.push_back(std::move(section));
    hide_words(document, input.hidden_words);
    return document;
}

std::string sealed_sentence(const StoredPromise& promise, const Verification& verification) {
    const std::string date = promise.made_at.substr(0, 10);
    for (const PromiseCheck& check : verification.promises)
        if (check.file == promise.file && check.sha256 == promise.sha256)
            return check.held != check.listed
                       ? filled(texts::evidence_seal_broken, date, check.listed, check.held)
                       : filled(verification.intact ? texts::evidence_sealed : texts::evidence_seal_whole,
                                date, check.listed);
    return filled(texts::evidence_seal_unchecked, date);
}

std::string invoice_line(const ProofInput& input) {
    const CompareReport& report = input.comparison;
    const std::string line = filled(texts::invoice_line, texts::page_title, date_of(input, report.before),
                                    date_of(input, report.after), with_minus_sign(finding_sentence(report)),
                                    short_digest(input.verification.digest));
    return without_words(input.verification.intact ? line : line + " " + word(texts::evidence_broken_short),
                         input.hidden_words);
}

} // namespace ebbmark
