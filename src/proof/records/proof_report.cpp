// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/records/proof_document.hpp"
#include "proof/records/redaction.hpp"
#include "proof/reports/compare_report.hpp"
#include "proof/reports/json_fields.hpp"
#include "proof/text/guarded.hpp"
#include "proof/words/job_texts.hpp"
#include "proof/words/promise_texts.hpp"
#include "proof/words/proof_record_texts.hpp"
#include "proof/words/result_notes.hpp"
#include "proof/words/table.hpp"
#include "proof/words/verify_notes.hpp"

namespace ebbmark {

namespace {

Json table_json(const DocumentTable& table) {
    Json json = {{"name", table.name}, {"caption", table.caption}};
    json["columns"] = Json::array();
    for (const DocumentColumn& column : table.columns)
        json["columns"].push_back({{"head", column.head}, {"unit", column.unit}});
    json["rows"] = Json::array();
    for (const DocumentRow& row : table.rows)
        json["rows"].push_back(row.cells);
    return json;
}

Json promise_json(const std::optional<StoredPromise>& promise) {
    if (!promise)
        return nullptr;
    return {{"file", promise->file}, {"digest", promise->sha256}, {"made_at", promise->made_at}};
}

Json since_promise_json(const std::optional<SincePromise>& since) {
    if (!since)
        return nullptr;
    Json protocols = Json::array();
    for (const ChangedText& text : since->protocols)
        protocols.push_back({{"file", text.file}, {"as_it_stood", text.kept}, {"keys", text.keys}});
    return {{"moved", since->moved()},           {"added", since->added},
            {"left_out", since->left_out},       {"protocols", protocols},
            {"later_takes", since->later_takes}, {"later_left_out", since->later_left_out}};
}

Json digits_json(const std::vector<VisitDigits>& visits) {
    Json all = Json::array();
    for (const VisitDigits& visit : visits) {
        all.push_back({{"visit", visit.visit}, {"sha256", nullptr}, {"shown_at", nullptr}});
        if (visit.day) {
            all.back()["sha256"] = visit.day->sha256;
            all.back()["shown_at"] = visit.day->shown_at;
        }
        all.back()["on_its_day"] = visit.same_day;
    }
    return all;
}

/// What is to be said of evidence and responses beside the findings.
std::vector<std::string> notes_of(const ProofInput& input) {
    std::vector<std::string> notes;
    if (!input.verification.intact)
        notes = sentences(input.verification.notes);
    if (const std::string moved = moved_since_promise(input); !moved.empty())
        notes.push_back(moved);
    if (input.kept_differ)
        notes.push_back(sentence(*input.kept_differ));
    return notes;
}

} // namespace

std::string to_json(const ProofReport& report) {
    const ProofInput& input = report.input;
    Json json = json_object("proof", origin_of(input.comparison.simulated));
    json["digest"] = input.verification.digest;
    json["intact"] = input.verification.intact;
    json["warning"] = input.verification.intact ? Json(nullptr)
                                                : Json(evidence_warning(evidence_faults(input.verification)));
    json["notes"] = notes_of(input);
    json["promise"] = promise_json(input.promise);
    json["since_promise"] = since_promise_json(input.since_promise);
    json["digits"] = digits_json(input.digits);
    json["invoice_line"] = invoice_line(input);
    json["redacted"] = input.redacted;
    json["pages"] = Json::array();
    for (const std::string& page : report.pages) // folders may bear a name
        json["pages"].push_back(input.redacted ? page.substr(page.rfind('/') + 1) : page);
    json["comparison"] = Json::parse(to_json(input.comparison));
    json["tables"] = Json::array();
    for (const DocumentTable* table : tables_of(report.document))
        json["tables"].push_back(table_json(*table));
    hide_words(json, input.hidden_words);
    return json_text(json);
}

std::string to_csv(const ProofReport& report) {
    return to_csv(report.input.comparison);
}

std::string to_text(const ProofReport& report) {
    const ProofInput& input = report.input;
    std::string text = input.comparison.simulated ? std::string(texts::simulated_line) + "\n\n" : "";
    if (!input.verification.intact)
        text += wrapped(plain_text(evidence_warning(evidence_faults(input.verification)))) + '\n';
    for (const std::string& note : notes_of(input))
        text += wrapped(plain_text(without_words(note, input.hidden_words))) + '\n';
    text += wrapped(invoice_line(input)) + '\n';
    text += wrapped(input.promise ? sealed_sentence(*input.promise, input.verification)
                                  : std::string(texts::evidence_contractor_only));
    if (input.promise)
        text += fmt::format("\n    {}\n\n", short_digest(input.promise->sha256));
    text += fmt::format("{} {}\n", texts::verified_digest, input.verification.digest);
    for (const std::string& page : report.pages)
        text += wrapped(filled(texts::page_written, plain_text(page)));
    return text;
}

} // namespace ebbmark
