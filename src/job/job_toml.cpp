// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/job_toml.hpp"

#include "base/error.hpp"
#include "decay/targets.hpp"
#include "job/names.hpp"
#include "job/plan_doubts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <set>

namespace ebbmark {

namespace {

// Wide limits that catch slips of unit and point: from a cupboard to a hall.
constexpr Range edge_range{0.5, 100};
constexpr Range frequency_range{5, 20000};
// Tape measures, skirting boards and walls out of square: common practice, no source.
constexpr double place_tolerance_m = 0.1;

bool in_recess(const JobRoom& room, const Point& point) {
    return !room.box->holds(point) && RoomShape{*room.box, room.parts}.holds(point);
}

Point point_from(const TomlValue& value, const JobRoom& room) {
    const auto list = value.list();
    if (list.size() != 3)
        value.refuse("needs three lengths: x to the rear, y to the right, z up");
    Point at{};
    for (std::size_t i = 0; i < 3; ++i)
        at[i] = list[i].quantity(Dimension::length);
    if (room.box && in_recess(room, at))
        return at;
    for (std::size_t i = 0; i < 3; ++i) {
        const double most = room.box ? room.box->edges_m[i] : edge_range.high;
        if (at[i] < 0 || at[i] > most)
            list[i].refuse(fmt::format("lies outside the room; write 0 to {:g} m", most));
    }
    return at;
}

std::vector<WallDistance> distances_from(const TomlTable& place, const Point& at, const JobRoom& room) {
    std::vector<WallDistance> distances;
    const auto found = place.find("distances");
    if (!found)
        return distances;
    const TomlTable table = found->table();
    for (const Wall wall : all_walls) {
        const auto value = table.find(name(wall));
        if (!value)
            continue;
        const double measured = value->quantity(Dimension::length, {0, edge_range.high});
        if (room.box) {
            const double to_wall = distance_m(*room.box, wall, at);
            // With parts, what the tape meets first may be meant.
            const double free = free_distance_m({*room.box, room.parts}, wall, at);
            if (std::min(std::abs(to_wall - measured), std::abs(free - measured)) > place_tolerance_m)
                value->refuse(fmt::format(
                    "does not agree with `at`, which lies {:.2f} m from there; correct one of them", free));
        }
        distances.emplace_back(wall, measured);
    }
    return distances;
}

std::string photo_from(const TomlTable& place) {
    const auto value = place.find("photo");
    if (!value)
        return {};
    try {
        check_file_name(value->text());
    } catch (const Error&) {
        value->refuse("must be the plain name of a file in the folder photos");
    }
    return value->text();
}

// More than a room holds; beyond it a forecast takes minutes.
constexpr std::size_t most_of_a_kind = 100;

/// Reads all tables of one kind and refuses two with the same name.
template <class Read>
auto all_of(const TomlTable& root, std::string_view kind, std::string_view key, Read read) {
    std::vector<decltype(read(root))> all;
    std::set<std::string> seen;
    const auto given = root.tables(kind);
    if (given.size() > most_of_a_kind)
        given[most_of_a_kind].refuse(
            fmt::format("is one of {} [[{}]]; write at most {}", given.size(), kind, most_of_a_kind));
    for (const TomlTable& table : given) {
        all.push_back(read(table));
        const TomlValue value = table.need(key);
        if (!seen.insert(value.text()).second)
            value.refuse(fmt::format("is there twice; give each {} its own {}", kind, key));
    }
    return all;
}

std::string target_from(const TomlTable& room) {
    const auto value = room.find("target");
    if (!value || value->text().empty())
        return {};
    if (!target_named(value->text()))
        value->refuse(fmt::format("is no target that is known; write \"{}\" or \"{}\", or leave it out",
                                  name(Target::itu_bs_1116_3), name(Target::ebu_tech_3276)));
    return value->text();
}

void read_job_table(const TomlTable& table, JobDescription& job) {
    job.title = table.need("title").text();
    job.client = table.text_or("client", "");
    job.address = table.text_or("address", "");
    job.contractor = table.text_or("contractor", "");
    job.invoice = table.text_or("invoice", "");
    job.acceptance = acceptance_from(table);
}

} // namespace

std::optional<Acceptance> acceptance_from(const TomlTable& table) {
    const auto found = table.find("acceptance");
    if (!found)
        return {};
    const TomlTable acceptance = found->table();
    acceptance.need("of").choice({"question"});
    return Acceptance{acceptance.need("at_least_percent").quantity(Dimension::percent, {0.1, 99})};
}

JobQuestion question_from(const TomlTable& table) {
    JobQuestion question;
    if (table.need("kind").choice({"bands", "modes"}) == "bands") {
        question.from_hz = table.need("from").quantity(Dimension::frequency, frequency_range);
        const TomlValue to = table.need("to");
        question.to_hz = to.quantity(Dimension::frequency, frequency_range);
        if (question.to_hz < question.from_hz)
            to.refuse("must not be below `from`");
        return question;
    }
    question.kind = JobQuestion::Kind::modes;
    const TomlValue hz = table.need("hz");
    for (const TomlValue& value : hz.list())
        question.modes_hz.push_back(value.quantity(Dimension::frequency, frequency_range));
    if (question.modes_hz.empty())
        hz.refuse("needs at least one frequency");
    return question;
}

namespace {

/// x, y, z, or along and up; negative or beyond the room where a recess may lie.
template <std::size_t Count>
std::array<double, Count> lengths_from(const TomlValue& value, const char* what) {
    const auto list = value.list();
    if (list.size() != Count)
        value.refuse(fmt::format("needs {} lengths: {}", Count, what));
    std::array<double, Count> lengths{};
    for (std::size_t i = 0; i < Count; ++i)
        lengths[i] = list[i].quantity(Dimension::length, {-edge_range.high, edge_range.high});
    return lengths;
}

/// Outside the box, whole on one wall.
bool on_a_wall(const RoomPart& part, const Box& box) {
    int outside = 0;
    for (std::size_t axis = 0; axis < 3; ++axis) {
        const double edge = box.edges_m[axis];
        if (std::abs(part.to_m[axis]) < touching_m || std::abs(part.from_m[axis] - edge) < touching_m)
            ++outside;
        else if (part.from_m[axis] < -touching_m || part.to_m[axis] > edge + touching_m)
            return false;
    }
    return outside == 1;
}

RoomPart part_from(const TomlTable& table, const Box& box) {
    RoomPart part;
    part.name = table.need("name").text();
    const bool recess = table.need("kind").choice({"solid", "recess"}) == "recess";
    part.kind = recess ? RoomPart::Kind::recess : RoomPart::Kind::solid;
    const TomlValue from = table.need("from"), to = table.need("to");
    constexpr const char* order = "x to the rear, y to the right, z up";
    part.from_m = lengths_from<3>(from, order), part.to_m = lengths_from<3>(to, order);
    for (std::size_t axis = 0; axis < 3; ++axis) {
        if (part.to_m[axis] - part.from_m[axis] < 0.01)
            to.refuse("must be more than `from`, by a centimetre at least, in each of the three directions");
        if (!recess && (part.from_m[axis] < -touching_m || part.to_m[axis] > box.edges_m[axis] + touching_m))
            to.refuse(
                "must lie in the room: a solid part stands inside the box; what lies outside of it and is "
                "open to it is a \"recess\"");
    }
    if (recess && !on_a_wall(part, box))
        table.refuse(
            "is a recess that touches no wall from outside: one of its sides must lie on a wall, and "
            "the rest beyond it");
    return part;
}

RoomPatch patch_from(const TomlTable& table, const Box& box) {
    RoomPatch patch;
    patch.name = table.need("name").text();
    const auto kind =
        table.need("kind").choice({patch_kinds[0], patch_kinds[1], patch_kinds[2], patch_kinds[3]});
    patch.kind = static_cast<RoomPatch::Kind>(std::find(patch_kinds.begin(), patch_kinds.end(), kind) -
                                              patch_kinds.begin());
    patch.rectangle.wall = wall_from(table.need("wall"));
    const TomlValue from = table.need("from"), to = table.need("to");
    patch.rectangle.from_m = lengths_from<2>(from, "along the wall, and up");
    patch.rectangle.to_m = lengths_from<2>(to, "along the wall, and up");
    const auto along = axes_along(patch.rectangle.wall);
    for (std::size_t i = 0; i < 2; ++i) {
        if (patch.rectangle.to_m[i] - patch.rectangle.from_m[i] < 0.01)
            to.refuse("must be more than `from`, by a centimetre at least");
        if (patch.rectangle.from_m[i] < 0 || patch.rectangle.to_m[i] > box.edges_m[along[i]] + touching_m)
            to.refuse(fmt::format("lies outside the {} wall", name(patch.rectangle.wall)));
    }
    return patch;
}

void read_parts(const TomlTable& table, JobRoom& room) {
    room.exact_box = table.flag_or("exact_box", false);
    room.parts = all_of(table, "part", "name", [&](const TomlTable& t) { return part_from(t, *room.box); });
    room.patches =
        all_of(table, "patch", "name", [&](const TomlTable& t) { return patch_from(t, *room.box); });
    if (room.exact_box && !room.parts.empty())
        table.need("exact_box").refuse("stands beside [[room.part]]: a room with parts is no exact box");
    const RoomShape shape{*room.box, room.parts};
    room.volume_m3 = shape.volume_m3();
    room.surface_m2 = shape.surface_m2();
    if (*room.volume_m3 < 0.2 * room.box->volume_m3())
        table.refuse("has parts that leave hardly any air in the box; correct [[room.part]]");
}

} // namespace

JobRoom room_from(const TomlTable& table) {
    JobRoom room;
    room.target = target_from(table);
    if (table.has("length") || table.has("width") || table.has("height")) {
        room.box = Box{{table.need("length").quantity(Dimension::length, edge_range),
                        table.need("width").quantity(Dimension::length, edge_range),
                        table.need("height").quantity(Dimension::length, edge_range)}};
        for (const char* key : {"volume", "surface"})
            if (const auto value = table.find(key))
                value->refuse("follows from length, width and height: leave it out, or leave those out");
        read_parts(table, room);
        return room;
    }
    for (const char* key : {"part", "patch"})
        if (const auto value = table.find(key))
            value->refuse("is part of a box: give the room length, width and height");
    if (table.has("volume") || table.has("surface")) {
        room.volume_m3 = table.need("volume").quantity(Dimension::volume, {1, 1e6});
        const TomlValue surface = table.need("surface");
        room.surface_m2 = surface.quantity(Dimension::area, {1, 1e6});
        // No body has less surface than the ball of its volume: (36 pi V^2)^(1/3).
        const double least = std::cbrt(36 * std::numbers::pi * *room.volume_m3 * *room.volume_m3);
        if (*room.surface_m2 < least)
            surface.refuse(
                fmt::format("is too small for the volume; a room of it has at least {:.0f} m2", least));
    }
    return room;
}

SourcePlace source_from(const TomlTable& table, const JobRoom& room) {
    SourcePlace place;
    const TomlValue id = table.need("id");
    place.id = id.text();
    if (!is_source_id(place.id))
        id.refuse("must be S1 to S99");
    place.at_m = point_from(table.need("at"), room);
    place.distances = distances_from(table, place.at_m, room);
    place.photo = photo_from(table);
    place.lowest_hz = table.quantity_if("lowest", Dimension::frequency, frequency_range);
    return place;
}

MicrophonePlace microphone_from(const TomlTable& table, const JobRoom& room) {
    MicrophonePlace place;
    const TomlValue id = table.need("id");
    place.id = id.text();
    if (!is_microphone_id(place.id))
        id.refuse("must be M1 to M99");
    place.at_m = point_from(table.need("at"), room);
    place.distances = distances_from(table, place.at_m, room);
    place.photo = photo_from(table);
    place.listening = table.flag_or("listening", false);
    return place;
}

JobDescription job_from(const TomlTable& root) {
    JobDescription job;
    read_job_table(root.need("job").table(), job);
    job.question = question_from(root.need("question").table());
    job.room = room_from(root.need("room").table());
    job.sources = all_of(root, "source", "id", [&](const TomlTable& t) { return source_from(t, job.room); });
    job.microphones =
        all_of(root, "microphone", "id", [&](const TomlTable& t) { return microphone_from(t, job.room); });
    job.traps = traps_from(root, job.room);
    return job;
}

JobDescription job_description(std::string_view text, std::string_view name, WrongPlan wrong) {
    const TomlFile file = TomlFile::parse(text, name);
    JobDescription job = job_from(file.root());
    file.refuse_unknown_keys();
    job.doubts = plan_doubts(file.root(), job, wrong);
    return job;
}

const SourcePlace* JobDescription::source(std::string_view id) const {
    const auto found =
        std::find_if(sources.begin(), sources.end(), [&](const auto& s) { return s.id == id; });
    return found == sources.end() ? nullptr : &*found;
}

const MicrophonePlace* JobDescription::microphone(std::string_view id) const {
    const auto found =
        std::find_if(microphones.begin(), microphones.end(), [&](const auto& m) { return m.id == id; });
    return found == microphones.end() ? nullptr : &*found;
}

} // namespace ebbmark
