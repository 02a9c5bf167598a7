// SPDX-License-Identifier: GPL-3.0-or-later
#include "decay/curve.hpp"
#include "relative.hpp"
#include "responses.hpp"
#include "signal/band_filter.hpp"

#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <functional>
#include <utility>
#include <vector>

using namespace ebbmark;
using namespace ebbmark::tests;

namespace {

struct Curve {
    Tail tail;
    EnergyCurve curve;
};

std::vector<double> sums_of(const std::vector<double>& energy) {
    std::vector<double> sums;
    sum_from_end(energy, energy.size(), sums);
    return sums;
}

// Exact mean energy of each step of a model, so that nothing but the noise handling is tested.
Curve curve_of(double seconds, const std::function<double(double)>& integral_from) {
    const double step_s = 1e-4;
    std::vector<double> energy(static_cast<std::size_t>(std::lround(seconds / step_s)));
    for (std::size_t n = 0; n < energy.size(); ++n) {
        const double t = static_cast<double>(n) * step_s;
        energy[n] = (integral_from(t) - integral_from(t + step_s)) / step_s;
    }
    const BandEnergy band{energy, 0, energy.size(), step_s, 700};
    const Tail tail = find_tail(band, sums_of(energy));
    REQUIRE(tail.decays);
    return {tail, integrate_backwards(band, tail)};
}

double decay(const EnergyCurve& curve, double upper, double lower) {
    const auto line = fit_line(curve, upper, lower);
    REQUIRE(line);
    return line->decay_s;
}

const double a_1s = 6 * std::log(10.0);

} // namespace

TEST_CASE("a decay with noise, given as expected energy, comes out exact at every distance of the noise") {
    // Source: closed form. Mean energy exp(−a t) + n, T = 1 s, 3 s long: subtraction, truncation and the
    // completing tail together have no error in the mean; without them T30 is up to ten times too long.
    for (const double distance_db : {40.0, 45.0, 50.0, 55.0, 60.0}) {
        const double noise = std::pow(10, -distance_db / 10);
        const auto result =
            curve_of(3, [&](double t) { return std::exp(-a_1s * t) / a_1s + noise * (3 - t); });
        CHECK(std::round(decay(result.curve, -5, -25) * 1e4) == 10000);
        CHECK(std::round(decay(result.curve, -5, -35) * 1e4) == 10000);
        CHECK(result.tail.truncation_s == relative(distance_db / 60).epsilon(1e-3));
        CHECK(result.curve.range_db == relative(distance_db).epsilon(1e-3));
        CHECK(result.tail.noise == relative(noise).epsilon(1e-3));
        CHECK(result.tail.end == DecayEnd::noise);
    }
}

TEST_CASE("an exponential gives its decay time for EDT, T20 and T30, and no curvature") {
    // Source: closed form. The record is cut after 1.2 T without noise.
    for (const double decay_s : {0.2, 0.5, 1.0, 2.0}) {
        const double a = a_1s / decay_s;
        const auto result = curve_of(1.2 * decay_s, [&](double t) { return std::exp(-a * t) / a; });
        CHECK(decay(result.curve, 0, -10) == relative(decay_s).epsilon(1e-4));
        CHECK(decay(result.curve, -5, -25) == relative(decay_s).epsilon(1e-4));
        CHECK(decay(result.curve, -5, -35) == relative(decay_s).epsilon(1e-4));
        CHECK(fit_line(result.curve, -5, -35)->nonlinearity_permille < 1e-3);
    }
}

TEST_CASE("double slopes give the printed decay times, curvature and non-linearity") {
    // Source: independent. Exact backward integral of two exponentials, dense least-squares lines,
    // evaluated outside this program to four decimals.
    struct Row {
        double t1, t2, gain_db, edt, t20, t30, xi20, xi30;
    };
    for (const Row& row : {Row{0.4, 2.0, -20, 0.4472, 1.2245, 1.6661, 73.21, 40.92},
                           Row{0.4, 1.2, -15, 0.4595, 0.7878, 0.9859, 23.39, 20.94},
                           Row{0.3, 0.6, -10, 0.3499, 0.4469, 0.5024, 4.53, 6.30}}) {
        const double a1 = a_1s / row.t1, a2 = a_1s / row.t2, gain = std::pow(10, row.gain_db / 10);
        const auto result = curve_of(
            4 * row.t2, [&](double t) { return std::exp(-a1 * t) / a1 + gain * std::exp(-a2 * t) / a2; });
        // 2e-4: the printed digits and the steps of 0.1 ms at the ends of a range.
        CHECK(decay(result.curve, 0, -10) == relative(row.edt).epsilon(3e-4));
        CHECK(decay(result.curve, -5, -25) == relative(row.t20).epsilon(3e-4));
        CHECK(decay(result.curve, -5, -35) == relative(row.t30).epsilon(3e-4));
        CHECK(fit_line(result.curve, -5, -25)->nonlinearity_permille == relative(row.xi20).epsilon(3e-3));
        CHECK(fit_line(result.curve, -5, -35)->nonlinearity_permille == relative(row.xi30).epsilon(3e-3));
    }
}

namespace {

using Pair = std::array<double, 2>;

/// T20 of a direct sound and a double slope behind a band's backward filter: of the mean energy that it makes
/// of them, which is its energy for an impulse, spread by each exponential in turn.
double filtered_t20_s(const Band& band, double direct, const Pair& rates_per_s, const Pair& energies) {
    Signal impulse = silence(4, 8000);
    impulse.samples[16000] = 1;
    BandFilterBank bank(impulse, band.bandwidth_hz());
    const BandEnvelope& envelope = bank.envelope(band);
    std::vector<double> mean;
    for (const double energy : envelope.energy)
        mean.push_back(direct * energy);
    for (std::size_t k = 0; k < 2; ++k) {
        const double kept = std::exp(-rates_per_s[k] * envelope.step_s);
        double spread = 0;
        for (std::size_t n = 0; n < mean.size(); ++n) {
            spread = kept * spread + (1 - kept) * envelope.energy[n];
            mean[n] += energies[k] * spread;
        }
    }
    const auto onset = static_cast<std::size_t>(std::ceil((2 - envelope.start_s) / envelope.step_s - 1e-6));
    const BandEnergy energy{mean, onset, mean.size(), envelope.step_s, band.bandwidth_hz()};
    return decay(integrate_backwards(energy, find_tail(energy, sums_of(mean))), -5, -25);
}

/// Decay time between −5 and −25 dB of the same sound without any filter.
double closed_form_t20_s(double direct, const Pair& rates_per_s, const Pair& energies) {
    EnergyCurve curve;
    curve.step_s = 1e-4;
    curve.start = direct + energies[0] + energies[1];
    for (int n = 0; n < 20000; ++n)
        curve.remaining.push_back(energies[0] * std::exp(-rates_per_s[0] * curve.step_s * n) +
                                  energies[1] * std::exp(-rates_per_s[1] * curve.step_s * n));
    return fit_line(curve, -5, -25)->decay_s;
}

} // namespace

TEST_CASE("a direct sound and a bent decay have the decay time that they have without the filter") {
    // Source: closed form, for the mean energy. The filter runs backwards and so moves the first sound before
    // the onset; what is counted from the onset on alone starts the range lower, where a bent decay is
    // longer. What cannot come back is the first stretch of the decay, which stands behind the filtered
    // direct sound: 0.3 % without one that passes the range's upper end, 4 % where the line starts at the
    // onset.
    for (const double early : {0.9, 0.95})
        for (const auto& [direct_db, tolerance] : {std::pair{-300.0, 0.003}, std::pair{-6.0, 0.003},
                                                   std::pair{0.0, 0.004}, std::pair{10.0, 0.04}}) {
            const double direct = std::pow(10, direct_db / 10);
            const Pair rates = {a_1s / 0.25, a_1s}, energies = {early, 1 - early};
            const double level_db = direct_db; // a lambda takes no part of a pair
            CAPTURE(level_db);
            CHECK(filtered_t20_s(band_at(BandWidth::third, -3), direct, rates, energies) ==
                  relative(closed_form_t20_s(direct, rates, energies)).epsilon(tolerance));
        }
}

TEST_CASE("behind a loud direct sound a bent decay is long by what the filter hides of it, and no more") {
    // Source: closed form, for the mean energy. The limits are those that the README gives.
    struct Limit {
        int place;
        double longest;
    };
    for (const auto& [place, longest] : {Limit{-9, 1.16}, Limit{-12, 1.29}})
        for (const double early : {0.9, 0.95})
            for (const double direct_db : {0.0, 6.0, 10.0}) {
                const double direct = std::pow(10, direct_db / 10);
                const Pair rates = {a_1s / 0.25, a_1s}, energies = {early, 1 - early};
                const double ratio =
                    filtered_t20_s(band_at(BandWidth::third, place), direct, rates, energies) /
                    closed_form_t20_s(direct, rates, energies);
                CAPTURE(direct_db);
                CHECK(ratio > 1.02);
                CHECK(ratio < longest);
            }
}

TEST_CASE("nothing but constant noise is no decay") {
    std::vector<double> energy(4000, 1.0);
    const BandEnergy band{energy, 0, energy.size(), 1e-3, 100};
    CHECK_FALSE(find_tail(band, sums_of(energy)).decays);
}

TEST_CASE("a line needs the curve to reach its lower end") {
    EnergyCurve curve;
    curve.step_s = 0.01;
    curve.start = 1;
    for (int n = 0; n <= 100; ++n)
        curve.remaining.push_back(std::pow(10, -0.03 * n)); // 0.3 dB a step, 30 dB in all
    CHECK(fit_line(curve, -5, -25)->decay_s == relative(2.0).epsilon(1e-9));
    CHECK_FALSE(fit_line(curve, -5, -35));
}
