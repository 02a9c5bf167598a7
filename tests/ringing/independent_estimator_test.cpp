// SPDX-License-Identifier: GPL-3.0-or-later
// Against an independent estimator on stored responses. Source: independent, data/joint_modes.py (NumPy 1.24,
// SciPy 1.10): separable least squares in the time domain over all positions.
#include "relative.hpp"
#include "ringing/ringing.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <fstream>
#include <sstream>
#include <string>

using namespace ebbmark;

namespace {

std::vector<double> numbers(const std::string& line) {
    std::vector<double> made;
    std::stringstream text(line);
    for (std::string cell; std::getline(text, cell, ',');)
        made.push_back(std::stod(cell));
    return made;
}

} // namespace

TEST_CASE("another library's joint fit of the same responses gives the same modes and deviations") {
    std::ifstream file("tests/ringing/data/joint_modes.csv");
    REQUIRE(file);
    std::vector<std::vector<double>> estimates;
    std::vector<Signal> responses(3, Signal{{}, 400});
    for (std::string line; std::getline(file, line);) {
        if (line.starts_with('#'))
            continue;
        const auto row = numbers(line);
        if (row.size() == 4)
            estimates.push_back(row);
        else
            for (std::size_t p = 0; p < 3; ++p)
                responses[p].samples.push_back(row.at(p));
    }
    REQUIRE(estimates.size() == 4);
    REQUIRE(responses[0].size() == 600);
    const Ringing found = measure_ringing(responses, {25, 90});
    REQUIRE(found.modes.size() == 4);
    for (std::size_t k = 0; k < 4; ++k) {
        const MeasuredMode& mode = found.modes[k];
        // Both come near the best fit to the same noise. Ours also takes the air's drift between the
        // positions as unknown, which costs frequency more than decay: there its own interval is the measure.
        CAPTURE(k);
        CHECK(estimates[k][0] > *mode.hz.low);
        CHECK(estimates[k][0] < *mode.hz.high);
        CHECK(*mode.hz == relative(estimates[k][0]).epsilon(0.0006));
        CHECK(std::abs(std::log(*mode.t60_s / estimates[k][2])) < 1.0 * estimates[k][3]);
        // Ours also allows for hidden modes: wider, but not beyond what that can be.
        CHECK(mode.t60_deviation > 0.9 * estimates[k][3]);
        CHECK(mode.t60_deviation < 4 * estimates[k][3]);
    }
}
