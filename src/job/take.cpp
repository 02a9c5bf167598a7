// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/take.hpp"

#include "files/sweep_file.hpp"
#include "files/toml.hpp"
#include "job/job_toml.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <tuple>

namespace ebbmark {

namespace {

std::string text_line(std::string_view key, std::string_view text) {
    return text.empty() ? "" : fmt::format("{} = {}\n", key, toml_quoted(text));
}

std::string sound_table(const Take& take) {
    std::string text =
        fmt::format("[sound]\nkind = \"{}\"\n", take.kind == SoundKind::recording ? "recording" : "response");
    text += text_line("file", take.sound) + text_line("sha256", take.sound_sha256) +
            text_line("original_name", take.original_name) + text_line("recorded", take.recorded);
    text += fmt::format("channel = {}\nloopback_channel = {}\n", take.channel, take.loopback_channel);
    if (take.segment)
        text += fmt::format("segment_s = [{}, {}]\n", take.segment->from_s, take.segment->to_s);
    return text + text_line("excitation", take.excitation) +
           text_line("excitation_sha256", take.excitation_sha256);
}

std::string stood_table(const Take& take) {
    if (take.protocol.empty())
        return "";
    return "[as_it_stood]\n" + text_line("protocol", take.protocol) +
           text_line("protocol_sha256", take.protocol_sha256) + text_line("job", take.description) +
           text_line("job_sha256", take.description_sha256);
}

std::string check_table(const QualityCheck& check) {
    return "[[check]]\n" + text_line("name", code(check.name)) +
           fmt::format("figure = {}\nlimit = {}\n", check.figure, check.limit) +
           text_line("unit", check.unit) + fmt::format("held = {}\n", check.held()) +
           text_line("outcome", code(check.outcome)) + text_line("advice", check.advice) +
           text_line("effect", check.effect) + text_line("finding", check.finding);
}

std::string calibration_table(const TakeCalibration& calibration) {
    std::string text = "[[calibration]]\n" + text_line("kind", code(calibration.kind)) +
                       text_line("file", calibration.file) + text_line("sha256", calibration.sha256) +
                       text_line("date", calibration.date);
    if (calibration.pascal_per_unit)
        text += fmt::format("pascal_per_unit = {}\n", *calibration.pascal_per_unit);
    return text;
}

CalibrationKind calibration_kind_from(const TomlValue& value) {
    const std::string word = value.choice({calibration_codes[0], calibration_codes[1], calibration_codes[2]});
    const auto found = std::find(calibration_codes.begin(), calibration_codes.end(), word);
    return static_cast<CalibrationKind>(found - calibration_codes.begin());
}

TakeCalibration calibration_from(const TomlTable& table) {
    TakeCalibration calibration{calibration_kind_from(table.need("kind")),
                                table.need("file").text(),
                                table.need("sha256").text(),
                                table.text_or("date", ""),
                                {}};
    if (const auto value = table.find("pascal_per_unit"))
        calibration.pascal_per_unit = value->number({0});
    return calibration;
}

void read_stood(const TomlTable& table, Take& take) {
    take.protocol = table.need("protocol").text();
    take.protocol_sha256 = table.need("protocol_sha256").text();
    take.description = table.need("job").text();
    take.description_sha256 = table.need("job_sha256").text();
}

void read_sound(const TomlTable& table, Take& take) {
    take.kind = table.need("kind").choice({"recording", "response"}) == "recording" ? SoundKind::recording
                                                                                    : SoundKind::response;
    take.sound = table.need("file").text();
    take.sound_sha256 = table.need("sha256").text();
    take.original_name = table.text_or("original_name", "");
    take.recorded = table.text_or("recorded", "");
    take.channel = table.need("channel").whole(1, 64);
    take.loopback_channel = table.need("loopback_channel").whole(0, 64);
    if (const auto segment = table.find("segment_s")) {
        const auto ends = segment->list();
        if (ends.size() != 2)
            segment->refuse("needs a start and an end");
        take.segment = Segment{ends[0].number({0}), ends[1].number({0})};
    }
    take.excitation = table.text_or("excitation", "");
    take.excitation_sha256 = table.text_or("excitation_sha256", "");
}

CheckName check_name_from(const TomlValue& value) {
    if (const auto name = check_with_code(value.text()))
        return *name;
    value.refuse(fmt::format("is no check; write one of: {}", fmt::join(check_codes, ", ")));
}

QualityCheck check_from(const TomlTable& table) {
    QualityCheck check{check_name_from(table.need("name")),
                       table.need("figure").number(),
                       table.need("limit").number(),
                       table.text_or("unit", ""),
                       CheckOutcome::held,
                       table.text_or("advice", ""),
                       table.text_or("effect", ""),
                       table.text_or("finding", "")};
    const bool held = table.need("held").flag();
    if (const auto outcome = table.find("outcome")) {
        const std::string word = outcome->choice({"held", "noted", "widened", "rejected"});
        for (const CheckOutcome each : {CheckOutcome::noted, CheckOutcome::widened, CheckOutcome::rejected})
            if (word == code(each))
                check.outcome = each;
        if (held != check.held())
            outcome->refuse("and \"held\" contradict each other");
    } else if (!held) {
        // Kept before checks had outcomes: three of them rejected a take, and the decay range where nothing
        // else did; see below.
        const bool rejects = check.name == CheckName::sweep_found || check.name == CheckName::clipping ||
                             check.name == CheckName::lost_samples;
        check.outcome = rejects ? CheckOutcome::rejected : CheckOutcome::noted;
        check.effect = rejects ? "nothing of this take is used"
                               : "not stated by the version of the program that kept the take";
    }
    return check;
}

/// A take that was rejected by none of the three checks was so by its decay range.
void complete_outcomes(Take& take) {
    const auto rejects = [](const QualityCheck& check) { return check.outcome == CheckOutcome::rejected; };
    if (take.accepted || std::any_of(take.checks.begin(), take.checks.end(), rejects))
        return;
    for (QualityCheck& check : take.checks)
        if (check.name == CheckName::decay_range && !check.held())
            check.outcome = CheckOutcome::rejected;
}

} // namespace

std::string Take::name() const {
    return fmt::format("{}{}-{:02}", position.name(), is_return ? "-return" : "", number);
}

std::optional<Position> first_position(const std::vector<Take>& takes, std::string_view visit) {
    const Take* first = nullptr;
    // Sounds are numbered in the order in which they were kept.
    const auto order = [](const Take& t) {
        return std::tuple(t.sound, t.segment.value_or(Segment{}).from_s, t.channel, t.number);
    };
    for (const Take& take : takes)
        if (take.visit == visit && !take.is_return && (!first || order(take) < order(*first)))
            first = &take;
    return first ? std::optional(first->position) : std::nullopt;
}

std::string to_toml(const Take& take) {
    std::string text = "# Written once when the take was kept. Changing it breaks the evidence.\n[take]\n";
    text += text_line("visit", take.visit) + text_line("position", take.position.name());
    text += fmt::format("number = {}\nreturn = {}\n", take.number, take.is_return);
    text += text_line("made_at", take.made_at) + text_line("program", take.program) +
            text_line("device", take.device);
    text += fmt::format("simulated = {}\naccepted = {}\n", take.simulated, take.accepted);
    text += sound_table(take);
    if (take.sweep)
        text += to_toml(*take.sweep, "");
    text += stood_table(take) + "[room]\n" + to_toml(take.room) + "[source]\n" + to_toml(take.source) +
            "[microphone]\n" + to_toml(take.microphone);
    for (const QualityCheck& check : take.checks)
        text += check_table(check);
    for (const TakeCalibration& calibration : take.calibrations)
        text += calibration_table(calibration);
    return text;
}

Take take_from_toml(std::string_view text, std::string_view name) {
    const TomlFile file = TomlFile::parse(text, name);
    const TomlTable root = file.root();
    const TomlTable table = root.need("take").table();
    Take take;
    take.visit = table.need("visit").text();
    check_visit_name(take.visit);
    take.position = parse_position(table.need("position").text());
    take.number = table.need("number").whole(1, 9999);
    take.is_return = table.need("return").flag();
    take.made_at = table.need("made_at").text();
    take.program = table.need("program").text();
    take.device = table.text_or("device", "");
    take.simulated = table.need("simulated").flag();
    take.accepted = table.need("accepted").flag();
    read_sound(root.need("sound").table(), take);
    if (const auto sweep = root.find("sweep"))
        take.sweep = sweep_from(sweep->table()).sweep;
    if (const auto stood = root.find("as_it_stood"))
        read_stood(stood->table(), take);
    take.room = room_from(root.need("room").table());
    take.source = source_from(root.need("source").table(), take.room);
    take.microphone = microphone_from(root.need("microphone").table(), take.room);
    for (const TomlTable& check : root.tables("check"))
        take.checks.push_back(check_from(check));
    complete_outcomes(take);
    for (const TomlTable& calibration : root.tables("calibration"))
        take.calibrations.push_back(calibration_from(calibration));
    file.refuse_unknown_keys();
    return take;
}

std::string exclusion_toml(std::string_view because, std::string_view excluded_at) {
    return "[excluded]\n" + text_line("because", because) + text_line("at", excluded_at);
}

std::string exclusion_reason(std::string_view text, std::string_view name) {
    const TomlFile file = TomlFile::parse(text, name);
    const TomlTable table = file.root().need("excluded").table();
    table.need("at").text();
    const std::string because = table.need("because").text();
    file.refuse_unknown_keys();
    return because;
}

} // namespace ebbmark
