// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "job/job_toml.hpp"

#include <fmt/format.h>

#include <array>

namespace ebbmark {

namespace {

constexpr Range face_range{0.01, 100};
// From a felt to a room-deep absorber.
constexpr Range thickness_range{0.001, 5};

std::array<std::string_view, 6> wall_names() {
    std::array<std::string_view, 6> names;
    for (std::size_t i = 0; i < names.size(); ++i)
        names[i] = name(all_walls[i]);
    return names;
}

Wall wall_from(const TomlValue& value) {
    const auto n = wall_names();
    return *wall_named(value.choice({n[0], n[1], n[2], n[3], n[4], n[5]}));
}

/// `wall = "rear"` or `corner = ["rear", "left"]`.
void read_walls(const TomlTable& table, TrapPlace& place) {
    const auto corner = table.find("corner");
    if (const auto wall = table.find("wall")) {
        if (corner)
            corner->refuse("stands beside `wall`; keep one of the two");
        place.wall = wall_from(*wall);
        return;
    }
    if (!corner)
        place.wall = wall_from(table.need("wall")); // names the missing key
    const auto walls = corner->list();
    if (walls.size() != 2)
        corner->refuse("needs two walls, such as [\"rear\", \"left\"]");
    place.wall = wall_from(walls[0]);
    place.corner_with = wall_from(walls[1]);
    if (axis_of(place.wall) == axis_of(*place.corner_with))
        corner->refuse("names two walls that do not meet");
}

void check_fits(const TomlTable& table, const TrapPlace& place, const JobRoom& room) {
    if (!room.box)
        return;
    try {
        covered_walls(*room.box, place);
    } catch (const Error& error) {
        table.refuse(error.what());
    }
}

TrapLayer layer_from(const TomlTable& table) {
    TrapLayer layer;
    const TomlValue material = table.need("material");
    layer.material = material.text();
    if (layer.material.empty())
        material.refuse("needs the name of a material");
    layer.thickness_m = table.quantity_if("thickness", Dimension::length, thickness_range);
    layer.free_thickness_m = table.quantity_if("free_thickness", Dimension::length, thickness_range);
    layer.density_kg_m3 = table.quantity_if("density", Dimension::density, {1, 3000});
    layer.flow_resistivity = table.quantity_if("flow_resistivity", Dimension::flow_resistivity, {10, 1e7});
    layer.flow_resistance = table.quantity_if("flow_resistance", Dimension::flow_resistance, {1, 1e6});
    if (!layer.thickness_m && !layer.flow_resistance)
        table.need("thickness");
    if (layer.free_thickness_m && *layer.free_thickness_m < layer.thickness_m.value_or(0))
        table.need("free_thickness")
            .refuse("must not be below `thickness`: wool is compressed, never stretched");
    return layer;
}

// More than anybody stacks; beyond it a forecast takes minutes.
constexpr std::size_t most_layers = 50;

std::vector<TrapLayer> layers_from(const TomlTable& table) {
    std::vector<TrapLayer> layers;
    const auto given = table.tables("layer");
    if (given.size() > most_layers)
        table.need("layer").refuse(fmt::format(
            "has {} layers; write at most {}, equal ones as one thicker layer", given.size(), most_layers));
    for (const TomlTable& layer : given)
        layers.push_back(layer_from(layer));
    return layers;
}

double face_from(const TomlTable& table, std::string_view key) {
    return table.need(key).quantity(Dimension::length, face_range);
}

/// What is not given of the built place is as planned; nothing where all is.
std::optional<TrapPlace> built_place(const TomlTable& table, TrapPlace place) {
    bool differs = false;
    const auto change = [&](std::string_view key, double& length, Range range) {
        if (const auto value = table.quantity_if(key, Dimension::length, range))
            length = *value, differs = true;
    };
    change("face_width", place.face_width_m, face_range);
    change("face_height", place.face_height_m, face_range);
    change("along", place.along_m, {0, 100});
    change("up", place.up_m, {0, 100});
    if (table.has("wall") || table.has("corner")) {
        place.corner_with.reset();
        read_walls(table, place);
        differs = true;
    }
    return differs ? std::optional(place) : std::nullopt;
}

BuiltTrap built_from(const TomlTable& table, const JobTrap& planned, const JobRoom& room) {
    BuiltTrap built;
    built.place = built_place(table, planned.place);
    if (built.place)
        check_fits(table, *built.place, room);
    built.layers = layers_from(table);
    built.wool_mass_kg = table.quantity_if("wool_mass", Dimension::mass, {0.01, 10000});
    return built;
}

} // namespace

JobTrap trap_from(const TomlTable& table, const JobRoom& room) {
    JobTrap trap;
    const TomlValue title = table.need("name");
    trap.name = title.text();
    if (trap.name.empty())
        title.refuse("needs a name");
    trap.place.face_width_m = face_from(table, "face_width");
    trap.place.face_height_m = face_from(table, "face_height");
    read_walls(table, trap.place);
    trap.place.along_m = table.quantity_if("along", Dimension::length, {0, 100}).value_or(0);
    trap.place.up_m = table.quantity_if("up", Dimension::length, {0, 100}).value_or(0);
    check_fits(table, trap.place, room);
    trap.open_sides = table.flag_or("open_sides", false);
    trap.layers = layers_from(table);
    if (trap.layers.empty())
        table.need("layer").refuse("needs at least one [[trap.layer]]");
    if (const auto built = table.find("built"))
        trap.built = built_from(built->table(), trap, room);
    return trap;
}

} // namespace ebbmark
