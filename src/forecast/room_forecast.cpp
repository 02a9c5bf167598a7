// SPDX-License-Identifier: GPL-3.0-or-later
#include "forecast/room_forecast.hpp"

#include "base/normal.hpp"
#include "base/order_statistics.hpp"
#include "room/modes.hpp"

#include <algorithm>
#include <cmath>

namespace ebbmark {

namespace {

/// FigureRange of ln T from a 95 % interval; of ISO 3382-2 only where there is none: 10 %.
double log_deviation(const Measured& decay) {
    constexpr double without_interval = 0.1;
    if (!decay.low || !decay.high || !(*decay.low > 0))
        return without_interval;
    return std::log(*decay.high / *decay.low) / (2 * normal_two_sided_95);
}

/// From the bands at 400 Hz to 1.25 kHz, else all that have a decay.
std::optional<double> schroeder_of(const RoomBefore& before) {
    double middle = 0, all = 0;
    int in_middle = 0, any = 0;
    for (std::size_t b = 0; b < before.bands.size(); ++b) {
        if (!before.decay_s[b])
            continue;
        all += *before.decay_s[b], ++any;
        if (before.bands[b].nominal_hz >= 400 && before.bands[b].nominal_hz <= 1250)
            middle += *before.decay_s[b], ++in_middle;
    }
    if (any == 0)
        return {};
    return schroeder_hz(in_middle > 0 ? middle / in_middle : all / any, before.volume_m3);
}

/// What was drawn for one band.
struct Drawn {
    std::vector<double> decay_s, added_m2;
};

/// What all traps together do to the room, and the decay after them.
class Treated {
  public:
    Treated(const RoomBefore& before, const std::vector<TrapForecast>& traps)
        : before_(before), traps_(traps) {
        for (const TrapForecast& trap : traps) {
            // An empty frame leaves wall and air as they were.
            const auto& layers = trap.plan().layers;
            if (std::all_of(layers.begin(), layers.end(),
                            [](const LayerPlan& layer) { return layer.material.kind == LayerKind::air; }))
                continue;
            covered_m2_ += trap.plan().face_m2();
            traps_m3_ += trap.plan().face_m2() * trap.plan().depth_m();
        }
    }

    std::vector<double> typical_area_m2() const {
        std::vector<double> areas(before_.bands.size());
        for (const TrapForecast& trap : traps_)
            add(areas, trap.typical_area_m2());
        return areas;
    }

    std::vector<double> drawn_area_m2(Random& random) const {
        std::vector<double> areas(before_.bands.size());
        const ModelDraw model = draw_model(random, areas.size());
        for (const TrapForecast& trap : traps_)
            add(areas, trap.draw_area_m2(random, model));
        return areas;
    }

    std::optional<double> after_s(std::size_t band, double before_s, double added_m2,
                                  DecayFormula formula) const {
        return decay_after_s(before_, before_s,
                             air_attenuation_per_m(before_.bands[band].exact_hz, before_.air), added_m2,
                             covered_m2_, traps_m3_, formula);
    }

    /// Without draws: between Sabine's and Eyring's figure.
    Measured middle_s(std::size_t band, double added_m2) const {
        const double decay_s = *before_.decay_s[band];
        const auto sabine = after_s(band, decay_s, added_m2, DecayFormula::sabine);
        const auto eyring = after_s(band, decay_s, added_m2, DecayFormula::eyring);
        return sabine && eyring ? Measured::of(std::sqrt(*sabine * *eyring))
                                : Measured::none(Empty::conditions);
    }

  private:
    static void add(std::vector<double>& areas, const std::vector<double>& more) {
        for (std::size_t b = 0; b < areas.size(); ++b)
            areas[b] += more[b];
    }

    const RoomBefore& before_;
    const std::vector<TrapForecast>& traps_;
    double covered_m2_ = 0, traps_m3_ = 0;
};

/// One draw of everything uncertain, added to each band's draws.
void draw(std::vector<Drawn>& drawn, const RoomBefore& before, const Treated& treated, Random& random) {
    const std::vector<double> added = treated.drawn_area_m2(random);
    const DecayFormula formula = random.uniform() < 0.5 ? DecayFormula::eyring : DecayFormula::sabine;
    const double shared = random.normal_pair().real();
    for (std::size_t b = 0; b < drawn.size(); ++b) {
        drawn[b].added_m2.push_back(added[b]);
        if (!before.decay_s[b])
            continue;
        // Half of the variance is shared by all bands: positions and furniture are the same.
        const double error = (shared + random.normal_pair().real()) / std::sqrt(2);
        const double decay = *before.decay_s[b] * std::exp(log_deviation(before.decay_s[b]) * error);
        if (const auto after = treated.after_s(b, decay, added[b], formula))
            drawn[b].decay_s.push_back(*after);
    }
}

double deviation_of_log(const std::vector<double>& values) {
    double mean = 0, square = 0;
    for (const double value : values)
        mean += std::log(value) / static_cast<double>(values.size());
    for (const double value : values)
        square += std::pow(std::log(value) - mean, 2) / static_cast<double>(values.size());
    return std::sqrt(square);
}

/// The decay before by its slope, the formula by how far Sabine's and Eyring's figures lie apart; the rest is
/// the traps'.
std::optional<ForecastParts> parts_of(const Treated& treated, const Measured& before_s, std::size_t band,
                                      double area_m2, const std::vector<double>& drawn_s) {
    constexpr double step = 0.01;
    const auto after = [&](double factor, DecayFormula formula) {
        return treated.after_s(band, *before_s * factor, area_m2, formula);
    };
    const auto sabine = after(1, DecayFormula::sabine), eyring = after(1, DecayFormula::eyring),
               longer = after(1 + step, DecayFormula::sabine);
    if (!sabine || !eyring || !longer)
        return {};
    ForecastParts parts;
    parts.before = log_deviation(before_s) * std::log(*longer / *sabine) / std::log1p(step);
    parts.model = std::abs(std::log(*eyring / *sabine)) / 2;
    const double all = deviation_of_log(drawn_s);
    parts.wool =
        std::sqrt(std::max(0.0, all * all - parts.before * parts.before - parts.model * parts.model));
    return parts;
}

Measured interval_of(double typical, const std::vector<double>& draws) {
    if (draws.empty())
        return Measured::of(typical);
    return {typical, interpolated_quantile(draws, 0.025), interpolated_quantile(draws, 0.975), {}};
}

} // namespace

std::optional<double> decay_after_s(const RoomBefore& before, double before_s, double air_per_m,
                                    double added_m2, double covered_m2, double traps_m3,
                                    DecayFormula formula) {
    // ISO 354:2003 clause 8; the constant 24 ln 10 is 55.26.
    const double c = speed_of_sound(before.air), k = 55.262 / c, surface = before.surface_m2;
    const double with_air = k * before.volume_m3 / before_s;
    const double walls = with_air - 4 * air_per_m * before.volume_m3;
    const double volume = before.volume_m3 - traps_m3;
    if (!(walls > 0) || !(volume > 0))
        return {};
    if (formula == DecayFormula::sabine) {
        const double after = walls * (1 - covered_m2 / surface) + added_m2 + 4 * air_per_m * volume;
        return after > 0 ? std::optional(k * volume / after) : std::nullopt;
    }
    // The mean coefficient whose −ln(1 − α) S is the measured area.
    const double mean = 1 - std::exp(-walls / surface);
    const double after = mean * (1 - covered_m2 / surface) + added_m2 / surface;
    if (!(after < 1))
        return {};
    return k * volume / (-surface * std::log(1 - after) + 4 * air_per_m * volume);
}

RoomForecast forecast(const RoomBefore& before, const std::vector<TrapForecast>& traps, int draws,
                      std::uint64_t seed) {
    RoomForecast result;
    result.schroeder_hz = schroeder_of(before);
    const Treated treated(before, traps);
    const std::vector<double> typical = treated.typical_area_m2();
    std::vector<Drawn> drawn(before.bands.size());
    Random random(seed);
    for (int i = 0; i < draws; ++i)
        draw(drawn, before, treated, random);
    for (std::size_t b = 0; b < drawn.size(); ++b) {
        ForecastBand band{before.bands[b], before.decay_s[b], Measured::none(Empty::conditions),
                          interval_of(typical[b], drawn[b].added_m2)};
        const bool diffuse = result.schroeder_hz && before.bands[b].exact_hz >= *result.schroeder_hz;
        if (!before.decay_s[b])
            band.predicted_s = Measured::none(before.decay_s[b].empty.value_or(Empty::noise));
        else if (diffuse && draws == 0)
            band.predicted_s = treated.middle_s(b, typical[b]);
        else if (diffuse && !drawn[b].decay_s.empty()) {
            // The median of what was drawn: between Sabine's and Eyring's figure.
            band.predicted_s = interval_of(interpolated_quantile(drawn[b].decay_s, 0.5), drawn[b].decay_s);
            band.parts = parts_of(treated, before.decay_s[b], b, typical[b], drawn[b].decay_s);
        }
        result.bands.push_back(band);
    }
    return result;
}

} // namespace ebbmark
