// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/reports/job_reports.hpp"

#include "job/fixed_plan.hpp"
#include "job/stored_promise.hpp"
#include "proof/reports/deconvolve_report.hpp"
#include "proof/reports/json_fields.hpp"
#include "proof/text/guarded.hpp"
#include "proof/words/advice.hpp"
#include "proof/words/job_notes.hpp"
#include "proof/words/job_texts.hpp"
#include "proof/words/result_notes.hpp"
#include "proof/words/table.hpp"
#include "proof/words/verify_notes.hpp"

#include <fmt/format.h>

namespace ebbmark {

namespace {

std::string simulated_head(bool simulated) {
    return simulated ? std::string(texts::simulated_line) + "\n\n" : "";
}

/// A heading and its lines; nothing without lines.
std::string section(texts::Text heading, const std::vector<std::string>& lines, bool numbered = false) {
    if (lines.empty())
        return "";
    std::string text = fmt::format("{}\n", heading);
    for (std::size_t i = 0; i < lines.size(); ++i)
        text += wrapped(plain_text(lines[i]), terminal_columns, 4,
                        numbered ? fmt::format("{:>2}. ", i + 1) : "  - ");
    return text + '\n';
}

std::string rows(std::string_view kind, const std::vector<std::string>& lines) {
    std::string text;
    for (const std::string& line : lines)
        text += fmt::format("{},{}\n", kind, csv_text(line));
    return text;
}

std::string digits_section(const DayDigits& digits) {
    return fmt::format(
        "{}    {}\n\n{}\n",
        wrapped(fmt::format(fmt::runtime(texts::day_digits_head), digits.visit, digits.lines)),
        short_digest(digits.sha256),
        wrapped(std::string(digits.file.empty() ? texts::day_digits_not_noted : texts::day_digits_use)));
}

/// What is as the list says and yet no more as it was; one line each.
std::vector<std::string> lines_of(const std::vector<ChangedText>& changed) {
    std::vector<std::string> lines;
    for (const ChangedText& text : changed) {
        std::vector<std::string> parts = text.keys;
        for (const PlanDifference& part : text.plan)
            parts.push_back(words_for(part));
        lines.push_back(fmt::format(fmt::runtime(texts::changed_text), text.file, text.kept,
                                    parts.empty() ? texts::spelling_only.data()
                                                  : fmt::format("{}", fmt::join(parts, ", "))));
    }
    return lines;
}

std::vector<std::string> words_for(const std::vector<PlanDifference>& differences) {
    std::vector<std::string> words;
    for (const PlanDifference& difference : differences)
        words.push_back(words_for(difference));
    return words;
}

std::vector<std::string> stamp_lines(const std::vector<std::string>& stamps) {
    std::vector<std::string> lines;
    for (const std::string& stamp : stamps)
        lines.push_back(
            fmt::format(fmt::runtime(texts::time_stamp), stamp, stamp.substr(0, stamp.size() - 3) + "toml"));
    return lines;
}

std::vector<std::string> notes_of(const NextReport& report) {
    std::vector<std::string> notes = sentences(report.notes);
    for (const JobNote& note : report.steps.notes)
        notes.push_back(sentence(note));
    return notes;
}

} // namespace

std::string to_json(const NextReport& report) {
    Json json = json_object(report.command, origin_of(report.simulated));
    json["stage"] = report.steps.stage;
    json["visit"] = report.steps.visit.empty() ? Json(nullptr) : Json(report.steps.visit);
    json["missing"] = sentences(report.steps.missing);
    json["now"] = sentences(report.steps.now);
    json["safe_to_leave"] = report.steps.safe_to_leave ? Json(*report.steps.safe_to_leave) : Json(nullptr);
    json["notes"] = notes_of(report);
    json["digits"] = nullptr;
    if (report.digits)
        json["digits"] = {
            {"visit", report.digits->visit},
            {"files", report.digits->lines},
            {"shown_at", report.digits->shown_at},
            {"sha256", report.digits->sha256},
            {"noted_in", report.digits->file.empty() ? Json(nullptr) : Json(report.digits->file)}};
    return json_text(json);
}

std::string to_csv(const NextReport& report) {
    std::string text = "kind,text\n" + rows("missing", sentences(report.steps.missing)) +
                       rows("now", sentences(report.steps.now));
    if (report.steps.safe_to_leave)
        text += fmt::format("safe_to_leave,{}\n", *report.steps.safe_to_leave);
    if (report.digits)
        text += fmt::format("digits,{}\n", report.digits->sha256);
    return text + rows("note", notes_of(report));
}

std::string to_text(const NextReport& report) {
    std::string text = simulated_head(report.simulated);
    if (report.steps.safe_to_leave)
        text += fmt::format("{}\n\n",
                            *report.steps.safe_to_leave ? texts::safe_to_leave : texts::not_safe_to_leave);
    text += section(texts::next_missing, sentences(report.steps.missing));
    text += section(texts::next_now, sentences(report.steps.now), true);
    text += section(texts::next_notes, notes_of(report));
    if (report.digits)
        text += digits_section(*report.digits);
    text.pop_back();
    return text;
}

std::string to_json(const ExcludeReport& report) {
    Json json = json_object("exclude", origin_of(report.simulated));
    json["take"] = report.take;
    json["because"] = report.because;
    return json_text(json);
}

std::string to_csv(const ExcludeReport& report) {
    return fmt::format("take,because\n{},{}\n", csv_text(report.take), csv_text(report.because));
}

std::string to_text(const ExcludeReport& report) {
    return simulated_head(report.simulated) +
           wrapped(fmt::format(fmt::runtime(texts::excluded), plain_text(report.take),
                               plain_text(report.because)));
}

std::string to_json(const KeepReport& report) {
    Json json = json_object(report.command, origin_of(report.simulated));
    json["takes"] = Json::array();
    for (const KeptTake& kept : report.takes) {
        Json take = Json::parse(to_json(kept.report));
        take["visit"] = kept.visit;
        take["position"] = kept.position;
        take["take"] = kept.take;
        json["takes"].push_back(std::move(take));
    }
    return json_text(json);
}

std::string to_csv(const KeepReport& report) {
    std::string text = "visit,position,take,accepted,simulated\n";
    for (const KeptTake& kept : report.takes)
        text += fmt::format("{},{},{},{},{}\n", csv_text(kept.visit), kept.position, csv_text(kept.take),
                            kept.report.accepted, kept.report.simulated);
    return text;
}

std::string to_text(const KeepReport& report) {
    std::string text;
    for (const KeptTake& kept : report.takes)
        text += (text.empty() ? "" : "\n") +
                wrapped(fmt::format(fmt::runtime(texts::kept_take), kept.take, kept.position, kept.visit)) +
                '\n' + to_text(kept.report);
    return text;
}

std::string to_json(const Verification& report) {
    Json json = json_object("verify", origin_of(report.simulated));
    json["intact"] = report.intact;
    json["digest"] = report.digest;
    json["promise"] = report.promise.empty() ? Json(nullptr) : Json(report.promise);
    json["matches"] = report.matches ? Json(*report.matches) : Json(nullptr);
    json["kind"] = report.kind ? Json(name(*report.kind)) : Json(nullptr);
    json["covers"] = sentences(report.covers);
    json["added_since"] = report.added_since;
    json["left_out_since"] = report.left_out_since;
    json["changed_since"] = lines_of(report.changed_since);
    json["otherwise_than_promised"] = words_for(report.otherwise_than_promised);
    json["time_stamps"] = report.time_stamps;
    json["changed"] = report.changed;
    json["missing"] = report.missing;
    json["unreadable"] = report.unreadable;
    json["added"] = report.added;
    json["notes"] = sentences(report.notes);
    return json_text(json);
}

std::string to_csv(const Verification& report) {
    std::string text = fmt::format("kind,text\nintact,{}\ndigest,{}\n", report.intact, report.digest);
    if (report.matches)
        text += fmt::format("matches,{}\n", *report.matches);
    if (report.kind)
        text += fmt::format("kind,{}\n", name(*report.kind));
    return text + rows("covers", sentences(report.covers)) + rows("added_since", report.added_since) +
           rows("left_out_since", report.left_out_since) +
           rows("changed_since", lines_of(report.changed_since)) +
           rows("otherwise_than_promised", words_for(report.otherwise_than_promised)) +
           rows("changed", report.changed) + rows("missing", report.missing) +
           rows("unreadable", report.unreadable) + rows("added", report.added) +
           rows("note", sentences(report.notes));
}

std::string to_text(const Verification& report) {
    std::string text = simulated_head(report.simulated);
    text += wrapped(fmt::format(fmt::runtime(report.intact ? texts::verify_intact : texts::verified_changed),
                                report.files));
    if (report.matches)
        text += report.kind ? fmt::format(fmt::runtime(texts::verify_matches), name(*report.kind)) + '\n'
                            : fmt::format("{}\n", texts::verify_other);
    else if (report.intact)
        text += wrapped(std::string(texts::verify_outside));
    text += fmt::format("{} {}\n\n", texts::verified_digest,
                        report.digest.empty() ? texts::none : texts::Text(report.digest));
    text += section(texts::verified_changed_head, report.changed);
    text += section(texts::verified_missing_head, report.missing);
    text += section(texts::verify_unreadable_head, report.unreadable);
    text += section(texts::verify_covers_head, sentences(report.covers));
    text += section(texts::verify_added_since_head, report.added_since);
    text += section(texts::verify_left_out_head, report.left_out_since);
    text += section(report.kind == DigestKind::day ? texts::verify_changed_since_day
                                                   : texts::verify_changed_since_kept,
                    lines_of(report.changed_since));
    text += section(texts::verify_otherwise_head, words_for(report.otherwise_than_promised));
    text += section(texts::verify_stamps_head, stamp_lines(report.time_stamps));
    text += section(texts::verified_added_head, report.added);
    text += section(texts::next_notes, sentences(report.notes));
    text.pop_back();
    return text;
}

} // namespace ebbmark
