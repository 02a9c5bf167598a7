// SPDX-License-Identifier: GPL-3.0-or-later
#include "relative.hpp"
#include "ringing/assurance.hpp"
#include "ringing/naming.hpp"
#include "room/modes.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <complex>
#include <numbers>
#include <numeric>

using namespace ebbmark;

namespace {

ExpectedRoom room_of(double x, double y, double z, double speed) {
    return {{speed / (2 * x), speed / (2 * y), speed / (2 * z)}, {}, {}};
}

MeasuredMode mode_at(double hz) {
    MeasuredMode mode;
    mode.hz = Measured::of(hz);
    mode.t60_s = Measured::of(0.5);
    return mode;
}

} // namespace

TEST_CASE("well separated modes get their names, also where walls give way by 2 %") {
    const Box box{{4.1, 3.3, 2.6}};
    Ringing ringing;
    std::vector<std::array<int, 3>> truth;
    for (const RoomMode& mode : room_modes(box, 343, 80)) {
        ringing.modes.push_back(mode_at(mode.hz * 0.98));
        truth.push_back(mode.order);
    }
    REQUIRE(ringing.modes.size() == 5);
    name_modes(ringing, room_of(4.1, 3.3, 2.6, 343));
    int named = 0;
    for (std::size_t k = 0; k < truth.size(); ++k)
        if (ringing.modes[k].room_mode) {
            ++named;
            CHECK(*ringing.modes[k].room_mode == truth[k]);
        }
    CHECK(named == 3); // (0 0 1) and (1 1 0) lie 1.1 % apart: either may be either
}

TEST_CASE("responses that count from the direct sound have turned with its travel") {
    // Source: closed form. A mode at 52 Hz turns by 94 degrees in 5 ms: without that its shape is another.
    ExpectedRoom room = room_of(4.1, 3.3, 2.6, 343);
    room.shape = [](const std::array<int, 3>& orders) {
        return orders[1] == 1 ? std::vector<double>{1, 1, -1} : std::vector<double>{1, -1, 0.1};
    };
    const std::vector<double> travel_s = {0.003, 0.008, 0.013};
    Ringing ringing;
    ringing.modes.push_back(mode_at(52));
    const std::complex<double> exponent(-3 * std::numbers::ln10 / 0.5, 2 * std::numbers::pi * 52);
    for (std::size_t p = 0; p < 3; ++p)
        ringing.modes[0].amplitude.push_back(room.shape({0, 1, 0})[p] * std::exp(exponent * travel_s[p]));
    name_modes(ringing, room);
    CHECK_FALSE(ringing.modes[0].room_mode);
    room.travel_s = travel_s;
    name_modes(ringing, room);
    CHECK(ringing.modes[0].room_mode == std::array<int, 3>{0, 1, 0});
}

TEST_CASE("a nearly cubic room's lowest modes stay unnamed: frequency alone cannot tell them") {
    Ringing ringing;
    for (const double hz : {52.0, 53.6, 55.3})
        ringing.modes.push_back(mode_at(hz));
    name_modes(ringing, room_of(3.3, 3.2, 3.1, 343.2));
    for (const MeasuredMode& mode : ringing.modes)
        CHECK_FALSE(mode.room_mode);
}

TEST_CASE("where places are known, shape names what frequency cannot") {
    const Box box{{3.3, 3.2, 3.1}};
    const Point source = {0.2, 0.3, 0.25};
    const std::vector<Point> microphones = {
        {1.1, 2.3, 1.7}, {0.7, 0.9, 1.2}, {2.6, 2.2, 2.4}, {2.2, 0.8, 0.4}, {2.9, 2.7, 1.6}};
    ExpectedRoom room = room_of(3.3, 3.2, 3.1, 343.2);
    room.shape = [&](const std::array<int, 3>& orders) {
        std::vector<double> shape;
        for (const Point& microphone : microphones)
            shape.push_back(mode_shape(box, orders, source) * mode_shape(box, orders, microphone));
        return shape;
    };
    Ringing ringing;
    const std::vector<std::array<int, 3>> truth = {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
    const double hz[3] = {52.2, 53.3, 55.5};
    for (std::size_t k = 0; k < 3; ++k) {
        ringing.modes.push_back(mode_at(hz[k]));
        for (const double value : room.shape(truth[k]))
            ringing.modes[k].amplitude.push_back(std::complex<double>(0, -value));
    }
    name_modes(ringing, room);
    for (std::size_t k = 0; k < 3; ++k)
        CHECK(ringing.modes[k].room_mode == truth[k]);
}

TEST_CASE("expected modes are counted as the textbook counts them") {
    // Source: published, M. Long, Architectural Acoustics, 2nd ed., section 8.4: room 7 × 5 × 3 m, c = 344
    // m/s, 128 modes below 200 Hz (thirds from 22.4 Hz to 177.8 Hz hold all but the last of them).
    const ExpectedRoom room = room_of(7, 5, 3, 344);
    int all = 0;
    for (const ModeCount& count : count_modes({}, room, 20, 160))
        all += count.expected;
    const auto below = room_modes(Box{{7, 5, 3}}, 344, 177.827941);
    CHECK(all == static_cast<int>(below.size()));
    CHECK(room_modes(Box{{7, 5, 3}}, 344, 200).size() == 128);
}

TEST_CASE("modal assurance is 1 for one shape in any phase and 0 for orthogonal ones") {
    // Source: closed form.
    const std::complex<double> j(0, 1);
    CHECK(modal_assurance({1, 2, -1}, {j, 2.0 * j, -j}) == relative(1));
    CHECK(modal_assurance({1, 1}, {1, -1}) == 0);
    CHECK(modal_assurance({1, 0}, {1, 1}) == relative(0.5));
    CHECK(modal_assurance({0, 0}, {1, 1}) == 0);
}
