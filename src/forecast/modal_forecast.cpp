// SPDX-License-Identifier: GPL-3.0-or-later
#include "forecast/modal_forecast.hpp"

#include "decay/average.hpp"
#include "forecast/quantiles.hpp"
#include "forecast/wall_fit.hpp"
#include "room/cavity_model.hpp"
#include "room/modes.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace ebbmark {

namespace {

using std::numbers::pi;
using Complex = std::complex<double>;

constexpr double sixty_db = 3 * std::numbers::ln10;
constexpr double highest_band = 1.15; // modes reach this far above a band's middle
// Deviation of ln of the added damping for what is not drawn: dimensions, reactive walls, faces in steps,
// sides. A guess that nothing has judged yet.
constexpr double model_error = 0.06;
// ±: what the equations of the walls leave open shifts the damping carried over.
constexpr double wall_share_error = 0.1;

double damping(const CavityMode& mode) {
    return 2 * pi * mode.hz.imag();
}

std::vector<WallEquation> equations_of(const ModalInput& input) {
    std::vector<WallEquation> equations;
    const auto deviation = [](const Measured& t) {
        return t.low && t.high ? std::max(0.02, std::log(*t.high / *t.low) / 3.92) : 0.1;
    };
    for (const ModeBefore& mode : input.modes)
        if (mode.order && mode.t60_s) {
            auto equation = wall_equation(input.box, input.air.speed_of_sound, *mode.order);
            equation.hz = mode.hz;
            equation.damping_per_s = sixty_db / *mode.t60_s;
            equation.deviation = deviation(mode.t60_s);
            equations.push_back(equation);
        }
    for (std::size_t b = 0; b < input.bands.size(); ++b)
        if (input.decay_s[b] && input.bands[b].exact_hz < input.to_hz * 1.3) {
            // As most modes of a band: of two orders, one along the floor's longer edge and one across.
            auto equation = wall_equation(input.box, input.air.speed_of_sound, {1, 1, 1});
            equation.hz = input.bands[b].exact_hz;
            equation.damping_per_s = sixty_db / *input.decay_s[b];
            equation.deviation = 0.2;
            equations.push_back(equation);
        }
    return equations;
}

/// Between the modes of a model and the rigid room's of given orders: the likeness of their pressures at
/// places spread over the room.
class Naming {
  public:
    Naming(const Box& box, const CavityModel& model) : box_(box) {
        for (int i = 1; i <= 96; ++i) { // Halton's sequence
            Point place{};
            for (std::size_t axis = 0; axis < 3; ++axis) {
                const int base = std::array{2, 3, 5}[axis];
                double part = 1;
                for (int rest = i; rest > 0; rest /= base)
                    place[axis] += (part /= base) * (rest % base);
                place[axis] *= box.edges_m[axis];
            }
            places_.push_back(place);
        }
        for (std::size_t m = 0; m < model.modes().size(); ++m)
            pressures_.push_back(model.pressure(m, places_));
    }

    std::optional<std::size_t> mode_of(const std::array<int, 3>& order) const {
        std::optional<std::size_t> best;
        double most = least_overlap;
        for (std::size_t m = 0; m < pressures_.size(); ++m) {
            Complex product = 0;
            double p2 = 0, q2 = 0;
            for (std::size_t i = 0; i < places_.size(); ++i) {
                const double shape = mode_shape(box_, order, places_[i]);
                product += pressures_[m][i] * shape;
                p2 += std::norm(pressures_[m][i]), q2 += shape * shape;
            }
            if (const double alike = std::norm(product) / (p2 * q2); alike > most)
                most = alike, best = m;
        }
        return best;
    }

  private:
    Box box_;
    std::vector<Point> places_;
    std::vector<std::vector<Complex>> pressures_;
};

/// Quadratic through three places.
double quadratic(const std::array<double, 3>& at, const std::array<double, 3>& value, double x) {
    double sum = 0;
    for (std::size_t i = 0; i < 3; ++i) {
        double weight = 1;
        for (std::size_t k = 0; k < 3; ++k)
            if (k != i)
                weight *= (x - at[k]) / (at[i] - at[k]);
        sum += weight * value[i];
    }
    return sum;
}

struct MaterialPoint {
    double resistivity, held;
};
/// Full solutions: typical wool, soft, hard, its frame held.
constexpr std::array<MaterialPoint, 4> material_points{{{0, 0}, {-1, 0}, {1, 0}, {0, 1}}};

LayerDraw layer_draw(const MaterialPoint& point) {
    LayerDraw draw;
    draw.resistivity = point.resistivity;
    draw.frame_held = point.held;
    return draw;
}

/// The damping of one mode after, as the wool's figures move it.
struct Response {
    std::array<double, 4> log_damping{};

    double at(const MaterialPoint& p) const {
        const double r = std::clamp(p.resistivity, -1.5, 1.5);
        // A frame held halfway weighs four times as much: most of the way to standing still.
        const double held = p.held * (2 - p.held);
        return std::exp(quadratic({-1, 0, 1}, {log_damping[1], log_damping[0], log_damping[2]}, r) +
                        held * (log_damping[3] - log_damping[0]));
    }
};

class Forecaster {
  public:
    Forecaster(const ModalInput& input, const std::function<void(double)>& step)
        : input_(input), step_(step), room_(room_with_traps(input.box, input.traps)),
          walls_(equations_of(input)) {}

    ModalForecast run() {
        ModalForecast result;
        result.notes = room_.notes;
        result.box = input_.box;
        result.traps = room_.shape.parts;
        result.to_hz = input_.to_hz;
        for (std::size_t axis = 0; axis < 3; ++axis)
            result.wall_admittance[axis] = walls_.admittance(axis, 63);
        const CavityOptions options{input_.to_hz, 0, 0};
        const CavityModel before(room_.shape, media({}, true), options);
        tell(1);
        const CavityModel after(room_.shape, media({}, false), options);
        tell(2);
        respond(after, options);
        const auto alike = overlaps(before, after);
        const Naming naming(input_.box, before);
        residual_.assign(before.modes().size(), 0);
        partner_.assign(before.modes().size(), {});
        for (std::size_t b = 0; b < before.modes().size(); ++b) {
            const auto best = std::max_element(alike[b].begin(), alike[b].end());
            if (best != alike[b].end() && *best >= least_overlap)
                partner_[b] = static_cast<std::size_t>(best - alike[b].begin());
        }
        for (const ModeBefore& mode : input_.modes)
            result.modes.push_back(forecast_of(mode, naming, before, after, alike));
        add_bands(result, before, after);
        return result;
    }

  private:
    CavityMedia media(const LayerDraw& draw, bool empty) const {
        CavityMedia all = media_of(room_, input_.air, draw, empty);
        for (std::size_t wall = 0; wall < 6; ++wall)
            all.surfaces.push_back(
                [this, wall](Complex hz) { return Complex(walls_.admittance(wall / 2, std::abs(hz))); });
        return all;
    }

    void tell(int done) const {
        if (step_)
            step_(done / 5.0);
    }

    /// The typical modes followed through the other materials, by shape.
    void respond(const CavityModel& after, const CavityOptions& options) {
        responses_.resize(after.modes().size());
        for (std::size_t m = 0; m < responses_.size(); ++m)
            responses_[m].log_damping.fill(std::log(damping(after.modes()[m])));
        for (std::size_t point = 1; point < material_points.size(); ++point) {
            const CavityModel other(room_.shape, media(layer_draw(material_points[point]), false), options);
            const auto alike = overlaps(after, other);
            for (std::size_t m = 0; m < responses_.size(); ++m) {
                const auto best = std::max_element(alike[m].begin(), alike[m].end());
                if (best != alike[m].end() && *best >= least_overlap)
                    responses_[m].log_damping[point] =
                        std::log(damping(other.modes()[static_cast<std::size_t>(best - alike[m].begin())]));
            }
            tell(static_cast<int>(point) + 2);
        }
    }

    ForecastMode forecast_of(const ModeBefore& mode, const Naming& naming, const CavityModel& before,
                             const CavityModel& after, const std::vector<std::vector<double>>& alike) {
        ForecastMode result{mode.hz, mode.t60_s, mode.order, {}, Measured::none(Empty::overlap), 0, 0, {}};
        const auto own = mode.order ? naming.mode_of(*mode.order) : std::nullopt;
        if (!own || !mode.t60_s)
            return result;
        look_at(result, before, *own);
        residual_[*own] = sixty_db / *mode.t60_s - damping(before.modes()[*own]);
        if (!partner_[*own])
            return result;
        const std::size_t partner = *partner_[*own];
        result.overlap = alike[*own][partner];
        result.predicted_hz = mode.hz + after.modes()[partner].hz.real() - before.modes()[*own].hz.real();
        result.predicted_t60_s = decay_of(mode, damping(before.modes()[*own]), responses_[partner]);
        return result;
    }

    /// Damping after = that of the model + what the measurement had more than the model before.
    Measured decay_of(const ModeBefore& mode, double model_before, const Response& response) const {
        const double measured = sixty_db / *mode.t60_s;
        const double deviation =
            mode.t60_s.low && mode.t60_s.high ? std::log(*mode.t60_s.high / *mode.t60_s.low) / 3.92 : 0.1;
        const auto decay = [&](double with_traps, double bare, double factor) {
            const double added = std::max(with_traps - model_before, 0.0);
            // What the walls behind the traps lost is in the model; never less than a part of the bare room.
            return sixty_db / std::max(0.3 * bare, bare + factor * added);
        };
        Random random(input_.seed);
        std::vector<double> drawn;
        for (int i = 0; i < input_.draws; ++i) {
            const MaterialPoint point{random.normal_pair().real() / 1.96, random.uniform()};
            const Complex errors = random.normal_pair();
            const double bare = measured * std::exp(deviation * errors.real());
            const double walls = 1 + wall_share_error * random.normal_pair().real();
            const double share = 1 + (walls - 1) * std::abs(measured - model_before) / measured;
            drawn.push_back(decay(response.at(point), bare * share, std::exp(model_error * errors.imag())));
        }
        // The middle of what was drawn: the frame is neither quite free nor held.
        return {quantile(drawn, 0.5), quantile(drawn, 0.025), quantile(drawn, 0.975), {}};
    }

    /// Pressure in plan, and how much of it lies in the traps.
    void look_at(ForecastMode& mode, const CavityModel& model, std::size_t index) const {
        std::vector<Point> places;
        for (int y = 0; y < plan_view_y; ++y)
            for (int x = 0; x < plan_view_x; ++x)
                places.push_back(
                    {input_.box.edges_m[0] * (x + 0.5) / plan_view_x,
                     input_.box.edges_m[1] * (y + 0.5) / plan_view_y,
                     input_.box.edges_m[2] * (mode.order && (*mode.order)[2] % 2 == 1 ? 0.02 : 0.5)});
        const auto pressure = model.pressure(index, places);
        const Complex turn = std::polar(
            1.0, -std::arg(*std::max_element(pressure.begin(), pressure.end(), [](Complex a, Complex b) {
                return std::norm(a) < std::norm(b);
            })));
        double largest = 0;
        for (const Complex p : pressure) {
            mode.plan_view.push_back((p * turn).real());
            largest = std::max(largest, std::abs(mode.plan_view.back()));
        }
        for (double& p : mode.plan_view)
            p /= largest;
        // ε of the rigid room: the mean of the squared shape over the box is 1/ε.
        double sum = 0, volume = 0;
        for (const CavityPart& part : room_.shape.parts) {
            double size = 1, mean = 1;
            for (std::size_t axis = 0; axis < 3; ++axis) {
                const double from = part.from_m[axis], to = part.to_m[axis];
                const int n = (*mode.order)[axis];
                const double k = 2 * n * pi / input_.box.edges_m[axis];
                size *= to - from;
                mean *= n == 0 ? 1 : 1 + (std::sin(k * to) - std::sin(k * from)) / (k * (to - from));
            }
            sum += size * mean, volume += size;
        }
        mode.at_traps = volume > 0 ? sum / volume : 0;
    }

    /// The modal response at each position, as a signal.
    Signal response_of(const CavityModel& model, const std::vector<double>& damping_per_s,
                       const std::vector<std::vector<Complex>>& at_source,
                       const std::vector<std::vector<Complex>>& at_microphone, std::size_t position) const {
        constexpr double rate_hz = 8000, seconds = 3;
        Signal signal{std::vector<double>(static_cast<std::size_t>(rate_hz * seconds)), rate_hz};
        for (std::size_t m = 0; m < model.modes().size(); ++m) {
            const double omega = 2 * pi * model.modes()[m].hz.real();
            Complex value = 2.0 * Complex(0, 1) * at_source[m][position] * at_microphone[m][position];
            const Complex step = std::exp(Complex(-damping_per_s[m], omega) / rate_hz);
            for (double& sample : signal.samples) {
                sample += value.real();
                value *= step;
            }
        }
        return signal;
    }

    std::vector<BandAverage> decays(const CavityModel& model, const std::vector<double>& damping_per_s,
                                    const DecayOptions& options) const {
        std::vector<Point> sources, microphones;
        for (const auto& [source, microphone] : input_.positions)
            sources.push_back(source), microphones.push_back(microphone);
        std::vector<std::vector<Complex>> at_source, at_microphone;
        for (std::size_t m = 0; m < model.modes().size(); ++m) {
            at_source.push_back(model.pressure(m, sources));
            at_microphone.push_back(model.pressure(m, microphones));
        }
        std::vector<ResponseDecay> responses;
        for (std::size_t i = 0; i < sources.size(); ++i)
            responses.push_back(
                analyse_decay(response_of(model, damping_per_s, at_source, at_microphone, i), options));
        return average_over_positions(responses);
    }

    /// Measured before times the ratio that the two simulated measurements show.
    void add_bands(ModalForecast& result, const CavityModel& before, const CavityModel& after) {
        result.band_s.assign(input_.bands.size(), Measured::none(Empty::conditions));
        std::vector<std::size_t> asked;
        for (std::size_t b = 0; b < input_.bands.size(); ++b)
            if (input_.decay_s[b] && input_.bands[b].exact_hz * highest_band <= input_.to_hz)
                asked.push_back(b);
        if (asked.empty() || input_.positions.empty())
            return;
        DecayOptions options;
        options.width = input_.bands.front().width;
        options.from_hz = input_.bands[asked.front()].nominal_hz;
        options.to_hz = input_.bands[asked.back()].nominal_hz;
        const auto first = decays(before, dampings_before(before), options);
        std::vector<std::vector<double>> drawn(first.size());
        Random random(seed_for(input_.seed, "bands"));
        constexpr int band_draws = 40;
        for (int i = 0; i < band_draws; ++i) {
            const MaterialPoint point{random.normal_pair().real() / 1.96, random.uniform()};
            const double factor = std::exp(model_error * random.normal_pair().real());
            const auto some = decays(after, dampings_after(before, after, point, factor), options);
            for (std::size_t k = 0; k < some.size(); ++k)
                if (some[k].t20_s)
                    drawn[k].push_back(std::log(*some[k].t20_s));
        }
        for (const std::size_t b : asked)
            for (std::size_t k = 0; k < first.size(); ++k)
                if (first[k].band == input_.bands[b] && first[k].t20_s && drawn[k].size() > band_draws / 2)
                    result.band_s[b] = band_of(input_.decay_s[b], *first[k].t20_s, drawn[k]);
    }

    static Measured band_of(const Measured& measured, double simulated_before_s,
                            const std::vector<double>& log_after) {
        const double own = measured.low && measured.high ? std::log(*measured.high / *measured.low) / 2 : 0.2;
        // 40 draws show the middle 95 % only roughly: their deviation, with the measurement's own.
        double mean = 0, square = 0;
        for (const double x : log_after)
            mean += x / static_cast<double>(log_after.size());
        for (const double x : log_after)
            square += (x - mean) * (x - mean) / static_cast<double>(log_after.size());
        const double half = std::hypot(own, 1.96 * std::sqrt(square));
        const double centre = std::log(*measured) + mean - std::log(simulated_before_s);
        return {std::exp(centre), std::exp(centre - half), std::exp(centre + half), {}};
    }

    std::vector<double> dampings_before(const CavityModel& before) const {
        std::vector<double> result;
        for (std::size_t b = 0; b < before.modes().size(); ++b)
            result.push_back(
                std::max(0.2 * damping(before.modes()[b]), damping(before.modes()[b]) + residual_[b]));
        return result;
    }

    std::vector<double> dampings_after(const CavityModel& before, const CavityModel& after,
                                       const MaterialPoint& point, double factor) const {
        std::vector<double> result, bare(after.modes().size()), more(after.modes().size());
        for (std::size_t b = 0; b < before.modes().size(); ++b)
            if (partner_[b])
                bare[*partner_[b]] = damping(before.modes()[b]), more[*partner_[b]] = residual_[b];
        for (std::size_t m = 0; m < after.modes().size(); ++m) {
            const double model = responses_[m].at(point);
            const double added = std::max(model - bare[m], 0.0);
            result.push_back(std::max(0.2 * model, model + (factor - 1) * added + more[m]));
        }
        return result;
    }

    const ModalInput& input_;
    const std::function<void(double)>& step_;
    RoomWithTraps room_;
    WallFit walls_;
    std::vector<Response> responses_;                 // by mode after
    std::vector<double> residual_;                    // by mode before: measured − model
    std::vector<std::optional<std::size_t>> partner_; // by mode before
};

} // namespace

ModalForecast modal_forecast(const ModalInput& input, const std::function<void(double)>& step) {
    return Forecaster(input, step).run();
}

} // namespace ebbmark
