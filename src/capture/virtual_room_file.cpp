// SPDX-License-Identifier: GPL-3.0-or-later
#include "capture/virtual_room_file.hpp"

#include "base/error.hpp"
#include "capture/virtual_field.hpp"
#include "files/toml.hpp"
#include "job/job_toml.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>

namespace ebbmark {

namespace {

constexpr Range level_range{-200, 200};

OctaveValues octave_values(const TomlValue& value, Range range) {
    const auto list = value.list();
    OctaveValues values{};
    if (list.size() != values.size())
        value.refuse("needs six numbers, for the octaves 125 Hz to 4 kHz");
    for (std::size_t i = 0; i < values.size(); ++i)
        values[i] = list[i].number(range);
    return values;
}

/// The file's own [[surface]] tables, by name.
std::map<std::string, OctaveValues> own_surfaces(const TomlTable& root) {
    std::map<std::string, OctaveValues> surfaces;
    // A locally reacting surface absorbs at most 0.951 of diffuse sound.
    for (const TomlTable& table : root.tables("surface"))
        surfaces[table.need("name").text()] = octave_values(table.need("alpha"), {0, 0.95});
    return surfaces;
}

std::array<OctaveValues, 6> walls_from(const TomlTable& root) {
    const auto own = own_surfaces(root);
    const TomlTable walls = root.need("walls").table();
    std::array<OctaveValues, 6> values{};
    for (std::size_t i = 0; i < all_walls.size(); ++i) {
        const TomlValue value = walls.need(name(all_walls[i]));
        const std::string wanted = value.text();
        if (const auto found = own.find(wanted); found != own.end())
            values[i] = found->second;
        else if (const auto known = surface_absorption(wanted))
            values[i] = *known;
        else
            value.refuse(
                fmt::format("must be one of {}, or the name of a [[surface]] of this file", surface_names()));
    }
    return values;
}

void check_trap(const TomlTable& table, const RoomDescription& room, std::size_t index) {
    const JobTrap& trap = room.traps[index];
    try {
        acoustic_layers(trap);
    } catch (const Error& error) {
        table.refuse(error.what());
    }
    for (std::size_t i = 0; i < index; ++i)
        for (const CoveredWall& mine : walls_covered_by(trap, room.box()))
            for (const CoveredWall& theirs : walls_covered_by(room.traps[i], room.box()))
                if (overlap(mine.rectangle, theirs.rectangle))
                    table.refuse(fmt::format("overlaps trap \"{}\" on the {} wall; move one of them",
                                             room.traps[i].name, name(mine.rectangle.wall)));
}

RoomVisit visit_from(const TomlTable& table) {
    RoomVisit visit;
    visit.name = table.need("name").text();
    visit.traps = table.flag_or("traps", false);
    visit.celsius = table.quantity_if("temperature", Dimension::temperature, {-20, 50}).value_or(20);
    visit.humidity_percent = table.quantity_if("humidity", Dimension::percent, {10, 100}).value_or(50);
    visit.drift_kelvin = table.number_or("drift_kelvin_per_take", 0, {-1, 1});
    return visit;
}

VirtualLoudspeaker loudspeaker_from(const TomlTable& table) {
    VirtualLoudspeaker loudspeaker;
    const auto set = [&](std::string_view key, Dimension dimension, double& figure, Range range) {
        figure = table.quantity_if(key, dimension, range).value_or(figure);
    };
    set("lowest", Dimension::frequency, loudspeaker.lowest_hz, {5, 500});
    set("highest", Dimension::frequency, loudspeaker.highest_hz, {2000, 40000});
    set("level_at_1m", Dimension::level, loudspeaker.level_at_1m_db, {40, 140});
    set("second_harmonic", Dimension::percent, loudspeaker.second_harmonic_percent, {0, 30});
    set("third_harmonic", Dimension::percent, loudspeaker.third_harmonic_percent, {0, 30});
    return loudspeaker;
}

VirtualRecorder recorder_from(const TomlTable& table) {
    VirtualRecorder recorder;
    recorder.full_scale_db =
        table.quantity_if("full_scale", Dimension::level, {40, 180}).value_or(recorder.full_scale_db);
    if (const auto bits = table.find("bits"))
        recorder.bits = bits->whole(8, 32);
    recorder.clock_ppm = table.number_or("clock_ppm", 0, {-1000, 1000});
    recorder.latency_s = table.quantity_if("latency", Dimension::time, {0, 5}).value_or(recorder.latency_s);
    recorder.loopback = table.flag_or("loopback", false);
    return recorder;
}

VirtualNoise noise_from(const TomlTable& table) {
    VirtualNoise noise;
    noise.level_db = table.quantity_if("level", Dimension::level, level_range).value_or(noise.level_db);
    noise.slope_db_per_octave = table.number_or("slope_db_per_octave", noise.slope_db_per_octave, {-12, 6});
    noise.hum_db = table.quantity_if("hum", Dimension::level, level_range);
    noise.hum_hz = table.quantity_if("hum_frequency", Dimension::frequency, {10, 1000}).value_or(50);
    return noise;
}

DoorSlam slam_from(const TomlTable& table) {
    DoorSlam slam;
    slam.visit = table.need("visit").text();
    slam.take = table.need("take").whole(1, 10000);
    slam.at_s = table.need("at").quantity(Dimension::time, {0, 3600});
    slam.peak_db = table.need("peak").quantity(Dimension::level, {0, 140});
    return slam;
}

template <class Reader>
void if_there(const TomlTable& root, std::string_view key, const Reader& read) {
    if (const auto value = root.find(key))
        read(value->table());
}

RoomDescription description_from(const TomlTable& root) {
    RoomDescription room;
    room.title = root.text_or("title", "virtual room");
    if (const auto seed = root.find("seed"))
        room.seed = static_cast<std::uint64_t>(seed->whole(0, 1000000000));
    const TomlTable box = root.need("room").table();
    room.room = room_from(box);
    if (!room.room.box)
        box.refuse("a virtual room is a box: give length, width and height");
    room.walls = walls_from(root);
    if_there(root, "furniture", [&](const TomlTable& table) {
        room.furniture_m2 = octave_values(table.need("area_m2"), {0, 100});
    });
    for (const TomlTable& table : root.tables("source"))
        room.sources.push_back(source_from(table, room.room));
    for (const TomlTable& table : root.tables("microphone"))
        room.microphones.push_back(microphone_from(table, room.room));
    room.traps = traps_from(root, room.room);
    const auto tables = trap_tables(root);
    for (std::size_t i = 0; i < tables.size(); ++i)
        check_trap(tables[i], room, i);
    for (const TomlTable& table : root.tables("visit"))
        room.visits.push_back(visit_from(table));
    if (room.visits.empty())
        root.need("visit").refuse("needs at least one [[visit]]");
    room.put_back_m = root.quantity_if("put_back", Dimension::length, {0, 0.5}).value_or(room.put_back_m);
    if_there(root, "loudspeaker",
             [&](const TomlTable& table) { room.loudspeaker = loudspeaker_from(table); });
    if_there(root, "recorder", [&](const TomlTable& table) { room.recorder = recorder_from(table); });
    if_there(root, "noise", [&](const TomlTable& table) { room.noise = noise_from(table); });
    for (const TomlTable& table : root.tables("slam"))
        room.slams.push_back(slam_from(table));
    return room;
}

RoomDescription description_of(const TomlFile& file) {
    RoomDescription room = description_from(file.root());
    file.refuse_unknown_keys();
    return room;
}

} // namespace

RoomDescription room_description(std::string_view text, std::string_view name) {
    return description_of(TomlFile::parse(text, name));
}

RoomDescription read_room_description(const std::filesystem::path& path) {
    return description_of(TomlFile::read(path));
}

} // namespace ebbmark
