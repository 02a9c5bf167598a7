// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "job/job_toml.hpp"
#include "room/layers.hpp"

#include <fmt/format.h>

#include <array>
#include <set>
#include <utility>

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

/// `frame = "straight"`, a box across a corner, or "filled".
void read_frame(const TomlTable& table, TrapPlace& place) {
    const auto frame = table.find("frame");
    if (!frame)
        return;
    place.box_across = frame->choice({"filled", "straight"}) == "straight";
    if (!place.corner_with)
        frame->refuse("says how a trap stands across a corner: give `corner`, or leave it out");
}

void check_fits(const TomlTable& table, const TrapPlace& place, const std::vector<TrapLayer>& layers,
                const JobRoom& room) {
    if (!room.box)
        return;
    try {
        covered_walls(*room.box, place, depth_m(layers));
    } catch (const Error& error) {
        table.refuse(error.what());
    }
}

Dividers dividers_from(const TomlTable& table, double layer_m, const TrapPlace& place) {
    Dividers strips;
    const TomlValue spacing = table.need("spacing"), thickness = table.need("thickness");
    strips.spacing_m = spacing.quantity(Dimension::length, {0.005, 5});
    strips.thickness_m = thickness.quantity(Dimension::length, {0.0005, 1});
    if (strips.thickness_m >= strips.spacing_m)
        thickness.refuse("must be less than `spacing`, the clear width between two strips");
    if (const auto ends = table.find("ends"))
        strips.ends = ends->choice({"opposite", "beside"}) == "beside" ? Dividers::Ends::beside
                                                                       : Dividers::Ends::opposite;
    if (const auto run = table.find("run"))
        strips.run =
            run->choice({"height", "width"}) == "width" ? Dividers::Run::width : Dividers::Run::height;
    const bool upright = strips.run == Dividers::Run::height;
    const double frame = upright ? place.face_width_m : place.face_height_m;
    if (strips.spacing_m > frame)
        spacing.refuse(fmt::format("is more than the frame is {}, {:.3f} m: then there are no strips in it",
                                   upright ? "wide" : "high", frame));
    if (const auto path = table.find("path")) {
        const double length = path->quantity(Dimension::length);
        // What a tape shows of a straight strip.
        constexpr double tape_m = 0.002;
        if (length < layer_m - tape_m || length > 2 * layer_m)
            path->refuse(
                fmt::format("must be from one to two times the layer's thickness, {:.3f} m to {:.3f} m: "
                            "measure along one strip from back to front",
                            layer_m, 2 * layer_m));
        if (length > layer_m + tape_m)
            strips.path_m = length;
    }
    return strips;
}

void read_dividers(const TomlTable& table, TrapLayer& layer, const TrapPlace& place) {
    const auto dividers = table.find("dividers");
    if (!dividers)
        return;
    const auto kind = layer_kind_named(layer.material);
    if (kind == LayerKind::air || kind == LayerKind::cloth || !layer.thickness_m)
        dividers->refuse("are strips that stand in wool; write them on a layer of wool");
    layer.dividers = dividers_from(dividers->table(), *layer.thickness_m, place);
}

TrapLayer layer_from(const TomlTable& table, const TrapPlace& place) {
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
    read_dividers(table, layer, place);
    return layer;
}

// More than a room holds; beyond it a forecast takes minutes.
constexpr std::size_t most_traps = 100;
// More than anybody stacks; beyond it a forecast takes minutes.
constexpr std::size_t most_layers = 50;

std::vector<TrapLayer> layers_from(const TomlTable& table, const TrapPlace& place) {
    std::vector<TrapLayer> layers;
    const auto given = table.tables("layer");
    if (given.size() > most_layers)
        table.need("layer").refuse(fmt::format(
            "has {} layers; write at most {}, equal ones as one thicker layer", given.size(), most_layers));
    for (const TomlTable& layer : given)
        layers.push_back(layer_from(layer, place));
    return layers;
}

double face_from(const TomlTable& table, std::string_view key) {
    return table.need(key).quantity(Dimension::length, face_range);
}

/// What is not given of the place is as it is; says whether anything was.
bool change_place(const TomlTable& table, TrapPlace& place) {
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
        place.box_across = place.box_across && place.corner_with;
        differs = true;
    }
    differs = differs || table.has("frame");
    read_frame(table, place);
    return differs;
}

/// All, none, or those that are named.
OpenSides open_sides_from(const TomlTable& table) {
    const auto value = table.find("open_sides");
    if (!value)
        return false;
    if (!value->is_list())
        return value->flag();
    OpenSides open;
    for (const TomlValue& side : value->list()) {
        const std::string name = side.choice({"left", "right", "top", "bottom"});
        (name == "left"    ? open.left
         : name == "right" ? open.right
         : name == "top"   ? open.top
                           : open.bottom) = true;
    }
    return open;
}

BuiltTrap built_from(const TomlTable& table, const JobTrap& planned, const JobRoom& room) {
    BuiltTrap built;
    TrapPlace place = planned.place;
    if (change_place(table, place))
        built.place = place;
    built.layers = layers_from(table, place);
    if (built.place || !built.layers.empty())
        check_fits(table, place, built.layers.empty() ? planned.layers : built.layers, room);
    built.wool_mass_kg = table.quantity_if("wool_mass", Dimension::mass, {0.01, 10000});
    return built;
}

std::string name_from(const TomlTable& table, std::set<std::string>& taken) {
    const TomlValue title = table.need("name");
    if (title.text().empty())
        title.refuse("needs a name");
    if (!taken.insert(title.text()).second)
        title.refuse("is there twice; give each trap its own name");
    return title.text();
}

JobTrap first_from(const TomlTable& table, const JobRoom& room, std::set<std::string>& taken) {
    JobTrap trap;
    trap.name = name_from(table, taken);
    trap.place.face_width_m = face_from(table, "face_width");
    trap.place.face_height_m = face_from(table, "face_height");
    read_walls(table, trap.place);
    read_frame(table, trap.place);
    trap.place.along_m = table.quantity_if("along", Dimension::length, {0, 100}).value_or(0);
    trap.place.up_m = table.quantity_if("up", Dimension::length, {0, 100}).value_or(0);
    trap.open_sides = open_sides_from(table);
    trap.layers = layers_from(table, trap.place);
    if (trap.layers.empty())
        table.need("layer").refuse("needs at least one [[trap.layer]]");
    check_fits(table, trap.place, trap.layers, room);
    if (const auto built = table.find("built"))
        trap.built = built_from(built->table(), trap, room);
    return trap;
}

JobTrap further_from(const TomlTable& table, const JobTrap& kind, const JobRoom& room,
                     std::set<std::string>& taken) {
    JobTrap trap = kind;
    trap.built.reset();
    trap.name = name_from(table, taken);
    change_place(table, trap.place);
    check_fits(table, trap.place, trap.layers, room);
    if (const auto built = table.find("built"))
        trap.built = built_from(built->table(), trap, room);
    return trap;
}

} // namespace

double depth_m(const std::vector<TrapLayer>& layers) {
    double depth = 0;
    for (const TrapLayer& layer : layers)
        depth += layer.thickness_m.value_or(0);
    return depth;
}

std::vector<TomlTable> trap_tables(const TomlTable& root) {
    std::vector<TomlTable> tables;
    for (const TomlTable& kind : root.tables("trap")) {
        tables.push_back(kind);
        for (const TomlTable& at : kind.tables("at"))
            tables.push_back(at);
    }
    return tables;
}

std::vector<JobTrap> traps_from(const TomlTable& root, const JobRoom& room) {
    std::vector<JobTrap> traps;
    std::set<std::string> taken;
    const auto given = trap_tables(root);
    if (given.size() > most_traps)
        given[most_traps].refuse(
            fmt::format("is one of {} [[trap]]; write at most {}", given.size(), most_traps));
    for (const TomlTable& table : root.tables("trap")) {
        const JobTrap kind = first_from(table, room, taken);
        traps.push_back(kind);
        for (const TomlTable& at : table.tables("at"))
            traps.push_back(further_from(at, kind, room, taken));
    }
    return traps;
}

Wall wall_from(const TomlValue& value) {
    const auto n = wall_names();
    return *wall_named(value.choice({n[0], n[1], n[2], n[3], n[4], n[5]}));
}

} // namespace ebbmark
