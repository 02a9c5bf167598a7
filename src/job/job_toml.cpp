// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/job_toml.hpp"

#include "base/error.hpp"
#include "decay/targets.hpp"
#include "job/names.hpp"

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

Point point_from(const TomlValue& value, const JobRoom& room) {
    const auto list = value.list();
    if (list.size() != 3)
        value.refuse("needs three lengths: x to the rear, y to the right, z up");
    Point at{};
    for (std::size_t i = 0; i < 3; ++i) {
        const double most = room.box ? room.box->edges_m[i] : edge_range.high;
        at[i] = list[i].quantity(Dimension::length);
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
        if (room.box && std::abs(distance_m(*room.box, wall, at) - measured) > place_tolerance_m)
            value->refuse(
                fmt::format("does not agree with `at`, which lies {:.2f} m from there; correct one of them",
                            distance_m(*room.box, wall, at)));
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
        room.volume_m3 = room.box->volume_m3();
        room.surface_m2 = room.box->surface_m2();
    } else if (table.has("volume") || table.has("surface")) {
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

JobDescription job_description(std::string_view text, std::string_view name) {
    const TomlFile file = TomlFile::parse(text, name);
    JobDescription job = job_from(file.root());
    file.refuse_unknown_keys();
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
