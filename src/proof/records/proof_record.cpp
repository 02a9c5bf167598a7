// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/records/budget_tables.hpp"
#include "proof/records/page_content.hpp"
#include "proof/records/plan_words.hpp"
#include "proof/records/proof_document.hpp"
#include "proof/text/numbers.hpp"
#include "proof/words/check_words.hpp"
#include "proof/words/comparison_texts.hpp"
#include "proof/words/page_texts.hpp"
#include "proof/words/promise_texts.hpp"
#include "proof/words/proof_record_texts.hpp"
#include "proof/words/record_texts.hpp"
#include "proof/words/result_notes.hpp"
#include "proof/words/verify_notes.hpp"
#include "proof/words/visit_texts.hpp"
#include "proof/words/wording.hpp"

#include <algorithm>
#include <cctype>
#include <cmath>
#include <map>
#include <set>

namespace ebbmark {

namespace {

std::string word(texts::Text text) {
    return std::string(text);
}

std::string or_not_given(const std::string& text) {
    return text.empty() ? word(texts::not_given) : text;
}

// --- what the standard asks for

std::string range_or_not_given(const std::optional<double>& start, const std::optional<double>& end,
                               const std::function<std::string(double)>& text) {
    if (start && end && *start != *end)
        return filled(texts::range, text(*start), text(*end));
    return start ? text(*start) : end ? text(*end) : word(texts::not_given);
}

std::string air_words(const VisitProtocol& visit, Units units) {
    return range_or_not_given(visit.temperature_start_c, visit.temperature_end_c,
                              [&](double c) { return temperature_text(c, units); }) +
           ", " +
           range_or_not_given(visit.humidity_start_percent, visit.humidity_end_percent,
                              [](double percent) { return fmt::format("{:.0f}\u00a0%", percent); });
}

std::string room_words(const VisitProtocol& visit, const JobRoom& room) {
    std::string words;
    const auto add = [&](texts::Text what, const std::string& value) {
        words += (words.empty() ? "" : "; ") + filled(what, or_not_given(value));
    };
    add(texts::state_furniture, visit.furniture);
    add(texts::state_doors, visit.doors);
    add(texts::state_windows, visit.windows);
    for (const RoomPatch& patch : room.patches) {
        const auto state = visit.patches.find(patch.name);
        words += "; " + filled(texts::state_patch, patch.name,
                               or_not_given(state == visit.patches.end() ? "" : state->second));
    }
    add(texts::state_ventilation, visit.ventilation);
    add(texts::state_persons, visit.persons ? fmt::format("{}", *visit.persons) : "");
    return words;
}

std::string signal_words(const std::vector<Take>& takes, const std::string& visit) {
    for (const Take& take : takes)
        if (take.visit == visit && take.in_use() && take.sweep) {
            const Sweep& sweep = *take.sweep;
            return filled(texts::signal_sweep, frequency_text(sweep.start_hz), frequency_text(sweep.stop_hz),
                          fmt::format("{:g}", sweep.seconds), sweep.repeats,
                          fmt::format("{:g}", sweep.level_dbfs));
        }
    return word(texts::signal_response);
}

std::string calibration_words(const std::vector<Take>& takes, const std::string& visit) {
    std::set<std::string> all;
    for (const Take& take : takes)
        if (take.visit == visit)
            for (const TakeCalibration& calibration : take.calibrations)
                all.insert(std::string(code(calibration.kind)) +
                           (calibration.date.empty() ? "" : " (" + calibration.date + ")"));
    std::string words;
    for (const std::string& one : all)
        words += (words.empty() ? "" : ", ") + one;
    return words.empty() ? word(texts::calibration_none) : words;
}

std::string grade_words(const VisitResult& visit) {
    const SetupFinding& setup = visit.setup;
    std::string grade = name(setup.grade);
    grade[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(grade[0])));
    return setup.grade == Grade::none
               ? filled(texts::visit_no_grade, setup.pairs, setup.sources, setup.microphones)
               : filled(texts::visit_grade, grade, setup.pairs, setup.sources, setup.microphones);
}

std::string listed(const std::vector<MeasuredPosition>& positions) {
    std::string names;
    for (const MeasuredPosition& position : positions)
        names += (names.empty() ? "" : ", ") + position.position.name() +
                 (position.listening ? word(texts::listening_star) : "");
    return names;
}

DocumentTable standard_table(const ProofInput& input) {
    const CompareReport& report = input.comparison;
    const VisitProtocol before = input.visits.at(report.before), after = input.visits.at(report.after);
    DocumentTable table{"test-report",
                        "",
                        {{"", "", true}, {report.before, "", true}, {report.after, "", true}},
                        {},
                        word(texts::standard_note)};
    const auto add = [&](texts::Text what, const std::string& first, const std::string& second) {
        table.rows.push_back({{word(what), first, first == second ? word(texts::the_same) : second}});
    };
    const auto both = [&](texts::Text what, const std::string& value) { add(what, value, value); };
    both(texts::item_room, or_not_given(input.job.title) + ", " + or_not_given(input.job.address));
    both(texts::item_size, room_size(input.job.room, input.units));
    add(texts::item_date, or_not_given(before.date), or_not_given(after.date));
    both(texts::item_party, or_not_given(input.job.contractor));
    add(texts::item_state, room_words(before, input.job.room), room_words(after, input.job.room));
    add(texts::item_air, air_words(before, input.units), air_words(after, input.units));
    add(texts::item_source, or_not_given(before.loudspeaker), or_not_given(after.loudspeaker));
    add(texts::item_settings, or_not_given(before.loudspeaker_settings),
        or_not_given(after.loudspeaker_settings));
    add(texts::item_signal, signal_words(input.takes, report.before),
        signal_words(input.takes, report.after));
    add(texts::item_microphone, or_not_given(before.microphone), or_not_given(after.microphone));
    add(texts::item_recorder, or_not_given(before.recorder), or_not_given(after.recorder));
    add(texts::item_calibration, calibration_words(input.takes, report.before),
        calibration_words(input.takes, report.after));
    add(texts::item_positions, listed(input.before.positions), listed(input.after.positions));
    add(texts::item_grade, grade_words(input.before), grade_words(input.after));
    both(texts::item_method, word(texts::item_method_words));
    both(texts::item_average, word(texts::item_average_words));
    both(texts::item_exceptions, word(texts::item_exceptions_words));
    return table;
}

// --- conditions

DocumentSection conditions_section(const ProofInput& input) {
    DocumentSection section{word(texts::conditions_head), {}, false};
    DocumentTable table{"conditions",
                        "",
                        {{"", "", true},
                         {input.comparison.before, "", true},
                         {input.comparison.after, "", true},
                         {"effect", "", true}},
                        {},
                        ""};
    for (const Condition& condition : input.comparison.comparison.conditions) {
        const auto said = [&](const std::optional<double>& celsius, const std::string& words) {
            return celsius ? temperature_text(*celsius, input.units) : words;
        };
        DocumentRow row{{condition.what, said(condition.before_c, condition.before),
                         said(condition.after_c, condition.after), condition.effect}};
        row.strong = condition.kind == ConditionEffect::blocked;
        for (std::string& cell : row.cells)
            cell = with_minus_sign(cell);
        table.rows.push_back(std::move(row));
    }
    section.parts.push_back(table);
    for (const auto& [name, visit] : input.visits)
        if (!visit.notes.empty())
            section.parts.push_back(
                DocumentText{TextKind::body, filled(texts::visit_notes, name, visit.notes)});
    return section;
}

// --- takes

texts::Text status_of(const Take& take) {
    if (!take.excluded_because.empty())
        return texts::take_excluded;
    if (!take.accepted)
        return texts::take_rejected;
    return take.is_return ? texts::take_return : texts::take_used;
}

/// Three digits; what would be a power of ten is nothing.
std::string figure_text(double value) {
    return std::abs(value) < 5e-4 ? "0" : with_minus_sign(fmt::format("{:.3g}", value));
}

std::string reason_of(const Take& take) {
    std::string words = take.excluded_because;
    for (const CheckOutcome outcome : {CheckOutcome::rejected, CheckOutcome::widened, CheckOutcome::noted})
        if (const std::string line = outcome_line(take.checks, outcome); !line.empty())
            words += (words.empty() ? "" : ". ") + with_minus_sign(line);
    return words;
}

/// The sound device, or the file that was brought in.
std::string origin_of(const Take& take) {
    return take.device == came_as_file ? take.original_name : take.device;
}

DocumentSection takes_section(const ProofInput& input) {
    DocumentSection section{word(texts::takes_head), {}, false};
    std::map<texts::Text, int> count;
    DocumentTable table{"takes",
                        "",
                        {{"take", "", true},
                         {"made", "", true},
                         {word(texts::take_from), "", true},
                         {"state", "", true},
                         {"why", "", true}},
                        {},
                        ""};
    std::set<std::string> origins;
    for (const Take& take : input.takes) {
        ++count[status_of(take)];
        origins.insert(origin_of(take));
        DocumentRow row{{take.id(), take.made_at, origin_of(take), word(status_of(take)), reason_of(take)}};
        row.strong = !take.in_use();
        table.rows.push_back(std::move(row));
    }
    if (origins.size() == 1 && !origins.begin()->empty()) { // said once
        table.key = filled(texts::take_all_from, *origins.begin());
        table.columns.erase(table.columns.begin() + 2);
        for (DocumentRow& row : table.rows)
            row.cells.erase(row.cells.begin() + 2);
    }
    section.parts.push_back(
        DocumentText{TextKind::body, filled(texts::takes_count, input.takes.size(), count[texts::take_used],
                                            count[texts::take_return], count[texts::take_rejected],
                                            count[texts::take_excluded])});
    section.parts.push_back(table);
    return section;
}

/// Takes by what is unusual in their settings.
DocumentSection settings_section(const ProofInput& input) {
    DocumentSection section{word(texts::settings_head), {}, false};
    std::map<std::string, std::vector<std::string>> unusual;
    const Sweep usual;
    for (const Take& take : input.takes) {
        const auto note = [&](texts::Text what, double value, double otherwise) {
            if (value != otherwise)
                unusual[filled(what, cell(value), cell(otherwise))].push_back(take.id());
        };
        if (take.sweep) {
            note(texts::setting_start, take.sweep->start_hz, usual.start_hz);
            note(texts::setting_stop, take.sweep->stop_hz, usual.stop_hz);
            note(texts::setting_seconds, take.sweep->seconds, usual.seconds);
            note(texts::setting_level, take.sweep->level_dbfs, usual.level_dbfs);
            note(texts::setting_repeats, take.sweep->repeats, usual.repeats);
            note(texts::setting_rate, take.sweep->rate_hz, usual.rate_hz);
        }
        note(texts::setting_channel, take.channel, 1);
        if (take.kind == SoundKind::response)
            unusual[word(texts::setting_response)].push_back(take.id());
        if (take.loopback_channel > 0)
            unusual[filled(texts::setting_loopback, take.loopback_channel)].push_back(take.id());
    }
    for (const auto& [what, takes] : unusual) {
        const bool all = takes.size() == input.takes.size();
        section.parts.push_back(DocumentText{
            TextKind::body,
            with_minus_sign(what) + " " +
                (all ? word(texts::in_all_takes) : filled(texts::in_takes, fmt::join(takes, ", ")))});
    }
    if (unusual.empty())
        section.parts.push_back(DocumentText{TextKind::body, word(texts::settings_none)});
    return section;
}

// --- quality

struct CheckRecord {
    std::string unit;
    double worst = 0, limit = 0;
    int noted = 0, widened = 0, rejected = 0, takes = 0;

    bool held() const { return noted + widened + rejected == 0; }
};

/// Nearer to failing: by the part of its limit that a figure uses up.
bool worse(const QualityCheck& check, const CheckRecord& record) {
    if (check.held() != record.held())
        return !check.held();
    const bool nearer = std::abs(check.figure - check.limit) < std::abs(record.worst - record.limit);
    return nearer == check.held();
}

DocumentSection quality_section(const ProofInput& input) {
    DocumentSection section{word(texts::quality_head), {}, false};
    std::vector<CheckName> names;
    std::map<CheckName, CheckRecord> records;
    for (const Take& take : input.takes)
        for (const QualityCheck& check : take.checks) {
            const bool first = !records.contains(check.name);
            if (first)
                names.push_back(check.name);
            CheckRecord& record = records[check.name];
            if (first || worse(check, record))
                record.worst = check.figure, record.limit = check.limit, record.unit = check.unit;
            record.noted += check.outcome == CheckOutcome::noted;
            record.widened += check.outcome == CheckOutcome::widened;
            record.rejected += check.outcome == CheckOutcome::rejected;
            ++record.takes;
        }
    if (names.empty()) {
        section.parts.push_back(DocumentText{TextKind::body, word(texts::quality_none)});
        return section;
    }
    DocumentTable table{"quality",
                        "",
                        {{"check", "", true},
                         {"worst", ""},
                         {"limit", ""},
                         {"", "", true},
                         {"takes", ""},
                         {"noted", ""},
                         {"widened", ""},
                         {"rejected", ""}},
                        {},
                        word(texts::quality_key)};
    for (const CheckName check : names) {
        const CheckRecord& record = records[check];
        DocumentRow row{{std::string(code(check)), figure_text(record.worst), figure_text(record.limit),
                         record.unit, fmt::format("{}", record.takes), fmt::format("{}", record.noted),
                         fmt::format("{}", record.widened), fmt::format("{}", record.rejected)}};
        row.strong = record.widened + record.rejected > 0;
        table.rows.push_back(std::move(row));
    }
    section.parts.push_back(table);
    return section;
}

// --- method, evidence

DocumentSection method_section(const ProofInput& input) {
    DocumentSection section{word(texts::method_limits_head), {}, false};
    for (const auto& entry : {method_of(input.comparison, input.units), caution_when_repeating()})
        for (const std::string& words : entry.paragraphs)
            section.parts.push_back(DocumentText{TextKind::body, words});
    for (const texts::Text words : texts::promise_cautions)
        section.parts.push_back(DocumentText{TextKind::body, word(words)});
    for (const std::string& remark : all_notes(input.comparison))
        section.parts.push_back(DocumentText{TextKind::quiet, with_minus_sign(remark)});
    return section;
}

std::string counted(std::size_t count, texts::Text one, texts::Text some) {
    return count == 1 ? word(one) : filled(some, count);
}

/// What moved after the promise, in a sentence of this form.
std::string moved_words(texts::Text text, const SincePromise& since) {
    return filled(text, counted(since.added.size(), texts::one_take, texts::some_takes),
                  since.left_out.size(),
                  counted(since.protocols.size(), texts::one_protocol, texts::some_protocols),
                  since.later_takes.size(), since.later_left_out.size());
}

void add_since_promise(const SincePromise& since, DocumentSection& section) {
    const auto say = [&](const std::string& words, TextKind kind) {
        section.parts.push_back(DocumentText{kind, words});
    };
    if (!since.moved())
        return say(filled(texts::since_promise_none, since.later_takes.size(), since.later_left_out.size()),
                   TextKind::body);
    say(moved_words(texts::since_promise_moved, since), TextKind::caution);
    if (!since.added.empty())
        say(filled(texts::since_added, fmt::join(since.added, ", ")), TextKind::body);
    if (!since.left_out.empty())
        say(filled(texts::since_left_out, fmt::join(since.left_out, ", ")), TextKind::body);
    for (const ChangedText& text : since.protocols)
        say(filled(texts::since_protocol, text.file, text.kept,
                   text.keys.empty() ? word(texts::since_spelling)
                                     : fmt::format("{}", fmt::join(text.keys, ", "))),
            TextKind::body);
}

void add_digits(const std::vector<VisitDigits>& visits, DocumentSection& section) {
    for (const VisitDigits& visit : visits) {
        if (!visit.day) {
            section.parts.push_back(DocumentText{TextKind::body, filled(texts::digits_none, visit.visit)});
            continue;
        }
        section.parts.push_back(
            DocumentText{TextKind::body, filled(visit.same_day ? texts::digits_same_day : texts::digits_later,
                                                visit.visit, visit.day->shown_at.substr(0, 10))});
        section.parts.push_back(DocumentText{TextKind::digest, short_digest(visit.day->sha256)});
    }
}

DocumentSection evidence_section(const ProofInput& input) {
    DocumentSection section{word(texts::evidence_page_head), {}, false};
    const auto say = [&](const std::string& words, TextKind kind = TextKind::body) {
        section.parts.push_back(DocumentText{kind, words});
    };
    if (input.promise) {
        say(sealed_sentence(*input.promise, input.verification));
        say(short_digest(input.promise->sha256), TextKind::digest);
    } else {
        say(word(texts::evidence_contractor_only));
    }
    if (input.since_promise)
        add_since_promise(*input.since_promise, section);
    add_digits(input.digits, section);
    if (const auto& question = input.comparison.comparison.question)
        say(filled(texts::evidence_question_fixed, question->fixed));
    const Verification& checked = input.verification;
    say(checked.intact ? filled(texts::evidence_intact, checked.files)
                       : evidence_warning(evidence_faults(checked)),
        checked.intact ? TextKind::body : TextKind::caution);
    if (!checked.intact)
        for (const VerifyNote& note : checked.notes)
            say(sentence(note));
    if (input.responses_made > 0)
        say(filled(texts::responses_anew, input.responses_made));
    if (input.kept_differ)
        say(sentence(*input.kept_differ), TextKind::caution);
    say(filled(texts::evidence_check, checked.digest, input.version));
    DocumentTable table{
        "evidence", word(texts::evidence_list), {{"", "", true}, {"", "", false, true}}, {}, ""};
    for (const EvidenceFile& file : input.evidence)
        table.rows.push_back({{file.name, file.sha256}});
    section.parts.push_back(table);
    return section;
}

} // namespace

std::string moved_since_promise(const ProofInput& input) {
    return input.since_promise && input.since_promise->moved()
               ? moved_words(texts::since_promise_moved_short, *input.since_promise)
               : "";
}

std::vector<DocumentSection> proof_record(const ProofInput& input) {
    std::vector<DocumentSection> sections = {{word(texts::standard_head), {standard_table(input)}, false},
                                             conditions_section(input)};
    if (DocumentSection budget = budget_section(input.comparison.comparison); !budget.parts.empty())
        sections.push_back(std::move(budget));
    for (const auto& make :
         {takes_section, settings_section, quality_section, method_section, evidence_section})
        sections.push_back(make(input));
    return sections;
}

} // namespace ebbmark
