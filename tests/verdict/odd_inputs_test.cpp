// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/comparison.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <random>

using namespace ebbmark;

namespace {

using Bits = std::mt19937_64;

bool one_in(Bits& bits, unsigned count) {
    return bits() % count == 0;
}

BandDecay odd_band(Bits& bits, int third, bool coarse) {
    BandDecay band;
    band.band = band_at(BandWidth::third, third);
    if (one_in(bits, 5)) {
        band.t20_s = Measured::none(one_in(bits, 2) ? Empty::noise : Empty::filter);
        if (band.t20_s.empty == Empty::filter)
            band.at_most_s = 0.3;
        return band;
    }
    // Coarse values coincide often: no scatter at all.
    const double value = 0.2 + 0.1 * static_cast<double>(bits() % (coarse ? 2 : 1000)) / (coarse ? 1 : 100);
    band.t20_s = Measured::of(value);
    if (one_in(bits, 3)) {
        band.t20_s.low = value * 0.9;
        band.t20_s.high = value * 1.1;
    }
    return band;
}

std::vector<ResponseDecay> odd_state(Bits& bits, std::size_t positions, int bands, bool coarse) {
    std::vector<ResponseDecay> state(positions);
    for (ResponseDecay& response : state)
        for (int third = -15; third < -15 + bands; ++third)
            response.bands.push_back(odd_band(bits, third, coarse));
    return state;
}

void check_number(const std::optional<double>& value) {
    if (value)
        CHECK(std::isfinite(*value));
}

void check_interval(const Measured& m) {
    CHECK(m.value.has_value() != m.empty.has_value());
    check_number(m.value);
    check_number(m.low);
    check_number(m.high);
    if (m.low && m.high) {
        CHECK(*m.low <= *m.value);
        CHECK(*m.value <= *m.high);
    }
}

} // namespace

TEST_CASE("whatever is missing, every number is one, has its reason or stands within its interval") {
    Bits bits(1);
    for (int round = 0; round < 400; ++round) {
        const std::size_t positions = 1 + bits() % 5;
        const int bands = 1 + static_cast<int>(bits() % 12);
        const bool coarse = one_in(bits, 2);
        const auto before = odd_state(bits, positions, bands, coarse);
        CompareOptions options;
        options.paired = !one_in(bits, 4);
        const auto after = odd_state(bits, options.paired ? positions : 1 + bits() % 5, bands, coarse);
        if (one_in(bits, 2))
            options.returns = {{before[0], odd_state(bits, 1, bands, coarse)[0]}};
        if (one_in(bits, 3))
            options.listening.assign(positions, one_in(bits, 2));
        if (one_in(bits, 2))
            options.question = Question{};
        if (one_in(bits, 2))
            options.acceptance = AcceptanceRule{20};
        if (one_in(bits, 2))
            options.before_conditions = options.after_conditions = VisitConditions{};
        options.volume_m3 = 40;
        options.prediction =
            Prediction{{{40, {0.3, 0.25, 0.35, {}}, {}, {}}, {63, {}, Measured::of(2), {}}}, {}, true};
        const Comparison found = compare(before, after, options);
        for (const BandFinding& band : found.bands) {
            check_interval(band.change_percent);
            check_interval(band.general_percent);
            if (band.added_area_m2)
                check_interval(band.added_area_m2);
            check_number(band.could_show_percent);
            check_number(band.change_at_most_percent);
            check_number(band.before_s);
            check_number(band.after_s);
        }
        if (found.question) {
            check_interval(found.question->change_percent);
            check_interval(found.question->general_percent);
        }
    }
}
