// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/records/promise_document.hpp"
#include "proof/reports/json_fields.hpp"
#include "proof/text/guarded.hpp"
#include "proof/text/numbers.hpp"
#include "proof/words/promise_texts.hpp"
#include "proof/words/result_notes.hpp"
#include "proof/words/table.hpp"

namespace ebbmark {

std::string to_json(const PromiseReport& report) {
    Json json = json_object("promise", origin_of(report.simulated));
    json["promise"] = report.file;
    json["digest"] = report.digest;
    json["digest_on_paper"] = short_digest(report.digest);
    json["made_at"] = report.made_at;
    json["prediction"] = report.prediction.empty() ? Json(nullptr) : Json(report.prediction);
    const Measured change = report.promised.percent();
    json["change_percent"] = json_number(change.value);
    json["change_low_percent"] = json_number(change.low);
    json["change_high_percent"] = json_number(change.high);
    json["bands"] = report.promised.bands.size();
    json["bands_asked"] = report.promised.bands.size() + report.promised.missing.size();
    json["weight"] = json_number(report.promised.weight);
    json["places"] = report.places;
    json["pages"] = report.pages;
    json["notes"] = sentences(report.notes);
    return json_text(json);
}

std::string to_csv(const PromiseReport& report) {
    std::string text = fmt::format("kind,text\npromise,{}\ndigest,{}\nmade_at,{}\n", csv_text(report.file),
                                   report.digest, report.made_at);
    for (const std::string& page : report.pages)
        text += "page," + csv_text(page) + '\n';
    return text;
}

std::string to_text(const PromiseReport& report) {
    std::string text = report.simulated ? std::string(texts::simulated_line) + "\n\n" : "";
    text += wrapped(
        filled(report.fresh ? texts::promise_made : texts::promise_made_before, report.file, report.made_at));
    text += fmt::format("\n    {}\n\n", short_digest(report.digest));
    text += wrapped(std::string(texts::promise_hand_over));
    for (const std::string& note : sentences(report.notes))
        text += wrapped(plain_text(note));
    if (report.prediction.empty())
        text += wrapped(std::string(texts::promise_no_prediction));
    for (const std::string& page : report.pages)
        text += wrapped(filled(texts::page_written, plain_text(page)));
    return text;
}

} // namespace ebbmark
