// SPDX-License-Identifier: GPL-3.0-or-later
#include "forecast/wall_fit.hpp"
#include "relative.hpp"
#include "room/modes.hpp"

#include <numbers>

using namespace ebbmark;

namespace {

std::vector<WallEquation> equations_for(const Box& box, const std::array<double, 3>& walls) {
    std::vector<WallEquation> equations;
    for (const RoomMode& mode : room_modes(box, 343, 110)) {
        WallEquation equation = wall_equation(box, 343, mode.order);
        equation.hz = mode.hz;
        for (std::size_t axis = 0; axis < 3; ++axis)
            equation.damping_per_s += equation.per_axis[axis] * walls[axis];
        equations.push_back(equation);
    }
    return equations;
}

} // namespace

TEST_CASE("the damping of walls is the table's first-order value") {
    // Source: independent, first-order table of a 5 x 4 x 2.5 m room, six walls of 0.01, modes 100 and 111.
    const Box box{{5, 4, 2.5}};
    const auto damping = [&](const std::array<int, 3>& order) {
        const auto a = wall_equation(box, 343, order).per_axis;
        return 0.01 * (a[0] + a[1] + a[2]);
    };
    CHECK(damping({1, 0, 0}) == relative(3.60150).epsilon(1e-5));
    CHECK(damping({1, 1, 1}) == relative(5.83100).epsilon(1e-5));
}

TEST_CASE("walls of each pair are found again from the modes' damping") {
    const WallFit fit(equations_for({{5, 4, 2.6}}, {0.01, 0.02, 0.04}));
    CHECK(fit.admittance(0, 63) == relative(0.01).epsilon(0.1));
    CHECK(fit.admittance(1, 63) == relative(0.02).epsilon(0.1));
    CHECK(fit.admittance(2, 63) == relative(0.04).epsilon(0.1));
}

TEST_CASE("one equation gives equal walls, none of them negative") {
    const Box box{{5, 4, 2.6}};
    WallEquation only = wall_equation(box, 343, {1, 0, 0});
    only.hz = 40, only.damping_per_s = 5;
    const WallFit fit({only});
    for (std::size_t axis = 0; axis < 3; ++axis)
        for (const double hz : {20.0, 63.0, 200.0})
            CHECK(fit.admittance(axis, hz) ==
                  relative(5 / (343 * (2 / 5.0 + 1 / 4.0 + 1 / 2.6))).epsilon(0.02));
}
