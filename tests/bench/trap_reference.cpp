// SPDX-License-Identifier: GPL-3.0-or-later
// Prints how far the damping of modes with a trap of strips or a box across a corner is from computed
// reference cases that are not in the project (independent two-dimensional finite elements, strips meshed as
// they stand), and with a plain trap in rooms that are no box. trap_reference FOLDER [flat|corner|rooms]
// [--each]
#include "forecast/modal_forecast.hpp"
#include "room/cavity_model.hpp"
#include "room/modes.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <fstream>
#include <map>
#include <numbers>
#include <sstream>
#include <string>
#include <vector>

using namespace ebbmark;

namespace {

const Box room{{4.1, 3.3, 2.6}};
constexpr double sixty_db = 3 * std::numbers::ln10;

struct TrueMode {
    std::array<int, 3> order{};
    double added = 0, t60_s = 0, likeness = 0;
    double before_hz = 0, before_t60_s = 0; // of the rooms with parts
};

using Cases = std::map<std::string, std::vector<TrueMode>>;

std::vector<std::vector<std::string>> rows_of(const std::string& path) {
    std::ifstream file(path);
    std::vector<std::vector<std::string>> rows;
    for (std::string line; std::getline(file, line);) {
        if (line.empty() || line[0] == '#')
            continue;
        std::vector<std::string> row;
        std::stringstream cells(line);
        for (std::string cell; std::getline(cells, cell, ',');)
            row.push_back(cell);
        rows.push_back(row);
    }
    if (!rows.empty())
        rows.erase(rows.begin());
    return rows;
}

std::array<int, 3> order_in(const std::vector<std::string>& row) {
    return {std::stoi(row[3]), std::stoi(row[4]), std::stoi(row[5])};
}

Cases flat_cases(const std::string& folder) {
    std::map<std::array<int, 3>, double> bare;
    Cases cases;
    for (const auto& row : rows_of(folder + "/modes_flat_trap.csv")) {
        const double damping = std::stod(row[7]);
        if (row[0] == "none")
            bare[order_in(row)] = damping;
        else
            cases[row[2] + " " + row[1]].push_back(
                {order_in(row), damping - bare.at(order_in(row)), sixty_db / damping, std::stod(row[8])});
    }
    return cases;
}

Cases corner_cases(const std::string& folder) {
    Cases cases;
    for (const auto& row : rows_of(folder + "/modes_corner_trap.csv"))
        cases[row[0] + " " + row[1] + " " + row[2]].push_back(
            {order_in(row), std::stod(row[8]), std::stod(row[9]), std::stod(row[10])});
    return cases;
}

/// Rooms that are no exact box, modes up to 125 Hz of no order along the height.
Cases room_cases(const std::string& folder) {
    Cases cases;
    for (const auto& row : rows_of(folder + "/modes_rooms.csv")) {
        const double before = std::stod(row[7]), after = std::stod(row[8]);
        cases[row[0]].push_back({{std::stoi(row[1]), std::stoi(row[2]), 0},
                                 sixty_db / after - sixty_db / before,
                                 after,
                                 std::stod(row[6]),
                                 std::stod(row[4]),
                                 before});
    }
    return cases;
}

/// The part that the name of a case begins with; none for what is no part.
std::vector<RoomPart> parts_named(const std::string& name) {
    using Kind = RoomPart::Kind;
    const std::pair<const char*, RoomPart> known[] = {
        {"recess", {"", Kind::recess, {-0.4, 1.2, 0}, {0, 2.2, 2.6}}},
        {"door niche", {"", Kind::recess, {0.5, -0.15, 0}, {1.4, 0, 2.6}}},
        {"chimney breast", {"", Kind::solid, {0, 1.05, 0}, {0.4, 2.25, 2.6}}},
        {"column", {"", Kind::solid, {1.2, 1.0, 0}, {1.6, 1.4, 2.6}}},
        {"corner cut", {"", Kind::solid, {0, 0, 0}, {0.5, 0.5, 2.6}}}};
    for (const auto& [begins, part] : known)
        if (name.starts_with(begins))
            return {part};
    return {};
}

LayerPlan wool(double resistivity, double density, double thickness_m) {
    Material material;
    material.density_kg_m3 = density;
    material.flow_resistivity = {resistivity, resistivity, resistivity};
    return {material, thickness_m, {}, {}, {}, {}};
}

/// The strips of a case by its name; nothing for none.
std::optional<Dividers> strips_named(const std::string& name) {
    Dividers strips{0.151, 0.018, {}, Dividers::Ends::opposite, Dividers::Run::height};
    const double depth = 0.18;
    if (name.starts_with("none"))
        return {};
    if (name.starts_with("slant")) {
        strips.path_m = depth / std::cos(35 * std::numbers::pi / 180);
        strips.ends = Dividers::Ends::beside;
    }
    if (name.starts_with("arc")) {
        const double half = 2 * std::stod(name.substr(3, 2)) * std::numbers::pi / 180;
        strips.path_m = depth * half / std::sin(half);
    }
    return strips;
}

std::vector<LayerPlan> layers_with(const std::optional<Dividers>& strips) {
    std::vector<LayerPlan> layers{wool(22000, 48, 0.025), wool(5000, 12, 0.18), wool(5000, 12, 0.01)};
    layers[1].dividers = strips;
    return layers;
}

struct Sum {
    double sum = 0, squares = 0, largest = 0;
    int count = 0;

    void add(double value) {
        sum += value, squares += value * value, ++count;
        largest = std::max(largest, std::abs(value - 1));
    }
    double mean() const { return sum / count; }
    double deviation() const { return std::sqrt(std::max(0.0, squares / count - mean() * mean())); }
};

void compare(const std::string& name, const std::vector<TrueMode>& truth, const PlacedTrap& trap, bool each,
             const std::vector<RoomPart>& parts = {}) {
    const auto start = std::chrono::steady_clock::now();
    const RoomShape shape_of_room{room, parts};
    const RoomWithTraps cells = room_with_traps(shape_of_room, {trap});
    const LayerDraw draw{0, 0, 0, 0.5};
    CavityMedia media = media_of(cells, {}, draw, TrapFilling::wool), bare{};
    for (CavityMedia* one : {&media, &bare})
        one->surfaces.assign(6, [](std::complex<double>) { return std::complex<double>(0.02); });
    const CavityModel after(cells.shape, media, {160, 0, 0}),
        before(cavity_of(shape_of_room), bare, {160, 0, 0});
    std::vector<Point> places;
    for (int i = 0; i < 2000; ++i)
        places.push_back({room.edges_m[0] * std::fmod(0.5 + i * 0.8191725134, 1),
                          room.edges_m[1] * std::fmod(0.5 + i * 0.6710436067, 1),
                          room.edges_m[2] * std::fmod(0.5 + i * 0.5497004779, 1)});
    const auto was = before.pressures(places), is = after.pressures(places);
    const auto alike = [&](const auto& p, const auto& q) {
        std::complex<double> product = 0;
        double a = 0, b = 0;
        for (std::size_t i = 0; i < p.size(); ++i)
            product += std::conj(p[i]) * q[i], a += std::norm(p[i]), b += std::norm(q[i]);
        return std::norm(product) / (a * b);
    };
    Sum added, t60, likely;
    for (const TrueMode& mode : truth) {
        std::vector<std::complex<double>> shape;
        for (const Point& place : places)
            shape.emplace_back(mode_shape(room, mode.order, place));
        std::size_t own = 0, then = 0;
        for (std::size_t i = 0; i < was.size(); ++i)
            own = alike(was[i], shape) > alike(was[own], shape) ? i : own;
        for (std::size_t i = 0; i < is.size(); ++i) {
            const auto like = [&](std::size_t k) { return alike(is[k], parts.empty() ? shape : was[own]); };
            then = like(i) > like(then) ? i : then;
        }
        const double more =
            2 * std::numbers::pi * (after.modes()[then].hz.imag() - before.modes()[own].hz.imag());
        // Where the true decay before is known, the model says what the trap adds to it.
        const double ratio = mode.before_t60_s > 0
                                 ? sixty_db / (sixty_db / mode.before_t60_s + more) / mode.t60_s
                                 : after.modes()[then].t60_s() / mode.t60_s;
        added.add(more / mode.added), t60.add(ratio);
        if (mode.likeness >= 0.6)
            likely.add(ratio);
        if (each)
            fmt::print("  ({},{},{}) added {:.3f} true {:.3f}  T60 {:+.1f} %  likeness {:.2f} true {:.2f}\n",
                       mode.order[0], mode.order[1], mode.order[2], more, mode.added, 100 * (ratio - 1),
                       alike(is[then], shape), mode.likeness);
        if (each && mode.before_hz > 0)
            fmt::print("          before {:.2f} Hz, true {:.2f} Hz\n", before.modes()[own].hz.real(),
                       mode.before_hz);
    }
    const std::chrono::duration<double> took = std::chrono::steady_clock::now() - start;
    fmt::print(
        "{:<28} added model/true {:.3f} sd {:.3f}; T60 {:.3f} largest {:.1f} %; of likeness 0.6: {:.3f}, "
        "largest {:.1f} % ({}); {} unknowns, {:.1f} s\n",
        name, added.mean(), added.deviation(), t60.mean(), 100 * t60.largest, likely.mean(),
        100 * likely.largest, likely.count, after.unknowns(), took.count());
}

} // namespace

int main(int count, char** words) {
    const std::vector<std::string> given(words + 1, words + count);
    if (given.empty())
        return 2;
    const bool each = std::find(given.begin(), given.end(), "--each") != given.end();
    const auto asked = [&](const char* what) {
        return std::find(given.begin(), given.end(), what) != given.end();
    };
    const bool corner = asked("corner");
    if (asked("rooms"))
        for (const auto& [name, truth] : room_cases(given[0]))
            for (const bool as_box : {false, true})
                compare(as_box ? name + ", as a box" : name, truth,
                        {{"flat", 1.2, 2.6, true, layers_with({})}, {1.2, 2.6, Wall::rear, {}, 0.4, 0}}, each,
                        as_box ? std::vector<RoomPart>{} : parts_named(name));
    else if (!corner)
        for (const auto& [name, truth] : flat_cases(given[0])) {
            const bool open = !name.ends_with("closed");
            compare(name, truth,
                    {{"flat", 1.2, 2.6, open, layers_with(strips_named(name))},
                     {1.2, 2.6, Wall::rear, {}, 0.4, 0}},
                    each);
        }
    else
        for (const auto& [name, truth] : corner_cases(given[0])) {
            if (name.starts_with("rectangle")) {
                const bool open = name.find("open") != std::string::npos;
                const auto strips = name.ends_with("straight") ? strips_named("straight") : std::nullopt;
                TrapPlace place{1.2, 2.6, Wall::rear, Wall::left, 0, 0};
                place.box_across = true;
                compare(name, truth, {{"corner", 1.2, 2.6, open, layers_with(strips)}, place}, each);
            } else {
                const double face = std::stod(name.substr(14, 4));
                compare(
                    name, truth,
                    {{"corner", face, 2.6, true, layers_with({})}, {face, 2.6, Wall::rear, Wall::left, 0, 0}},
                    each);
            }
        }
    return 0;
}
