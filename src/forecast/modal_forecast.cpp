// SPDX-License-Identifier: GPL-3.0-or-later
#include "forecast/modal_forecast.hpp"

#include "base/normal.hpp"
#include "base/order_statistics.hpp"
#include "decay/average.hpp"
#include "forecast/trap_places.hpp"
#include "forecast/wall_fit.hpp"
#include "room/cavity_model.hpp"
#include "room/modes.hpp"
#include "room/shaped_room.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <span>

namespace ebbmark {

namespace {

using std::numbers::pi;
using Complex = std::complex<double>;

constexpr double sixty_db = 3 * std::numbers::ln10;
constexpr double highest_band = 1.15; // modes reach this far above a band's middle
// Deviation of ln of the added damping for what is not drawn: dimensions, reactive walls, faces in steps,
// figures that differ from layer to layer (forecast_scenarios modal).
constexpr double model_error = 0.085;
// The same for what is in the trap: from the spread of modes against two-dimensional finite elements with
// strips, frames and boxes as they stand (trap_reference). Which way strips lean is not asked. How a box
// leaks at its walls is not known: sealed or not, its part is 0.6 to 1 of the larger.
constexpr double leaning_error = 0.10, bow_error = 0.04, strips_in_corner_error = 0.06, box_error = 0.20,
                 open_sides_error = 0.05;
// What the equations of the walls leave open shifts the damping carried over.
constexpr double wall_share_error = 0.1;

double damping(Complex hz) {
    return 2 * pi * hz.imag();
}

/// Of ln(60 dB time) or of ln(damping).
double deviation_of(const Measured& t, double otherwise) {
    return t.low && t.high ? std::log(*t.high / *t.low) / 3.92 : otherwise;
}

std::vector<WallEquation> equations_of(const ModalRoom& room) {
    std::vector<WallEquation> equations;
    for (const ModeBefore& mode : room.modes)
        if (mode.order && mode.t60_s) {
            auto equation = wall_equation(room.box, room.air.speed_of_sound, *mode.order);
            equation.hz = mode.hz;
            equation.damping_per_s = sixty_db / *mode.t60_s;
            equation.deviation = std::max(0.02, deviation_of(mode.t60_s, 0.1));
            equations.push_back(equation);
        }
    for (std::size_t b = 0; b < room.bands.size(); ++b)
        if (room.decay_s[b] && room.bands[b].exact_hz < room.to_hz * 1.3) {
            // As most modes of a band: of two orders, one along the floor's longer edge and one across.
            auto equation = wall_equation(room.box, room.air.speed_of_sound, {1, 1, 1});
            equation.hz = room.bands[b].exact_hz;
            equation.damping_per_s = sixty_db / *room.decay_s[b];
            equation.deviation = 0.2;
            equations.push_back(equation);
        }
    return equations;
}

using Shapes = std::vector<std::vector<Complex>>; // by mode, then place

std::vector<Point> seen_from_above(const Box& box, double height_share) {
    std::vector<Point> places;
    for (int y = 0; y < plan_view_y; ++y)
        for (int x = 0; x < plan_view_x; ++x)
            places.push_back({box.edges_m[0] * (x + 0.5) / plan_view_x,
                              box.edges_m[1] * (y + 0.5) / plan_view_y, box.edges_m[2] * height_share});
    return places;
}

struct Pair {
    std::size_t index = 0;
    double overlap = 0;
};

/// The one that is most alike, where that is enough.
std::optional<Pair> partner_among(const Shapes& shapes, const std::vector<Complex>& shape) {
    Pair best;
    for (std::size_t i = 0; i < shapes.size(); ++i)
        if (const double alike = likeness(shapes[i], shape); alike > best.overlap)
            best = {i, alike};
    return best.overlap >= least_overlap ? std::optional(best) : std::nullopt;
}

/// Where the wool's figures lie: see LayerDraw.
struct Wool {
    double resistivity = 0, tortuosity = 0, form = 0, held = 0.5;
};

LayerDraw layer_draw(const Wool& wool) {
    return {wool.resistivity, wool.tortuosity, wool.form, wool.held};
}

/// ln of one mode's damping after, as the wool's figures move it: solved for two frames, between and about
/// them from the derivatives there. (Two straight ends will not do: the damping is often largest in between.)
struct Response {
    struct Node {
        double log_damping = 0;
        Sensitivity slopes; // frame: by `held` itself
    };
    static constexpr double held[] = {0.2, 0.7};
    std::array<Node, 2> nodes;

    double log_damping(const Wool& wool) const {
        constexpr double apart = held[1] - held[0];
        const double t = (wool.held - held[0]) / apart, s = 1 - t;
        const auto figures = [&](const Node& node) {
            return node.slopes.resistivity * wool.resistivity + node.slopes.tortuosity * wool.tortuosity +
                   node.slopes.form * wool.form;
        };
        // Hermite's cubic.
        return s * s * (1 + 2 * t) * nodes[0].log_damping + t * t * (1 + 2 * s) * nodes[1].log_damping +
               apart * s * t * (s * nodes[0].slopes.frame - t * nodes[1].slopes.frame) +
               s * figures(nodes[0]) + t * figures(nodes[1]);
    }
    double damping(const Wool& wool) const { return std::exp(log_damping(wool)); }
    Sensitivity sensitivity() const {
        const auto middle = [&](double Sensitivity::*slope) {
            return (nodes[0].slopes.*slope + nodes[1].slopes.*slope) / 2;
        };
        return {middle(&Sensitivity::resistivity), middle(&Sensitivity::tortuosity),
                middle(&Sensitivity::form), log_damping({0, 0, 0, 1}) - log_damping({0, 0, 0, 0})};
    }
};

struct Draw {
    Wool wool;
    double added = 1;       // on the damping that the traps add
    double walls = 0;       // standard normal: what the fit of the walls leaves open
    double measurement = 0; // standard normal
};

/// Square of the deviation of ln of what one trap adds, beyond that of the model.
double variance_of(const PlacedTrap& trap) {
    double sum = 0;
    const auto add = [&](bool is, double deviation) { sum += is ? deviation * deviation : 0; };
    const auto any_strips = [&](const auto& kind) {
        return std::any_of(trap.plan.layers.begin(), trap.plan.layers.end(),
                           [&](const LayerPlan& layer) { return layer.dividers && kind(*layer.dividers); });
    };
    add(any_strips([](const Dividers& d) { return d.path_m && d.ends == Dividers::Ends::beside; }),
        leaning_error);
    add(any_strips([](const Dividers& d) { return d.path_m && d.ends == Dividers::Ends::opposite; }),
        bow_error);
    add(trap.place.corner_with && any_strips([](const Dividers&) { return true; }), strips_in_corner_error);
    add(trap.place.corner_with && trap.place.box_across, box_error);
    add(trap.plan.open_sides.any(), open_sides_error);
    return sum;
}

/// Deviation of ln of the damping that all traps add: their mean by the area of their faces.
double added_error(const std::vector<PlacedTrap>& traps) {
    double sum = 0, area = 0;
    for (const PlacedTrap& trap : traps)
        sum += variance_of(trap) * trap.plan.face_m2(), area += trap.plan.face_m2();
    return std::sqrt(model_error * model_error + (area > 0 ? sum / area : 0));
}

Draw draw_from(Random& random, double added_error) {
    Draw draw;
    const Complex a = random.normal_pair(), b = random.normal_pair(), c = random.normal_pair();
    const auto within = [](double x) { return std::clamp(x / normal_two_sided_95, -1.5, 1.5); };
    draw.wool = {within(a.real()), within(a.imag()), within(b.real()), random.uniform()};
    draw.added = std::exp(added_error * b.imag());
    draw.walls = c.real(), draw.measurement = c.imag();
    return draw;
}

/// Which mode after was which before, and what it takes along.
struct Pairing {
    std::vector<std::optional<Pair>> after;     ///< of each mode of the bare room
    std::vector<double> model_before, residual; ///< by mode after: damping in the bare room, measured − that
    double added_error = 0;
};

} // namespace

struct ModalForecaster::Bare {
    explicit Bare(ModalRoom room);

    double top_hz() const { return std::max(room.to_hz, room.bands_to_hz); }
    CavityOptions options() const { return {top_hz(), 0, 0}; }
    /// For modes that are told one by one alone, on the same grid.
    CavityOptions single_modes() const { return {room.to_hz, 0, 0, top_hz()}; }
    std::vector<std::function<Complex(Complex)>> surfaces() const;
    std::optional<std::size_t> mode_of(const std::array<int, 3>& order) const;
    Pairing pairing(const Shapes& after) const;
    std::vector<double> dampings() const;
    /// The bands that modes reach far enough to predict.
    std::vector<std::size_t> covered_bands() const;
    std::vector<BandAverage> decays(const CavityModel& model, const std::vector<double>& damping_per_s) const;
    std::vector<double> plan_view(std::size_t mode, const std::array<int, 3>& order) const;
    ForecastMode forecast_of(std::size_t measured, const CavityModel& light,
                             const std::vector<Response>& responses, const Pairing& pairs, int draws,
                             std::uint64_t seed) const;
    void add_bands(ModalForecast& result, const CavityModel& light, const std::vector<Response>& responses,
                   const Pairing& pairs, std::uint64_t seed, const std::function<void(double)>& step) const;

    ModalRoom room;
    WallFit walls;
    std::vector<Point> places;
    std::unique_ptr<CavityModel> model;
    Shapes shapes;
    std::vector<double> residual;                 ///< by mode of the model: measured damping − the model's
    std::vector<std::optional<std::size_t>> mode; ///< of each measured one
    std::vector<BandAverage> simulated;           ///< decays of the covered bands, as measured here
    Shapes at_floor, at_half_height;              ///< seen from above
};

ModalForecaster::Bare::Bare(ModalRoom wanted)
    : room(std::move(wanted)), walls(equations_of(room)), places(places_in(room.shape())) {
    CavityMedia media;
    media.air = room.air;
    media.surfaces = surfaces();
    model = std::make_unique<CavityModel>(cavity_of(room.shape()), media, options());
    shapes = model->pressures(places);
    residual.assign(shapes.size(), 0);
    for (const ModeBefore& measured : room.modes) {
        mode.push_back(measured.order && measured.t60_s ? mode_of(*measured.order) : std::nullopt);
        if (mode.back())
            residual[*mode.back()] = sixty_db / *measured.t60_s - damping(model->modes()[*mode.back()].hz);
    }
    simulated = decays(*model, dampings());
    at_floor = model->pressures(seen_from_above(room.box, 0.01));
    at_half_height = model->pressures(seen_from_above(room.box, 0.5));
}

std::vector<std::function<Complex(Complex)>> ModalForecaster::Bare::surfaces() const {
    std::vector<std::function<Complex(Complex)>> all;
    for (std::size_t wall = 0; wall < 6; ++wall)
        all.push_back(
            [fit = walls, wall](Complex hz) { return Complex(fit.admittance(wall / 2, std::abs(hz))); });
    return all;
}

/// The mode whose shape is the rigid room's of this order.
std::optional<std::size_t> ModalForecaster::Bare::mode_of(const std::array<int, 3>& order) const {
    std::vector<Complex> shape;
    for (const Point& place : places)
        shape.emplace_back(mode_shape(room.box, order, place));
    const auto found = partner_among(shapes, shape);
    return found ? std::optional(found->index) : std::nullopt;
}

Pairing ModalForecaster::Bare::pairing(const Shapes& after) const {
    Pairing result{{}, std::vector<double>(after.size()), std::vector<double>(after.size()), 0};
    for (std::size_t b = 0; b < shapes.size(); ++b) {
        const bool single = model->modes()[b].hz.real() <= room.to_hz;
        result.after.push_back(single ? partner_among(after, shapes[b]) : std::nullopt);
        if (const auto& pair = result.after.back()) {
            result.model_before[pair->index] = damping(model->modes()[b].hz);
            result.residual[pair->index] = residual[b];
        }
    }
    return result;
}

std::vector<double> ModalForecaster::Bare::dampings() const {
    std::vector<double> result;
    for (std::size_t m = 0; m < shapes.size(); ++m) {
        const double own = damping(model->modes()[m].hz);
        result.push_back(std::max(0.2 * own, own + residual[m]));
    }
    return result;
}

std::vector<std::size_t> ModalForecaster::Bare::covered_bands() const {
    std::vector<std::size_t> covered;
    for (std::size_t b = 0; b < room.bands.size(); ++b)
        if (room.decay_s[b] && room.bands[b].exact_hz * highest_band <= top_hz())
            covered.push_back(b);
    return covered;
}

/// What a measurement at the room's positions would show of these modes: their responses through the same
/// decay code.
std::vector<BandAverage> ModalForecaster::Bare::decays(const CavityModel& of,
                                                       const std::vector<double>& damping_per_s) const {
    const auto covered = covered_bands();
    if (covered.empty() || room.positions.empty())
        return {};
    DecayOptions asked;
    asked.width = room.bands.front().width;
    asked.from_hz = room.bands[covered.front()].nominal_hz;
    asked.to_hz = room.bands[covered.back()].nominal_hz;
    std::vector<Point> sources, microphones;
    for (const auto& [source, microphone] : room.positions)
        sources.push_back(source), microphones.push_back(microphone);
    const auto at_source = of.pressures(sources), at_microphone = of.pressures(microphones);
    constexpr double rate_hz = 4000, seconds = 3;
    std::vector<ResponseDecay> responses;
    for (std::size_t position = 0; position < sources.size(); ++position) {
        Signal signal{std::vector<double>(static_cast<std::size_t>(rate_hz * seconds)), rate_hz};
        for (std::size_t m = 0; m < of.modes().size(); ++m) {
            Complex value = 2.0 * Complex(0, 1) * at_source[m][position] * at_microphone[m][position];
            const Complex step =
                std::exp(Complex(-damping_per_s[m], 2 * pi * of.modes()[m].hz.real()) / rate_hz);
            for (double& sample : signal.samples) {
                sample += value.real();
                value *= step;
            }
        }
        responses.push_back(analyse_decay(signal, asked));
    }
    return average_over_positions(responses);
}

/// The pressure of a mode, seen from above: at half the height, or at the floor where that is a node.
std::vector<double> ModalForecaster::Bare::plan_view(std::size_t index,
                                                     const std::array<int, 3>& order) const {
    const auto& pressure = (order[2] % 2 == 1 ? at_floor : at_half_height)[index];
    const Complex loudest = *std::max_element(
        pressure.begin(), pressure.end(), [](Complex a, Complex b) { return std::norm(a) < std::norm(b); });
    std::vector<double> view;
    for (const Complex p : pressure)
        view.push_back((p / loudest).real());
    return view;
}

namespace {

/// Mean of the rigid room's squared mode shape over the traps, against that over the room.
double share_at(const Box& box, std::span<const CavityPart> traps, const std::array<int, 3>& order) {
    double sum = 0, volume = 0;
    for (const CavityPart& part : traps) {
        double size = 1, mean = 1;
        for (std::size_t axis = 0; axis < 3; ++axis) {
            const double from = part.from_m[axis], to = part.to_m[axis];
            const double k = 2 * order[axis] * pi / box.edges_m[axis];
            size *= to - from;
            mean *= order[axis] == 0 ? 1 : 1 + (std::sin(k * to) - std::sin(k * from)) / (k * (to - from));
        }
        sum += size * mean, volume += size;
    }
    return volume > 0 ? sum / volume : 0;
}

/// Absorbers move modes by little: about as many as in the rigid room, else some were missed.
void check_count(std::vector<ForecastNote>& notes, const ModalRoom& room, const CavityModel& model,
                 TrapsInside traps) {
    if (!room.parts.empty()) // how many a rigid room with parts has is not known in closed form
        return;
    const std::size_t rigid = room_modes(room.box, room.air.speed_of_sound, room.to_hz).size();
    const auto beyond = std::find_if(model.modes().begin(), model.modes().end(),
                                     [&](const CavityMode& mode) { return mode.hz.real() > room.to_hz; });
    const auto found = static_cast<std::size_t>(beyond - model.modes().begin());
    const std::size_t slack = 1 + rigid / 40;
    if (found + slack < rigid || found > rigid + slack)
        notes.push_back(ModesMayBeMissing{rigid, room.to_hz, found, traps});
}

/// Modes of which the walls, alike in pairs, explain less than half.
void note_unexplained(std::vector<ForecastNote>& notes, const ModalRoom& room,
                      const std::vector<std::optional<std::size_t>>& mode,
                      const std::vector<double>& residual) {
    DampingUnexplained found;
    for (std::size_t i = 0; i < room.modes.size(); ++i)
        if (mode[i] && residual[*mode[i]] > sixty_db / *room.modes[i].t60_s / 2)
            found.modes_hz.push_back(room.modes[i].hz);
    if (!found.modes_hz.empty())
        notes.push_back(found);
}

/// Traps in the room, solved for one kind of wool.
class Treated {
  public:
    Treated(const RoomWithTraps& cells, const ModalRoom& room,
            std::vector<std::function<Complex(Complex)>> surfaces, const CavityOptions& options, double held)
        : cells_(cells), room_(room), surfaces_(std::move(surfaces)), held_(held),
          model_(cells.shape, media({0, 0, 0, held}), options) {}

    const CavityModel& model() const { return model_; }
    /// By mode.
    std::vector<Response::Node> nodes() const {
        constexpr double step = 0.03; // of a range: small enough for the first order
        std::vector<Response::Node> result;
        for (const CavityMode& mode : model_.modes())
            result.push_back({std::log(damping(mode.hz)), {}});
        const auto add = [&](double Sensitivity::*slope, const Wool& wool) {
            const auto shifts = model_.shifts(media(wool));
            for (std::size_t m = 0; m < result.size(); ++m)
                result[m].slopes.*slope = shifts[m].imag() / model_.modes()[m].hz.imag() / step;
        };
        add(&Sensitivity::resistivity, {step, 0, 0, held_});
        add(&Sensitivity::tortuosity, {0, step, 0, held_});
        add(&Sensitivity::form, {0, 0, step, held_});
        add(&Sensitivity::frame, {0, 0, 0, held_ + step});
        return result;
    }

  private:
    CavityMedia media(const Wool& wool) const {
        CavityMedia all = media_of(cells_, room_.air, layer_draw(wool), TrapFilling::wool);
        all.surfaces = surfaces_;
        return all;
    }

    const RoomWithTraps& cells_;
    const ModalRoom& room_;
    std::vector<std::function<Complex(Complex)>> surfaces_;
    double held_;
    CavityModel model_;
};

/// How the damping moves with the frame, in the mean of the modes from `from` on that were found for both.
Response mean_response(const std::vector<Response>& responses, const std::vector<bool>& both,
                       std::size_t from) {
    Response mean;
    double count = 0;
    for (std::size_t m = from; m < responses.size(); ++m) {
        if (!both[m])
            continue;
        mean.nodes[1].log_damping += responses[m].nodes[1].log_damping - responses[m].nodes[0].log_damping;
        for (std::size_t node = 0; node < 2; ++node)
            mean.nodes[node].slopes.frame += responses[m].nodes[node].slopes.frame;
        ++count;
    }
    mean.nodes[1].log_damping /= std::max(count, 1.0);
    for (Response::Node& node : mean.nodes)
        node.slopes.frame /= std::max(count, 1.0);
    return mean;
}

/// By mode of `one`, followed to `other` by shape; from where `other` has no modes the frame counts as in the
/// mean of the quarter below.
std::vector<Response> responses_of(const Treated& one, const Treated& other, double other_to_hz) {
    const auto here = one.nodes(), there = other.nodes();
    const auto alike = overlaps(one.model(), other.model());
    std::vector<Response> result;
    std::vector<bool> both;
    std::optional<Response> mean; // of those below, for all above
    for (std::size_t m = 0; m < here.size(); ++m) {
        const auto best = std::max_element(alike[m].begin(), alike[m].end());
        Response response{{here[m], here[m]}};
        both.push_back(best != alike[m].end() && *best >= least_overlap);
        if (one.model().modes()[m].hz.real() > other_to_hz) {
            if (!mean)
                mean = mean_response(result, both, result.size() * 3 / 4);
            response.nodes[1].log_damping += mean->nodes[1].log_damping;
            for (std::size_t node = 0; node < 2; ++node)
                response.nodes[node].slopes.frame = mean->nodes[node].slopes.frame;
            both.back() = false;
        } else if (both.back())
            response.nodes[1] = there[static_cast<std::size_t>(best - alike[m].begin())];
        else
            response.nodes[0].slopes.frame = response.nodes[1].slopes.frame = 0;
        result.push_back(response);
    }
    return result;
}

/// The damping of every mode after: the model's with the traps' part multiplied, and what is carried over.
std::vector<double> dampings_after(const std::vector<double>& model, const Pairing& pairs, const Draw& draw) {
    std::vector<double> result;
    for (std::size_t m = 0; m < model.size(); ++m) {
        const double added = std::max(model[m] - pairs.model_before[m], 0.0);
        result.push_back(std::max(0.2 * model[m], model[m] + (draw.added - 1) * added + pairs.residual[m]));
    }
    return result;
}

/// 60 dB time after = that of the measured damping + what the traps add to the model's.
double decay_after(const ModeBefore& mode, double model_before, double model_after, const Draw& draw) {
    const double measured = sixty_db / *mode.t60_s;
    const double open = wall_share_error * draw.walls * std::abs(measured - model_before) / measured;
    const double bare = measured * std::exp(deviation_of(mode.t60_s, 0.1) * draw.measurement) * (1 + open);
    // Of what the walls behind the traps lost a part may be gone, never most of it.
    return sixty_db / std::max(0.3 * bare, bare + draw.added * std::max(model_after - model_before, 0.0));
}

/// One draw of a band: ln of its decay after, and of the factor on what the traps add.
struct BandDraw {
    double log_after_s = 0, log_added = 0;
};

/// A band after, and what its uncertainty is made of.
struct BandAfter {
    Measured decay_s = Measured::none(Empty::conditions);
    ForecastParts parts;
};

/// Measured before times the ratio that the simulated measurements show.
BandAfter band_of(const Measured& measured, double simulated_before_s, const std::vector<BandDraw>& drawn) {
    const double own = measured.low && measured.high ? std::log(*measured.high / *measured.low) / 2 : 0.2;
    // Few draws show the middle 95 % only roughly: their deviation, with the measurement's own.
    const auto count = static_cast<double>(drawn.size());
    double mean = 0, mean_added = 0, square = 0, added = 0, product = 0;
    for (const BandDraw& draw : drawn)
        mean += draw.log_after_s / count, mean_added += draw.log_added / count;
    for (const BandDraw& draw : drawn) {
        const double off = draw.log_after_s - mean, off_added = draw.log_added - mean_added;
        square += off * off / count, added += off_added * off_added / count,
            product += off * off_added / count;
    }
    const double half = std::hypot(own, normal_two_sided_95 * std::sqrt(square));
    const double centre = std::log(*measured) + mean - std::log(simulated_before_s);
    // What goes with the factor on what the traps add is the model's, the rest the wool's.
    const double by_model = added > 0 ? std::min(square, product * product / added) : 0;
    return {{std::exp(centre), std::exp(centre - half), std::exp(centre + half), {}},
            {own / normal_two_sided_95, std::sqrt(square - by_model), std::sqrt(by_model)}};
}

} // namespace

ForecastMode ModalForecaster::Bare::forecast_of(std::size_t measured, const CavityModel& light,
                                                const std::vector<Response>& responses, const Pairing& pairs,
                                                int draws, std::uint64_t seed) const {
    const ModeBefore& before = room.modes[measured];
    ForecastMode found{before.hz, before.t60_s, before.order, {}, Measured::none(Empty::overlap), 0, {}, 0,
                       {}};
    const auto own = mode[measured];
    if (!own)
        return found;
    found.plan_view = plan_view(*own, *before.order);
    const auto& pair = pairs.after[*own];
    if (!pair)
        return found;
    const Complex bare_hz = model->modes()[*own].hz;
    const Response& response = responses[pair->index];
    found.overlap = pair->overlap;
    found.predicted_hz = before.hz + light.modes()[pair->index].hz.real() - bare_hz.real();
    found.sensitivity = response.sensitivity();
    Random random(seed), shape(seed_for(seed, "shape"));
    std::vector<double> drawn;
    for (int k = 0; k < draws; ++k) {
        const Draw draw = draw_from(random, pairs.added_error);
        drawn.push_back(decay_after(before, damping(bare_hz), response.damping(draw.wool), draw) *
                        std::exp(room.shape_deviation * shape.normal_pair().real()));
    }
    // The middle of what was drawn: the frame is neither quite free nor held.
    found.predicted_t60_s = {interpolated_quantile(drawn, 0.5),
                             interpolated_quantile(drawn, 0.025),
                             interpolated_quantile(drawn, 0.975),
                             {}};
    return found;
}

void ModalForecaster::Bare::add_bands(ModalForecast& result, const CavityModel& light,
                                      const std::vector<Response>& responses, const Pairing& pairs,
                                      std::uint64_t seed, const std::function<void(double)>& step) const {
    std::vector<std::vector<BandDraw>> drawn(simulated.size());
    Random random(seed);
    constexpr int band_draws = 40;
    for (int i = 0; i < band_draws && !simulated.empty(); ++i) {
        const Draw draw = draw_from(random, pairs.added_error);
        std::vector<double> dampings;
        for (const Response& response : responses)
            dampings.push_back(response.damping(draw.wool));
        const auto some = decays(light, dampings_after(dampings, pairs, draw));
        for (std::size_t k = 0; k < some.size(); ++k)
            if (some[k].t20_s)
                drawn[k].push_back({std::log(*some[k].t20_s), std::log(draw.added)});
        step((i + 1.0) / band_draws);
    }
    std::vector<BandAfter> bands(room.bands.size());
    for (const std::size_t b : covered_bands())
        for (std::size_t k = 0; k < simulated.size(); ++k)
            if (simulated[k].band == room.bands[b] && simulated[k].t20_s && drawn[k].size() > band_draws / 2)
                bands[b] = band_of(room.decay_s[b], *simulated[k].t20_s, drawn[k]);
    for (const BandAfter& band : bands) {
        result.band_s.push_back(band.decay_s);
        result.band_parts.push_back(band.parts);
    }
}

ModalForecaster::ModalForecaster(ModalRoom room) : bare_(std::make_unique<Bare>(std::move(room))) {}
ModalForecaster::~ModalForecaster() = default;
ModalForecaster::ModalForecaster(ModalForecaster&&) noexcept = default;
ModalForecaster& ModalForecaster::operator=(ModalForecaster&&) noexcept = default;

ModalForecast ModalForecaster::forecast(const std::vector<PlacedTrap>& traps, int draws, std::uint64_t seed,
                                        const std::function<void(double)>& step) const {
    const ModalRoom& room = bare_->room;
    const auto tell = [&](double part) {
        if (step)
            step(part);
    };
    ModalForecast result;
    result.notes = room.notes;
    const RoomWithTraps cells = room_with_traps(room.shape(), traps);
    result.box = room.box;
    for (const PlacedTrap& trap : traps)
        result.outlines.push_back(plan_outline(room.box, trap));
    result.to_hz = room.to_hz;
    for (std::size_t axis = 0; axis < 3; ++axis)
        result.wall_admittance[axis] = bare_->walls.admittance(axis, 63);
    const auto surfaces = bare_->surfaces();
    // Shares of the time.
    constexpr double first = 0.52, second = 0.86;
    const auto telling = [&](CavityOptions options, double from, double to) {
        options.step = [=](double part) { tell(from + part * (to - from)); };
        return options;
    };
    const Treated light(cells, room, surfaces, telling(bare_->options(), 0, first), Response::held[0]);
    const Treated heavy(cells, room, surfaces, telling(bare_->single_modes(), first, second),
                        Response::held[1]);
    tell(second);
    check_count(result.notes, room, *bare_->model, TrapsInside::no);
    check_count(result.notes, room, light.model(), TrapsInside::yes);
    note_unexplained(result.notes, room, bare_->mode, bare_->residual);
    const auto responses = responses_of(light, heavy, room.to_hz);
    Pairing pairs = bare_->pairing(light.model().pressures(bare_->places));
    pairs.added_error = added_error(traps);
    // The room's own parts come first.
    const auto in_traps =
        std::span<const CavityPart>(cells.shape.parts).subspan(cavity_of(room.shape()).parts.size());
    for (std::size_t i = 0; i < room.modes.size(); ++i) {
        result.modes.push_back(bare_->forecast_of(i, light.model(), responses, pairs, draws, seed));
        if (const auto& order = room.modes[i].order)
            result.modes.back().at_traps = share_at(room.box, in_traps, *order);
    }
    bare_->add_bands(result, light.model(), responses, pairs, seed_for(seed, "bands"),
                     [&](double part) { tell(second + (1 - second) * part); });
    return result;
}

std::vector<std::optional<double>> ModalForecaster::bands_after(const std::vector<PlacedTrap>& traps) const {
    const ModalRoom& room = bare_->room;
    constexpr double step_m = 0.12; // enough to rank plans by
    const RoomWithTraps cells = room_with_traps(room.shape(), traps, step_m);
    const Treated treated(cells, room, bare_->surfaces(), bare_->options(), Wool{}.held);
    const Pairing pairs = bare_->pairing(treated.model().pressures(bare_->places));
    std::vector<double> model;
    for (const CavityMode& mode : treated.model().modes())
        model.push_back(damping(mode.hz));
    const auto after = bare_->decays(treated.model(), dampings_after(model, pairs, {}));
    const auto& before = bare_->simulated;
    std::vector<std::optional<double>> result(room.bands.size());
    for (const std::size_t b : bare_->covered_bands())
        for (std::size_t k = 0; k < std::min(before.size(), after.size()); ++k)
            if (after[k].band == room.bands[b] && before[k].t20_s && after[k].t20_s)
                result[b] = *room.decay_s[b] * *after[k].t20_s / *before[k].t20_s;
    return result;
}

} // namespace ebbmark
