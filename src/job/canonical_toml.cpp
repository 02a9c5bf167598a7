// SPDX-License-Identifier: GPL-3.0-or-later
// Descriptions written back: SI units, shortest digits that read back the same number, fixed order.
#include "job/job_toml.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <array>

namespace ebbmark {

namespace {

std::string line(std::string_view key, double value) {
    return fmt::format("{} = {}\n", key, value);
}

std::string line(std::string_view key, std::string_view text) {
    return text.empty() ? "" : fmt::format("{} = {}\n", key, toml_quoted(text));
}

std::string line(std::string_view key, const std::optional<double>& value) {
    return value ? line(key, *value) : "";
}

template <std::size_t Count>
std::string list_line(std::string_view key, const std::array<double, Count>& values) {
    return fmt::format("{} = [{}]\n", key, fmt::join(values, ", "));
}

template <class Place>
std::string place_lines(const Place& place) {
    std::string text = line("id", place.id);
    text += fmt::format("at = [{}, {}, {}]\n", place.at_m[0], place.at_m[1], place.at_m[2]);
    std::string distances;
    for (const auto& [wall, distance] : place.distances)
        distances += fmt::format("{}{} = {}", distances.empty() ? "" : ", ", name(wall), distance);
    if (!distances.empty())
        text += fmt::format("distances = {{{}}}\n", distances);
    return text + line("photo", place.photo);
}

std::string place_lines(const TrapPlace& place) {
    std::string text = line("face_width", place.face_width_m) + line("face_height", place.face_height_m);
    text += place.corner_with
                ? fmt::format("corner = [\"{}\", \"{}\"]\n", name(place.wall), name(*place.corner_with))
                : line("wall", name(place.wall));
    if (place.box_across)
        text += line("frame", std::string_view("straight"));
    return text + line("along", place.along_m) + line("up", place.up_m);
}

std::string dividers_line(const std::optional<Dividers>& strips) {
    if (!strips)
        return "";
    const bool beside = strips->ends == Dividers::Ends::beside, wide = strips->run == Dividers::Run::width;
    return fmt::format("dividers = {{spacing = {}, thickness = {}{}, ends = \"{}\", run = \"{}\"}}\n",
                       strips->spacing_m, strips->thickness_m,
                       strips->path_m ? fmt::format(", path = {}", *strips->path_m) : "",
                       beside ? "beside" : "opposite", wide ? "width" : "height");
}

std::string layer_lines(std::string_view heading, const std::vector<TrapLayer>& layers) {
    std::string text;
    for (const TrapLayer& layer : layers)
        text += fmt::format("[[{}]]\n", heading) + line("material", layer.material) +
                line("thickness", layer.thickness_m) + line("free_thickness", layer.free_thickness_m) +
                line("density", layer.density_kg_m3) + line("flow_resistivity", layer.flow_resistivity) +
                line("flow_resistance", layer.flow_resistance) + dividers_line(layer.dividers);
    return text;
}

/// true or false as ever, where all sides are alike.
std::string sides_line(const OpenSides& open) {
    if (open.all() || !open.any())
        return fmt::format("open_sides = {}\n", open.all());
    return fmt::format("open_sides = [\"{}\"]\n", fmt::join(names(open), "\", \""));
}

} // namespace

std::string to_toml(const JobRoom& room) {
    std::string text;
    if (room.box)
        text = line("length", room.box->edges_m[0]) + line("width", room.box->edges_m[1]) +
               line("height", room.box->edges_m[2]);
    else
        text = line("volume", room.volume_m3) + line("surface", room.surface_m2);
    text += line("target", room.target);
    if (room.exact_box)
        text += "exact_box = true\n";
    for (const RoomPart& part : room.parts)
        text += "[[room.part]]\n" + line("name", part.name) +
                line("kind", part.kind == RoomPart::Kind::solid ? "solid" : "recess") +
                list_line("from", part.from_m) + list_line("to", part.to_m);
    for (const RoomPatch& patch : room.patches)
        text += "[[room.patch]]\n" + line("name", patch.name) +
                line("kind", patch_kinds[static_cast<std::size_t>(patch.kind)]) +
                line("wall", name(patch.rectangle.wall)) + list_line("from", patch.rectangle.from_m) +
                list_line("to", patch.rectangle.to_m);
    return text;
}

std::string to_toml(const JobQuestion& question) {
    if (question.kind == JobQuestion::Kind::bands)
        return line("kind", "bands") + line("from", question.from_hz) + line("to", question.to_hz);
    std::string list;
    for (const double hz : question.modes_hz)
        list += fmt::format("{}{}", list.empty() ? "" : ", ", hz);
    return line("kind", "modes") + fmt::format("hz = [{}]\n", list);
}

std::string to_toml(const SourcePlace& source) {
    return place_lines(source) + line("lowest", source.lowest_hz);
}

std::string to_toml(const MicrophonePlace& microphone) {
    return place_lines(microphone) + fmt::format("listening = {}\n", microphone.listening);
}

std::string to_toml(const JobTrap& trap) {
    std::string text = "[[trap]]\n" + line("name", trap.name) + place_lines(trap.place) +
                       sides_line(trap.open_sides) + layer_lines("trap.layer", trap.layers);
    if (trap.built)
        text += "[trap.built]\n" + (trap.built->place ? place_lines(*trap.built->place) : "") +
                line("wool_mass", trap.built->wool_mass_kg) +
                layer_lines("trap.built.layer", trap.built->layers);
    return text;
}

std::string canonical_toml(const JobDescription& job) {
    std::string text =
        fmt::format("[job]\ntitle = {}\n", toml_quoted(job.title)) + line("contractor", job.contractor);
    if (job.acceptance)
        text += fmt::format("acceptance = {{at_least_percent = {}, of = \"question\"}}\n",
                            job.acceptance->at_least_percent);
    text += "[question]\n" + to_toml(job.question) + "[room]\n" + to_toml(job.room);
    for (const SourcePlace& source : job.sources)
        text += "[[source]]\n" + to_toml(source);
    for (const MicrophonePlace& microphone : job.microphones)
        text += "[[microphone]]\n" + to_toml(microphone);
    for (const JobTrap& trap : job.traps)
        text += to_toml(trap);
    return text;
}

} // namespace ebbmark
