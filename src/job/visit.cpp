// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/visit.hpp"

#include "files/toml.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace ebbmark {

namespace {

// A room in which people work; beyond it a unit was mistaken.
constexpr Range temperature_range{-10, 45};
constexpr Range humidity_range{1, 100};

std::string line(std::string_view key, std::string_view text) {
    return fmt::format("{} = {}\n", key, toml_quoted(text));
}

template <class Value>
std::string line(std::string_view key, const std::optional<Value>& value) {
    return value ? fmt::format("{} = {}\n", key, *value) : "";
}

std::string traps_line(const std::vector<std::string>& traps) {
    std::string names;
    for (const std::string& name : traps)
        names += (names.empty() ? "" : ", ") + toml_quoted(name);
    return names.empty() ? "" : fmt::format("traps = [{}]\n", names);
}

/// A patch's name as a key: bare where it may stand so.
std::string key_of(const std::string& name) {
    const bool bare = !name.empty() && std::all_of(name.begin(), name.end(), [](char c) {
        return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' ||
               c == '_';
    });
    return bare ? name : toml_quoted(name);
}

std::string patch_lines(const std::map<std::string, std::string>& patches) {
    std::string lines;
    for (const auto& [name, state] : patches)
        lines += line(key_of(name), state);
    return lines.empty() ? "" : "[room.patches]\n" + lines;
}

/// Every key is a patch's name. `known`: of the room, or null where that is not asked.
void read_patches(const TomlTable& table, VisitProtocol& p, const std::vector<RoomPatch>* known) {
    for (const std::string& name : table.keys()) {
        const TomlValue state = table.need(name);
        const bool is_there =
            !known || std::any_of(known->begin(), known->end(),
                                  [&](const RoomPatch& patch) { return patch.name == name; });
        if (!is_there)
            state.refuse("is no [[room.patch]] of job.toml; write its name as it stands there");
        if (!state.text().empty())
            p.patches[name] = state.text();
    }
}

void read_air(const TomlTable& air, VisitProtocol& p) {
    p.temperature_start_c = air.quantity_if("temperature_start", Dimension::temperature, temperature_range);
    p.temperature_end_c = air.quantity_if("temperature_end", Dimension::temperature, temperature_range);
    p.humidity_start_percent = air.quantity_if("humidity_start", Dimension::percent, humidity_range);
    p.humidity_end_percent = air.quantity_if("humidity_end", Dimension::percent, humidity_range);
}

void read_equipment(const TomlTable& equipment, VisitProtocol& p) {
    p.loudspeaker = equipment.text_or("loudspeaker", "");
    p.microphone = equipment.text_or("microphone", "");
    p.recorder = equipment.text_or("recorder", "");
    p.loudspeaker_settings = equipment.text_or("loudspeaker_settings", "");
    if (const auto off = equipment.find("equaliser_off"))
        p.equaliser_off = off->flag();
}

void read_room(const TomlTable& room, VisitProtocol& p, const std::vector<RoomPatch>* known) {
    if (const auto patches = room.find("patches"))
        read_patches(patches->table(), p, known);
    p.doors = room.text_or("doors", "");
    p.windows = room.text_or("windows", "");
    p.ventilation = room.text_or("ventilation", "");
    p.furniture = room.text_or("furniture", "");
    if (const auto persons = room.find("persons"))
        p.persons = persons->whole(0, 1000);
    if (const auto traps = room.find("traps"))
        for (const auto list = traps->list(); const TomlValue& name : list)
            p.traps.push_back(name.text());
}

std::optional<double> mean_of_ends(const std::optional<double>& start, const std::optional<double>& end) {
    if (start && end)
        return 0.5 * (*start + *end);
    return start ? start : end;
}

VisitProtocol protocol_from(std::string_view text, std::string_view name,
                            const std::vector<RoomPatch>* patches) {
    const TomlFile file = TomlFile::parse(text, name);
    const TomlTable root = file.root();
    VisitProtocol protocol;
    const TomlTable visit = root.need("visit").table();
    protocol.date = visit.need("date").date();
    protocol.notes = visit.text_or("notes", "");
    if (const auto air = root.find("air"))
        read_air(air->table(), protocol);
    if (const auto equipment = root.find("equipment"))
        read_equipment(equipment->table(), protocol);
    if (const auto room = root.find("room"))
        read_room(room->table(), protocol, patches);
    file.refuse_unknown_keys();
    return protocol;
}

} // namespace

std::optional<double> VisitProtocol::temperature_c() const {
    return mean_of_ends(temperature_start_c, temperature_end_c);
}

std::optional<double> VisitProtocol::humidity_percent() const {
    return mean_of_ends(humidity_start_percent, humidity_end_percent);
}

VisitProtocol visit_protocol(std::string_view text, std::string_view name) {
    return protocol_from(text, name, nullptr);
}

VisitProtocol visit_protocol(std::string_view text, std::string_view name,
                             const std::vector<RoomPatch>& patches) {
    return protocol_from(text, name, &patches);
}

std::string visit_template(std::string_view date, const std::vector<RoomPatch>& patches) {
    std::string text = fmt::format(
        R"(# The protocol of one visit. Fill in every line: take the # away and write what is true.
# Two visits compare only as well as their conditions are known.

[visit]
date = {}
notes = ""                       # anything out of the ordinary

[air]
# temperature_start = "21.0 °C"
# humidity_start = "45 %"
# temperature_end = "21.5 °C"    # at the end of the visit
# humidity_end = "46 %"

[equipment]
loudspeaker = ""                 # make, model, serial number
microphone = ""
recorder = ""                    # sound card or recorder, with its input gain
loudspeaker_settings = ""        # volume, switches: the same in every visit
# equaliser_off = true           # all equalisers, limiters and room corrections off

[room]
doors = ""                       # for example "closed"
windows = ""
ventilation = ""                 # for example "off"
furniture = ""                   # for example "as in the photos"
# persons = 1                    # in the room during the recordings
# traps = ["rear wall"]          # of job.toml, those that stood there: only where they came in several visits
)",
        date);
    if (!patches.empty())
        text += "\n[room.patches]                   # the state of each: \"closed\", \"open\", \"drawn\"\n";
    for (const RoomPatch& patch : patches)
        text += line(key_of(patch.name), "");
    return text;
}

std::string canonical_toml(const VisitProtocol& p) {
    return "[visit]\n" + line("date", p.date) + line("notes", p.notes) + "[air]\n" +
           line("temperature_start", p.temperature_start_c) + line("temperature_end", p.temperature_end_c) +
           line("humidity_start", p.humidity_start_percent) + line("humidity_end", p.humidity_end_percent) +
           "[equipment]\n" + line("loudspeaker", p.loudspeaker) + line("microphone", p.microphone) +
           line("recorder", p.recorder) + line("loudspeaker_settings", p.loudspeaker_settings) +
           line("equaliser_off", p.equaliser_off) + "[room]\n" + line("doors", p.doors) +
           line("windows", p.windows) + line("ventilation", p.ventilation) + line("furniture", p.furniture) +
           line("persons", p.persons) + traps_line(p.traps) + patch_lines(p.patches);
}

std::vector<std::string> blank_items(const VisitProtocol& p, const std::vector<RoomPatch>& patches) {
    std::vector<std::string> blank;
    const auto expect = [&](bool filled, std::string key) {
        if (!filled)
            blank.push_back(std::move(key));
    };
    expect(p.temperature_start_c.has_value(), "air.temperature_start");
    expect(p.humidity_start_percent.has_value(), "air.humidity_start");
    expect(p.temperature_end_c.has_value(), "air.temperature_end");
    expect(p.humidity_end_percent.has_value(), "air.humidity_end");
    expect(!p.loudspeaker.empty(), "equipment.loudspeaker");
    expect(!p.microphone.empty(), "equipment.microphone");
    expect(!p.recorder.empty(), "equipment.recorder");
    expect(!p.loudspeaker_settings.empty(), "equipment.loudspeaker_settings");
    expect(p.equaliser_off.has_value(), "equipment.equaliser_off");
    expect(!p.doors.empty(), "room.doors");
    expect(!p.windows.empty(), "room.windows");
    expect(!p.ventilation.empty(), "room.ventilation");
    expect(!p.furniture.empty(), "room.furniture");
    expect(p.persons.has_value(), "room.persons");
    for (const RoomPatch& patch : patches)
        expect(p.patches.contains(patch.name), "room.patches." + patch.name);
    return blank;
}

} // namespace ebbmark
