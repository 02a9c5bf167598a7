// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/reports/ringing_report.hpp"

#include "proof/reports/json_fields.hpp"
#include "proof/text/guarded.hpp"
#include "proof/text/numbers.hpp"
#include "proof/words/ringing_notes.hpp"
#include "proof/words/ringing_texts.hpp"
#include "proof/words/table.hpp"
#include "proof/words/verdict_notes.hpp"
#include "proof/words/wording.hpp"
#include "ringing/summary.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

namespace ebbmark {

namespace {

// Frequencies are known to a few thousandths of a hertz at best; the interval says how well.
constexpr int mode_digits = 6;
constexpr std::array<const char*, 3> left_after = {"100", "200", "300"};

Json mode_json(const MeasuredMode& mode) {
    Json json;
    Json empty = Json::object();
    json["hz"] = json_number(mode.hz.value, mode_digits);
    json["hz_low"] = json_number(mode.hz.low, mode_digits);
    json["hz_high"] = json_number(mode.hz.high, mode_digits);
    add_with_interval(json, empty, "t60", "s", mode.t60_s);
    json["q"] = json_number(mode.q());
    json["level_db"] = Json::array();
    for (const double level : mode.level_db)
        json["level_db"].push_back(json_number(level));
    json["room_mode"] = nullptr;
    if (mode.room_mode)
        json["room_mode"] = *mode.room_mode;
    const AudibilityThreshold threshold = audibility_threshold(*mode.hz);
    json["threshold_s"] = json_number(threshold.stephenson_s);
    json["threshold_q16_s"] = json_number(threshold.q16_s);
    json["empty"] = empty;
    json["notes"] = Json::array(); // on a single mode: none so far
    return json;
}

void add_state(Json& json, const RingingState& state) {
    json["files"] = state.files;
    json["rate_hz"] = json_number(state.rate_hz, frequency_digits);
    json["modes"] = Json::array();
    for (const MeasuredMode& mode : state.ringing.modes)
        json["modes"].push_back(mode_json(mode));
    json["unresolved"] = Json::array();
    for (const UnresolvedRange& range : state.ringing.unresolved)
        json["unresolved"].push_back({{"from_hz", json_number(range.from_hz)},
                                      {"to_hz", json_number(range.to_hz)},
                                      {"empty", code(range.why)}});
    Json left = Json::object(), empty = Json::object();
    for (std::size_t i = 0; i < left_after.size(); ++i)
        add_measured(left, empty, fmt::format("after_{}_ms", left_after[i]), "db", state.energy_left_db[i]);
    left["empty"] = empty;
    json["energy_left"] = left;
    json["drift_percent"] = json_number(state.ringing.drift_percent, 2);
}

/// What became of each mode: those of before with their changes, then those that are new after.
struct ModeStory {
    ModePair mode; ///< of a new one: after_hz and after_t60_s only
    bool is_new = false;
};

std::vector<ModeStory> stories(const RingingReport& report) {
    std::vector<ModeStory> made;
    for (const ModePair& change : report.changes)
        made.push_back({change, false});
    for (const PairedMode& pair : report.pairs)
        if (pair.before.empty())
            for (const std::size_t k : pair.after) {
                ModePair mode;
                mode.after_hz = report.after->ringing.modes[k].hz.value;
                mode.after_t60_s = report.after->ringing.modes[k].t60_s;
                made.push_back({mode, true});
            }
    return made;
}

Measured change_percent(const ModePair& mode) {
    if (!mode.change || mode.after_t60_at_most_s)
        return Measured::none(mode.why_no_change);
    return percent_with_interval(*mode.change);
}

Json story_json(const ModeStory& story) {
    const ModePair& mode = story.mode;
    Json json, empty = Json::object();
    json["before_hz"] = story.is_new ? Json(nullptr) : json_number(mode.before_hz, mode_digits);
    json["after_hz"] = json_number(mode.after_hz, mode_digits);
    json["modes"] = mode.members;
    json["pairing"] = json_number(mode.pairing);
    json["before_t60_s"] = json_number(mode.before_t60_s.value);
    json["after_t60_s"] = json_number(mode.after_t60_s.value);
    json["after_t60_at_most_s"] = json_number(mode.after_t60_at_most_s);
    add_with_interval(json, empty, "change", "percent", change_percent(mode));
    json["became"] = story.is_new ? "new" : mode.after_hz ? "paired" : "vanished";
    json["empty"] = empty;
    json["notes"] = sentences(mode.notes);
    return json;
}

std::string orders_text(const MeasuredMode& mode) {
    if (!mode.room_mode)
        return "";
    const auto& n = *mode.room_mode;
    return fmt::format("{} {} {}", n[0], n[1], n[2]);
}

double strongest_level(const MeasuredMode& mode) {
    return *std::max_element(mode.level_db.begin(), mode.level_db.end());
}

std::string t60_interval(const MeasuredMode& mode) {
    return fmt::format(fmt::runtime(texts::range), seconds_text(*mode.t60_s.low),
                       seconds_text(*mode.t60_s.high));
}

std::string mode_table(const Ringing& ringing) {
    const bool named = std::any_of(ringing.modes.begin(), ringing.modes.end(),
                                   [](const MeasuredMode& mode) { return mode.room_mode.has_value(); });
    std::vector<Column> columns = {
        {"", "mode", "Hz"}, {"", "T60", "s"}, {"", "95 %", "s", true}, {"", "Q", ""}, {"", "level", "dB"}};
    if (named)
        columns.push_back({"", "nx ny nz", "", true});
    std::vector<std::vector<std::string>> rows;
    for (const MeasuredMode& mode : ringing.modes) {
        rows.push_back({fmt::format("{:.2f}", *mode.hz), seconds_text(*mode.t60_s.value), t60_interval(mode),
                        fmt::format("{:.1f}", mode.q()), fmt::format("{:.0f}", strongest_level(mode))});
        if (named)
            rows.back().push_back(orders_text(mode));
    }
    return table_text(columns, rows);
}

std::string after_text(const ModePair& mode) {
    if (mode.after_t60_at_most_s)
        return fmt::format(fmt::runtime(texts::at_most), seconds_text(*mode.after_t60_at_most_s));
    return mode.after_t60_s ? seconds_text(*mode.after_t60_s) : std::string(texts::none);
}

std::string became_text(const ModeStory& story) {
    if (story.is_new)
        return std::string(texts::mode_new);
    if (!story.mode.after_hz)
        return std::string(texts::mode_vanished);
    if (!story.mode.change)
        return std::string(code(story.mode.why_no_change));
    return story.mode.members > 1 ? fmt::format(fmt::runtime(texts::modes_together), story.mode.members) : "";
}

std::string pair_table(const RingingReport& report) {
    std::vector<std::vector<std::string>> rows;
    const std::string none(texts::none);
    for (const ModeStory& story : stories(report)) {
        const ModePair& mode = story.mode;
        const Measured change = change_percent(mode);
        rows.push_back({story.is_new ? none : fmt::format("{:.2f}", mode.before_hz),
                        mode.after_hz ? fmt::format("{:.2f}", *mode.after_hz) : none,
                        story.is_new ? none : seconds_text(*mode.before_t60_s), after_text(mode),
                        change ? signed_percent_text(*change) : none,
                        change ? fmt::format(fmt::runtime(texts::range), signed_percent_text(*change.low),
                                             signed_percent_text(*change.high))
                               : "",
                        became_text(story)});
    }
    return table_text({{"mode", "before", "Hz"},
                       {"mode", "after", "Hz"},
                       {"T60", "before", "s"},
                       {"T60", "after", "s"},
                       {"", "change", "%"},
                       {"", "95 %", "%", true},
                       {"", "", "", true}},
                      rows);
}

/// The modes that ring longest, what became of them, and below what listeners heard no ringing.
std::string longest_table(const RingingReport& report) {
    std::vector<std::vector<std::string>> rows;
    for (const std::size_t k : longest_ringing(report.state.ringing)) {
        const MeasuredMode& mode = report.state.ringing.modes[k];
        const AudibilityThreshold threshold = audibility_threshold(*mode.hz);
        std::vector<std::string> row = {fmt::format("{:.1f}", *mode.hz), seconds_text(*mode.t60_s)};
        if (report.after) {
            const auto pair =
                std::find_if(report.pairs.begin(), report.pairs.end(), [k](const PairedMode& one) {
                    return std::find(one.before.begin(), one.before.end(), k) != one.before.end();
                });
            row.push_back(after_text(report.changes[static_cast<std::size_t>(pair - report.pairs.begin())]));
        }
        row.push_back(seconds_text(threshold.stephenson_s));
        row.push_back(seconds_text(threshold.q16_s));
        rows.push_back(row);
    }
    const std::string group(texts::not_heard_below);
    std::vector<Column> columns = {{"", "mode", "Hz"}, {"", "T60", "s"}};
    if (report.after)
        columns.push_back({"", "after", "s"});
    columns.push_back({group, "(a)", "s"});
    columns.push_back({group, "(b)", "s"});
    return table_text(columns, rows);
}

std::string energy_text(const RingingState& state) {
    std::vector<std::string> parts;
    for (const Measured& left : state.energy_left_db)
        parts.push_back(left ? with_minus_sign(fmt::format("{:.0f}\u00a0dB", *left))
                             : std::string(texts::none));
    return fmt::format("{}", fmt::join(parts, ", "));
}

std::string summary_text(const RingingReport& report) {
    std::string text;
    if (!report.state.ringing.modes.empty())
        text += std::string(texts::longest_head) + "\n\n" + longest_table(report) + '\n';
    text +=
        wrapped(report.after ? fmt::format(fmt::runtime(texts::energy_left_two), energy_text(report.state),
                                           energy_text(*report.after))
                             : fmt::format(fmt::runtime(texts::energy_left_one), energy_text(report.state)));
    return text + wrapped(std::string(texts::threshold_sources));
}

std::string counts_text(const std::vector<ModeCount>& counts) {
    std::vector<std::vector<std::string>> rows;
    for (const ModeCount& count : counts)
        rows.push_back({fmt::format("{:g}", count.nominal_hz), fmt::format("{}", count.expected),
                        fmt::format("{}", count.found)});
    return table_text({{"", "band", "Hz"}, {"modes", "expected", ""}, {"modes", "found", ""}}, rows);
}

std::string state_text(const RingingState& state, std::set<Empty>& reasons) {
    const Ringing& ringing = state.ringing;
    std::string text =
        wrapped(fmt::format(fmt::runtime(texts::ringing_title), ringing.modes.size(), ringing.positions,
                            ringing.positions == 1 ? texts::position_word : texts::positions_word));
    if (!ringing.modes.empty())
        text += '\n' + mode_table(ringing);
    text += '\n';
    for (const UnresolvedRange& range : ringing.unresolved) {
        const auto form = range.why == Empty::source ? texts::ringing_not_reached : texts::ringing_unresolved;
        text += wrapped(fmt::format(fmt::runtime(form), fmt::format("{:.1f}", range.from_hz),
                                    fmt::format("{:.1f}", range.to_hz), code(range.why)));
        reasons.insert(range.why);
    }
    for (const std::string& note : sentences(ringing.notes))
        text += wrapped(plain_text(note));
    return text;
}

void add_csv(std::string& csv, const RingingState& state, std::string_view name, bool simulated,
             std::size_t positions) {
    for (const MeasuredMode& mode : state.ringing.modes) {
        csv +=
            fmt::format("{},{},{},{},{},{},{},{},", name, cell(mode.hz.value, mode_digits),
                        cell(mode.hz.low, mode_digits), cell(mode.hz.high, mode_digits),
                        cell(mode.t60_s.value), cell(mode.t60_s.low), cell(mode.t60_s.high), cell(mode.q()));
        csv += mode.room_mode ? fmt::format("{}", fmt::join(*mode.room_mode, ",")) : ",,";
        csv += fmt::format(",,,,{}", simulated);
        for (const double level : mode.level_db)
            csv += ',' + cell(level);
        csv += std::string(positions - mode.level_db.size(), ',') + '\n';
    }
    for (const UnresolvedRange& range : state.ringing.unresolved)
        csv += fmt::format("{},,,,,,,,,,,{},{},{},{}{}\n", name, cell(range.from_hz), cell(range.to_hz),
                           code(range.why), simulated, std::string(positions, ','));
}

} // namespace

std::string to_json(const RingingReport& report) {
    Json json = json_object("ringing", origin_of(report.simulated));
    add_state(json, report.state);
    json["counts"] = Json::array();
    for (const ModeCount& count : report.counts)
        json["counts"].push_back({{"nominal_hz", json_number(count.nominal_hz)},
                                  {"expected", count.expected},
                                  {"found", count.found}});
    json["after"] = nullptr;
    if (report.after) {
        Json after;
        add_state(after, *report.after);
        after["pairs"] = Json::array();
        for (const ModeStory& story : stories(report))
            after["pairs"].push_back(story_json(story));
        json["after"] = after;
    }
    json["notes"] = sentences(report.state.ringing.notes);
    return json_text(json);
}

std::string to_csv(const RingingReport& report) {
    std::string csv =
        "state,hz,hz_low,hz_high,t60_s,t60_low_s,t60_high_s,q,nx,ny,nz,from_hz,to_hz,empty,simulated";
    const std::size_t positions =
        std::max(report.state.files.size(), report.after ? report.after->files.size() : 0);
    for (std::size_t i = 0; i < positions; ++i)
        csv += ',' + csv_text("level_db " + (i < report.state.files.size() ? report.state.files[i]
                                                                           : report.after->files[i]));
    csv += '\n';
    add_csv(csv, report.state, report.after ? "before" : "", report.simulated, positions);
    if (report.after)
        add_csv(csv, *report.after, "after", report.simulated, positions);
    return csv;
}

std::string to_text(const RingingReport& report) {
    std::string text = report.simulated ? std::string(texts::simulated_line) + "\n\n" : "";
    std::set<Empty> reasons;
    text += state_text(report.state, reasons);
    if (report.after) {
        text += '\n' + std::string(texts::ringing_after) + '\n' + state_text(*report.after, reasons);
        text += '\n' + std::string(texts::ringing_pairs) + "\n\n" + pair_table(report);
    }
    text += '\n' + summary_text(report);
    if (!report.counts.empty())
        text += '\n' + counts_text(report.counts);
    text += '\n' + wrapped(reasons_sentence(reasons));
    text += wrapped(std::string(texts::ringing_key));
    text += wrapped(std::string(texts::ringing_method));
    return text;
}

} // namespace ebbmark
