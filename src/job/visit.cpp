// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/visit.hpp"

#include "files/toml.hpp"

#include <fmt/format.h>

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

void read_room(const TomlTable& room, VisitProtocol& p) {
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

} // namespace

std::optional<double> VisitProtocol::temperature_c() const {
    return mean_of_ends(temperature_start_c, temperature_end_c);
}

std::optional<double> VisitProtocol::humidity_percent() const {
    return mean_of_ends(humidity_start_percent, humidity_end_percent);
}

VisitProtocol visit_protocol(std::string_view text, std::string_view name) {
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
        read_room(room->table(), protocol);
    file.refuse_unknown_keys();
    return protocol;
}

std::string visit_template(std::string_view date) {
    return fmt::format(
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
}

std::string canonical_toml(const VisitProtocol& p) {
    return "[visit]\n" + line("date", p.date) + line("notes", p.notes) + "[air]\n" +
           line("temperature_start", p.temperature_start_c) + line("temperature_end", p.temperature_end_c) +
           line("humidity_start", p.humidity_start_percent) + line("humidity_end", p.humidity_end_percent) +
           "[equipment]\n" + line("loudspeaker", p.loudspeaker) + line("microphone", p.microphone) +
           line("recorder", p.recorder) + line("loudspeaker_settings", p.loudspeaker_settings) +
           line("equaliser_off", p.equaliser_off) + "[room]\n" + line("doors", p.doors) +
           line("windows", p.windows) + line("ventilation", p.ventilation) + line("furniture", p.furniture) +
           line("persons", p.persons) + traps_line(p.traps);
}

std::vector<std::string> blank_items(const VisitProtocol& p) {
    std::vector<std::string> blank;
    const auto expect = [&](bool filled, const char* key) {
        if (!filled)
            blank.emplace_back(key);
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
    return blank;
}

} // namespace ebbmark
