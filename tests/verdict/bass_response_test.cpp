// SPDX-License-Identifier: GPL-3.0-or-later
#include "relative.hpp"
#include "verdict/bass_response.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <numbers>

using namespace ebbmark;

namespace {

constexpr double rate_hz = 4000;

/// A click and its echo.
Signal echoed(double echo, double delay_s) {
    Signal signal{std::vector<double>(8000, 0.0), rate_hz};
    signal.samples[400] = 1;
    signal.samples[400 + static_cast<std::size_t>(delay_s * rate_hz)] += echo;
    return signal;
}

} // namespace

TEST_CASE("the frequencies keep their smoothing windows within what the source reached") {
    const auto all = bass_frequencies(0, 1e9);
    CHECK(all.front() == relative(20));
    CHECK(all.back() <= 200.0001);
    CHECK(all.size() == 80); // 24 log2(200/20) = 79.7 steps
    const auto from_35 = bass_frequencies(35, 1e9);
    CHECK(from_35.front() * std::exp2(-1.0 / 12) >= 35);
    CHECK(bass_frequencies(190, 1e9).empty());
}

TEST_CASE("a click alone is even") {
    const auto hz = bass_frequencies(0, 1e9);
    const auto power = bass_power(echoed(0, 0.01), hz);
    const auto change = bass_response_change(hz, {power}, {power});
    CHECK(change.before[0].unevenness_db < 1e-9);
    CHECK(*change.unevenness_change_db == 0);
    CHECK(!change.unevenness_change_db.low);
    CHECK(!change.spread_before_db);
}

TEST_CASE("an echo makes the comb that its window mean says") {
    // Source: closed form. |1 + a e^(-jωτ)|² = 1 + a² + 2 a cos ωτ; mean of the cosine over [f/w, f w].
    const double a = 0.8, delay_s = 0.01, w = std::exp2(1.0 / 12);
    const auto hz = bass_frequencies(0, 1e9);
    const auto power = bass_power(echoed(a, delay_s), hz);
    for (std::size_t i = 0; i < hz.size(); ++i) {
        const double x = 2 * std::numbers::pi * delay_s;
        const double mean = (std::sin(x * hz[i] * w) - std::sin(x * hz[i] / w)) / (x * hz[i] * (w - 1 / w));
        // The window holds at least 16 lines: its ends are known to a sixteenth of its width.
        CHECK(power[i] == relative(1 + a * a + 2 * a * mean).epsilon(0.06));
    }
    const auto change = bass_response_change(hz, {power}, {power});
    CHECK(change.before[0].dip.hz == relative(50).epsilon(0.03));
    CHECK(change.before[0].dip.db < -8);
}

TEST_CASE("gains do not enter, and a damped echo shows as less uneven at every place") {
    const auto hz = bass_frequencies(0, 1e9);
    auto power = [&](double echo, double delay_s, double gain) {
        auto values = bass_power(echoed(echo, delay_s), hz);
        for (double& value : values)
            value *= gain;
        return values;
    };
    const std::vector<std::vector<double>> before = {power(0.8, 0.01, 1), power(0.8, 0.013, 4)};
    const std::vector<std::vector<double>> after = {power(0.3, 0.01, 9), power(0.3, 0.013, 2)};
    const auto change = bass_response_change(hz, before, after);
    CHECK(*change.unevenness_change_db < -1);
    CHECK(*change.unevenness_change_db == relative(change.unevenness_after_db - change.unevenness_before_db));
    CHECK(*change.unevenness_change_db.low < *change.unevenness_change_db);
    CHECK(*change.spread_after_db < *change.spread_before_db);
    // The same places twice differ by nothing.
    const auto same = bass_response_change(hz, before, {power(0.8, 0.01, 3), power(0.8, 0.013, 5)});
    CHECK(std::abs(*same.unevenness_change_db) < 1e-9);
}
