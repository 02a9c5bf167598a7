// SPDX-License-Identifier: GPL-3.0-or-later
#include "forecast_modal.hpp"

#include "base/random.hpp"
#include "decay/average.hpp"
#include "forecast/modal_forecast.hpp"
#include "room/cavity_model.hpp"
#include "room/modes.hpp"
#include "verdict/allowances.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <numbers>
#include <string>

namespace ebbmark {

namespace {

using std::numbers::pi;
using Complex = std::complex<double>;

// As a job's forecast does it; the truth on a grid for more.
constexpr double to_hz = 200, bands_to_hz = 231, true_to_hz = 245, true_grid_hz = 290;
constexpr double true_step_m = 0.055;
constexpr double sixty_db = 3 * std::numbers::ln10;

double normal(Random& random) {
    return random.normal_pair().real();
}
double within(Random& random, double low, double high) {
    return low + (high - low) * random.uniform();
}

/// What is planned, and what really stands there.
struct Scene {
    Box box, true_box;
    std::vector<PlacedTrap> traps, true_traps;
    LayerDraw wool;
    std::array<Complex, 6> walls{};
    std::vector<std::pair<Point, Point>> positions;
};

/// All closed, all open, or one by one.
OpenSides any_sides(Random& random) {
    const double kind = random.uniform();
    OpenSides open = kind < 0.6;
    if (kind < 0.3)
        for (bool* side : {&open.left, &open.right, &open.top, &open.bottom})
            *side = random.uniform() < 0.5;
    return open;
}

/// In half of the traps whose wool is deep enough; half of them bowed.
void add_strips(Random& random, LayerPlan& wool) {
    if (wool.thickness_m < 0.1 || random.uniform() < 0.5)
        return;
    wool.dividers = Dividers{within(random, 0.08, 0.18),
                             within(random, 0.009, 0.021),
                             {},
                             Dividers::Ends::opposite,
                             random.uniform() < 0.5 ? Dividers::Run::height : Dividers::Run::width};
    if (random.uniform() < 0.5)
        wool.dividers->path_m = wool.thickness_m * within(random, 1.05, 1.3);
}

PlacedTrap flat_trap(Random& random, Wall wall, const Box& box, const LayerPlan& wool) {
    const auto along = axes_along(wall);
    const double room = box.edges_m[along[0]];
    PlacedTrap trap{{"flat", within(random, 0.8, 1.4), within(random, 1.2, 1.9), any_sides(random), {}}, {}};
    trap.place = {trap.plan.width_m, trap.plan.height_m, wall, {}, 0, within(random, 0.1, 0.3)};
    trap.place.along_m = within(random, 0.2, room - trap.plan.width_m - 0.2);
    LayerPlan gap;
    gap.material.kind = LayerKind::air;
    gap.thickness_m = within(random, 0.03, 0.1);
    if (random.uniform() < 0.5)
        trap.plan.layers.push_back(gap);
    trap.plan.layers.push_back(wool);
    add_strips(random, trap.plan.layers.back());
    return trap;
}

PlacedTrap corner_trap(Random& random, Wall one, Wall other, const LayerPlan& wool) {
    PlacedTrap trap{{"corner", within(random, 0.5, 0.8), within(random, 1.2, 2), any_sides(random), {}}, {}};
    trap.place = {trap.plan.width_m, trap.plan.height_m, one, other, 0, within(random, 0, 0.2)};
    trap.place.box_across = random.uniform() < 0.5;
    trap.plan.layers.push_back(wool);
    add_strips(random, trap.plan.layers.back());
    return trap;
}

LayerPlan wool_layer(Random& random) {
    Material material;
    material.density_kg_m3 = within(random, 12, 60);
    // Bies and Hansen's range for fibres of 5.2 to 8 µm.
    const double middle = 3.18e-9 * std::pow(material.density_kg_m3, 1.53) / std::pow(6.5e-6, 2);
    material.flow_resistivity = {middle * 0.66, middle, middle * 1.56};
    material.density_exponent = 1.53;
    return {material, within(random, 0.08, 0.22), {}, {}, {}, {}};
}

Scene scene_with(Random& random) {
    Scene scene{{{within(random, 3.4, 4.8), within(random, 2.7, 3.4), within(random, 2.3, 2.7)}},
                {},
                {},
                {},
                {},
                {},
                {}};
    scene.true_box = scene.box;
    for (double& edge : scene.true_box.edges_m)
        edge += within(random, -0.02, 0.02);
    const LayerPlan wool = wool_layer(random);
    if (random.uniform() < 0.8)
        scene.traps.push_back(
            flat_trap(random, random.uniform() < 0.5 ? Wall::rear : Wall::left, scene.box, wool));
    scene.traps.push_back(corner_trap(random, Wall::front, Wall::left, wool));
    if (random.uniform() < 0.6)
        scene.traps.push_back(corner_trap(random, Wall::front, Wall::right, wool));
    scene.wool = {within(random, -1, 1), within(random, -1, 1), within(random, -1, 1), random.uniform()};
    for (PlacedTrap trap : scene.traps) {
        trap.place.up_m = std::max(0.0, trap.place.up_m + within(random, -0.02, 0.02));
        if (!trap.place.corner_with)
            trap.place.along_m += within(random, -0.02, 0.02);
        // Wool is cut to a few millimetres, and of each trap it is its own.
        for (LayerPlan& layer : trap.plan.layers) {
            layer.thickness_m += within(random, -0.005, 0.005);
            if (layer.dividers) // measured with a tape
                layer.dividers->spacing_m += within(random, -0.005, 0.005);
            if (layer.material.kind == LayerKind::porous)
                for (double* figure :
                     {&layer.material.flow_resistivity.low, &layer.material.flow_resistivity.typical,
                      &layer.material.flow_resistivity.high})
                    *figure *= std::exp(0.1 * scene.wool.resistivity * normal(random));
        }
        scene.true_traps.push_back(trap);
    }
    // A pair of walls is alike within a factor; masonry and boards give way or not by a few per cent of ρc.
    std::array<double, 3> pair{};
    for (double& beta : pair)
        beta = 0.01 * std::exp(0.4 * normal(random));
    for (std::size_t wall = 0; wall < 6; ++wall)
        scene.walls[wall] =
            pair[wall / 2] * Complex(1 + within(random, -0.03, 0.03), within(random, -0.5, 0.5));
    for (int i = 0; i < 6; ++i) {
        std::array<Point, 2> places{};
        for (Point& place : places)
            for (std::size_t axis = 0; axis < 3; ++axis)
                place[axis] = scene.box.edges_m[axis] * within(random, 0.3, 0.7);
        for (std::size_t axis = 0; axis < 2; ++axis)
            places[0][axis] = 0.5 + 0.2 * random.uniform();
        scene.positions.emplace_back(places[0], places[1]);
    }
    return scene;
}

/// Strips of flat traps as they stand, one screen each, in place of a fluid that does not move across them.
void stand_strips(RoomWithTraps& room) {
    const std::vector<CavityPart> parts = room.shape.parts;
    for (std::size_t p = 0; p < parts.size(); ++p)
        for (std::size_t axis = 0; axis < 3; ++axis) {
            if (parts[p].density[axis] != CavityPart::still || parts[p].refinement >= 0)
                continue;
            const Dividers& strips =
                *room.fluids[static_cast<std::size_t>(parts[p].fluid - 1)].parts[0].layer.dividers;
            for (int& density : room.shape.parts[p].density) // along them, and now across them too
                density = density == CavityPart::still ? CavityPart::own_density : density;
            const double from = parts[p].from_m[axis] + strips.thickness_m / 2;
            const double pitch = strips.spacing_m + strips.thickness_m;
            for (double at = from + pitch; at < parts[p].to_m[axis] - pitch / 2; at += pitch) {
                CavityScreen screen{axis, at, {}, {}, CavityScreen::closed, {}};
                for (std::size_t other = 0, i = 0; other < 3; ++other)
                    if (other != axis)
                        screen.from_m[i] = parts[p].from_m[other], screen.to_m[i] = parts[p].to_m[other], ++i;
                room.shape.screens.push_back(screen);
            }
        }
}

CavityModel solved(const Scene& scene, bool treated) {
    RoomWithTraps cells = room_with_traps(
        {scene.true_box}, treated ? scene.true_traps : std::vector<PlacedTrap>{}, true_step_m);
    stand_strips(cells);
    CavityMedia media = media_of(cells, {}, scene.wool, TrapFilling::wool);
    for (const Complex beta : scene.walls)
        media.surfaces.push_back([beta](Complex) { return beta; });
    return {cells.shape, media, {true_to_hz, 0, 0, true_grid_hz}};
}

std::vector<ResponseDecay> decays(const Scene& scene, const CavityModel& model) {
    std::vector<Point> sources, microphones;
    for (const auto& [source, microphone] : scene.positions)
        sources.push_back(source), microphones.push_back(microphone);
    const auto p = model.pressures(sources), q = model.pressures(microphones);
    DecayOptions options;
    options.width = BandWidth::third;
    options.from_hz = 40, options.to_hz = 200;
    std::vector<ResponseDecay> responses;
    for (std::size_t position = 0; position < sources.size(); ++position) {
        Signal signal{std::vector<double>(24000), 8000};
        for (std::size_t m = 0; m < model.modes().size(); ++m) {
            Complex value = Complex(0, 2) * p[m][position] * q[m][position];
            const Complex step = std::exp(Complex(0, 2 * pi) * model.modes()[m].hz / 8000.0);
            for (double& sample : signal.samples)
                sample += value.real(), value *= step;
        }
        responses.push_back(analyse_decay(signal, options));
    }
    return responses;
}

/// The mode whose shape is most like a given one; nothing below half.
std::optional<std::size_t> alike(const std::vector<std::vector<Complex>>& shapes,
                                 const std::vector<Complex>& shape) {
    std::optional<std::size_t> best;
    double most = 0.5;
    for (std::size_t i = 0; i < shapes.size(); ++i) {
        Complex product = 0;
        double a = 0, b = 0;
        for (std::size_t k = 0; k < shape.size(); ++k)
            product += std::conj(shapes[i][k]) * shape[k], a += std::norm(shapes[i][k]),
                b += std::norm(shape[k]);
        if (const double value = std::norm(product) / (a * b); value > most)
            most = value, best = i;
    }
    return best;
}

struct Count {
    int inside = 0, above = 0, all = 0;
    double error = 0, width = 0;

    void add(double truth, const Measured& interval) {
        ++all;
        inside += *interval.low <= truth && truth <= *interval.high;
        above += truth > *interval.high;
        error += std::log(truth / *interval);
        width += std::log(*interval.high / *interval.low) / 2;
    }
};

struct Counts {
    std::map<std::string, Count> by_name;
    int unpaired = 0;
};

constexpr std::size_t few_places = 2; ///< as many as there may be listening places

/// Decay before at the room's positions, measured with the deviation of a microphone put back.
void add_bands(ModalRoom& room, const std::vector<ResponseDecay>& before, Random& random) {
    for (std::size_t b = 0; b < before.front().bands.size(); ++b) {
        const Band& band = before.front().bands[b].band;
        const double deviation = beside_deviation(band);
        Measured t = t20_at_places(before, b, deviation);
        if (t) {
            const double off =
                std::exp(deviation / std::sqrt(static_cast<double>(before.size())) * normal(random));
            t = {*t * off, *t.low * off, *t.high * off, {}};
        }
        room.bands.push_back(band);
        room.decay_s.push_back(t);
    }
}

void count_bands(const ModalForecast& found, const std::vector<ResponseDecay>& after, Counts& counts) {
    for (std::size_t b = 0; b < after.front().bands.size(); ++b)
        if (const Measured truth = t20_at_places(after, b, 0); found.band_s[b] && truth) {
            const double hz = after.front().bands[b].band.nominal_hz;
            const std::string range = hz <= 100 ? "bands 40-100 Hz" : "bands 125-200 Hz";
            for (const std::string& name : {fmt::format("{}, {} places", range, after.size()),
                                            fmt::format("band {:>3g} Hz", hz), std::string("all bands")})
                counts.by_name[name].add(*truth, found.band_s[b]);
        }
}

void judge(Scene scene, std::size_t at_places, Random& random, Counts& counts) {
    scene.positions.resize(at_places);
    const CavityModel before = solved(scene, false), after = solved(scene, true);
    std::vector<Point> places;
    for (int i = 0; i < 300; ++i) {
        Point place{};
        for (std::size_t axis = 0; axis < 3; ++axis)
            place[axis] = scene.true_box.edges_m[axis] * random.uniform();
        places.push_back(place);
    }
    const auto shapes_before = before.pressures(places), shapes_after = after.pressures(places);
    ModalRoom room;
    room.box = scene.box;
    room.to_hz = to_hz, room.bands_to_hz = bands_to_hz;
    room.positions = scene.positions;
    std::vector<std::optional<double>> truth;
    for (const RoomMode& mode : room_modes(scene.true_box, 343, to_hz)) {
        std::vector<Complex> shape;
        for (const Point& place : places)
            shape.emplace_back(mode_shape(scene.true_box, mode.order, place));
        const auto own = alike(shapes_before, shape);
        if (!own || before.modes()[*own].hz.real() > to_hz)
            continue;
        const double t = before.modes()[*own].t60_s() * std::exp(0.015 * normal(random));
        room.modes.push_back(
            {before.modes()[*own].hz.real(), {t, t * std::exp(-0.03), t * std::exp(0.03), {}}, mode.order});
        const auto later = alike(shapes_after, shapes_before[*own]);
        truth.push_back(later ? std::optional(after.modes()[*later].t60_s()) : std::nullopt);
    }
    const auto all_before = decays(scene, before), all_after = decays(scene, after);
    add_bands(room, all_before, random);
    const ModalForecast found = ModalForecaster(std::move(room)).forecast(scene.traps, 300, 1);
    for (std::size_t i = 0; i < truth.size(); ++i) {
        if (!found.modes[i].predicted_t60_s || !truth[i]) {
            ++counts.unpaired;
            continue;
        }
        const double hz = found.modes[i].before_hz;
        counts
            .by_name[hz < 60    ? "modes below 60 Hz"
                     : hz < 90  ? "modes 60-90 Hz"
                     : hz < 125 ? "modes 90-125 Hz"
                                : "modes 125-200 Hz"]
            .add(*truth[i], found.modes[i].predicted_t60_s);
        counts.by_name["all modes"].add(*truth[i], found.modes[i].predicted_t60_s);
    }
    count_bands(found, all_after, counts);
}

/// Mean of ln of what two corner traps of this wool add to the damping of the modes of each octave from 31.5
/// to 125 Hz, in an invented room of 5 m x 4 m x 2.6 m.
std::array<double, 3> added_damping(const Material& wool, double depth_m, double held) {
    const Box box{{5, 4, 2.6}};
    std::vector<PlacedTrap> traps;
    for (const double along : {0.0, 3.4})
        traps.push_back({{"trap", 0.6, 2.6, true, {{wool, depth_m, {}, {}, {}, {}}}},
                         {0.6, 2.6, Wall::rear, {}, along, 0}});
    const RoomWithTraps cells = room_with_traps({box}, traps);
    LayerDraw draw;
    draw.frame_held = held;
    CavityMedia media = media_of(cells, {}, draw, TrapFilling::wool),
                bare = media_of(cells, {}, draw, TrapFilling::air);
    for (CavityMedia* each : {&media, &bare})
        each->surfaces.assign(6, [](Complex) { return Complex(0.01); });
    const CavityModel after(cells.shape, media, {175, 0, 0}), before(cells.shape, bare, {175, 0, 0});
    const auto alike = overlaps(before, after);
    std::array<double, 3> sum{}, count{};
    for (std::size_t i = 0; i < before.modes().size(); ++i) {
        const auto best = std::max_element(alike[i].begin(), alike[i].end());
        const CavityMode& mode = after.modes()[static_cast<std::size_t>(best - alike[i].begin())];
        const double hz = before.modes()[i].hz.real(), added = mode.hz.imag() - before.modes()[i].hz.imag();
        const std::size_t octave = hz < 44 ? 0 : hz < 88 ? 1 : 2;
        if (*best >= least_overlap && added > 0)
            sum[octave] += std::log(added), ++count[octave];
    }
    for (std::size_t octave = 0; octave < 3; ++octave)
        sum[octave] /= count[octave];
    return sum;
}

} // namespace

void compare_loose_with_dense(const std::vector<Material>& materials) {
    fmt::print("| depth | frame | loose over 48 kg/m³: 31.5 | 63 | 125 Hz | loose over 96 kg/m³: 31.5 | 63 | "
               "125 Hz |\n"
               "| --- | --- | --- | --- | --- | --- | --- | --- |\n");
    for (const double depth_m : {0.1, 0.2, 0.3, 0.4, 0.6})
        for (const double held : {0.0, 0.5, 1.0}) {
            const auto loose = added_damping(find_material(materials, "loose glass wool"), depth_m, held);
            fmt::print("| {} m | held {} |", depth_m, held);
            for (const char* dense : {"glass wool 48", "glass wool 96"}) {
                const auto board = added_damping(find_material(materials, dense), depth_m, held);
                for (std::size_t octave = 0; octave < 3; ++octave)
                    fmt::print(" {:.2f} |", std::exp(loose[octave] - board[octave]));
            }
            fmt::print("\n");
        }
}

void judge_modal_forecasts(int rooms, std::uint64_t first) {
    Counts counts;
    for (int run = 0; run < rooms; ++run) {
        Random random(first + static_cast<std::uint64_t>(run));
        const Scene scene = scene_with(random);
        judge(scene, run % 2 == 0 ? scene.positions.size() : few_places, random, counts);
    }
    for (const auto& [name, count] : counts.by_name)
        fmt::print("{:<18} inside {:.1f} %, above {:.1f} % of {}; truth over middle {:+.1f} %, half width "
                   "{:.1f} %\n",
                   name, 100.0 * count.inside / count.all, 100.0 * count.above / count.all, count.all,
                   100 * std::expm1(count.error / count.all), 100 * std::expm1(count.width / count.all));
    fmt::print("no pair claimed or none there: {}; {} rooms\n", counts.unpaired, rooms);
}

} // namespace ebbmark
