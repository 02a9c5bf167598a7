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

struct Drawn {
    std::vector<double> decay_s, added_m2;
};

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
    double covered_m2 = 0, traps_m3 = 0;
    for (const TrapForecast& trap : traps) {
        covered_m2 += trap.plan().face_m2();
        traps_m3 += trap.plan().face_m2() * trap.plan().depth_m();
    }
    const std::size_t count = before.bands.size();
    std::vector<double> typical(count);
    for (const TrapForecast& trap : traps) {
        const auto areas = trap.typical_area_m2();
        for (std::size_t b = 0; b < count; ++b)
            typical[b] += areas[b];
    }
    const auto air_per_m = [&](std::size_t b) {
        return air_attenuation_per_m(before.bands[b].exact_hz, before.air);
    };
    const auto middle_decay = [&](std::size_t b) {
        const double decay = *before.decay_s[b];
        const auto sabine = decay_after_s(before, decay, air_per_m(b), typical[b], covered_m2, traps_m3,
                                          DecayFormula::sabine);
        const auto eyring = decay_after_s(before, decay, air_per_m(b), typical[b], covered_m2, traps_m3,
                                          DecayFormula::eyring);
        return sabine && eyring ? Measured::of(std::sqrt(*sabine * *eyring))
                                : Measured::none(Empty::conditions);
    };
    std::vector<Drawn> drawn(count);
    Random random(seed);
    for (int i = 0; i < draws; ++i) {
        std::vector<double> added(count);
        const ModelDraw model = draw_model(random, count);
        for (const TrapForecast& trap : traps) {
            const auto areas = trap.draw_area_m2(random, model);
            for (std::size_t b = 0; b < count; ++b)
                added[b] += areas[b];
        }
        const DecayFormula formula = random.uniform() < 0.5 ? DecayFormula::eyring : DecayFormula::sabine;
        const double shared = random.normal_pair().real();
        for (std::size_t b = 0; b < count; ++b) {
            drawn[b].added_m2.push_back(added[b]);
            if (!before.decay_s[b])
                continue;
            // Half of the variance is shared by all bands: positions and furniture are the same.
            const double error = (shared + random.normal_pair().real()) / std::sqrt(2);
            const double decay = *before.decay_s[b] * std::exp(log_deviation(before.decay_s[b]) * error);
            if (const auto after =
                    decay_after_s(before, decay, air_per_m(b), added[b], covered_m2, traps_m3, formula))
                drawn[b].decay_s.push_back(*after);
        }
    }
    for (std::size_t b = 0; b < count; ++b) {
        ForecastBand band{before.bands[b], before.decay_s[b], Measured::none(Empty::conditions),
                          interval_of(typical[b], drawn[b].added_m2)};
        const bool diffuse = result.schroeder_hz && before.bands[b].exact_hz >= *result.schroeder_hz;
        if (!before.decay_s[b])
            band.predicted_s = Measured::none(before.decay_s[b].empty.value_or(Empty::noise));
        else if (diffuse && draws == 0)
            band.predicted_s = middle_decay(b);
        else if (diffuse && !drawn[b].decay_s.empty())
            // The median of what was drawn: between Sabine's and Eyring's figure.
            band.predicted_s = interval_of(interpolated_quantile(drawn[b].decay_s, 0.5), drawn[b].decay_s);
        result.bands.push_back(band);
    }
    return result;
}

} // namespace ebbmark
