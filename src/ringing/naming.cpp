// SPDX-License-Identifier: GPL-3.0-or-later
#include "ringing/naming.hpp"

#include "base/bands.hpp"
#include "ringing/assurance.hpp"

#include <Eigen/Core>
#include <Eigen/LU>
#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>

namespace ebbmark {

namespace {

using Orders = std::array<int, 3>;

constexpr double first_tolerance = 0.035, later_tolerance = 0.008;
// A rival counts up to this many tolerances away. Chosen with the others on tuning scenes: one wrong name in
// a hundred.
constexpr double rival_reach = 1.6;
constexpr double rival_widths = 0.6;
constexpr double same_shape = 0.95, other_shape = 0.6;

struct Expected {
    Orders orders{};
    double hz = 0;
};

/// By which factor parts of the room move the box's mode; 0 where no mode is like it.
double moved(const ExpectedRoom& room, const Orders& orders) {
    if (room.over_box.empty())
        return 1;
    const auto found = room.over_box.find(orders);
    return found == room.over_box.end() ? 0 : found->second;
}

/// Orders of all modes that can matter up to `to_hz`, for axes up to the tolerance lower than thought.
std::vector<Expected> expected_modes(const ExpectedRoom& room, const std::array<double, 3>& axis_hz,
                                     double to_hz) {
    std::vector<Expected> modes;
    constexpr double farthest = 1.25; // a part moves a mode by less
    const double reach_hz = room.over_box.empty() ? to_hz : farthest * to_hz;
    const auto most = [&](std::size_t axis) { return static_cast<int>(reach_hz / axis_hz[axis]); };
    for (int x = 0; x <= most(0); ++x)
        for (int y = 0; y <= most(1); ++y)
            for (int z = 0; z <= most(2); ++z) {
                const double of_box = std::hypot(x * axis_hz[0], y * axis_hz[1], z * axis_hz[2]);
                const double hz = of_box * moved(room, {x, y, z});
                if (hz > 0 && hz <= to_hz)
                    modes.push_back({{x, y, z}, hz});
            }
    return modes;
}

/// Axes that explain the named modes: (hz)² = Σ (n axis)², least squares on relative errors, drawn to
/// `axis_hz` with the tolerance as deviation.
std::array<double, 3> fitted_axes(const Ringing& ringing, const ExpectedRoom& room) {
    const std::array<double, 3>& axis_hz = room.axis_hz;
    Eigen::Matrix3d normal = Eigen::Matrix3d::Zero();
    Eigen::Vector3d right = Eigen::Vector3d::Zero();
    const auto add = [&](const Eigen::Vector3d& row, double weight) {
        normal += weight * row * row.transpose();
        right += weight * row;
    };
    for (std::size_t i = 0; i < 3; ++i) {
        Eigen::Vector3d row = Eigen::Vector3d::Zero();
        row(static_cast<Eigen::Index>(i)) = 1 / (axis_hz[i] * axis_hz[i]);
        add(row, 1 / (first_tolerance * first_tolerance));
    }
    for (const MeasuredMode& mode : ringing.modes)
        if (mode.room_mode) {
            const Orders& n = *mode.room_mode;
            const double of_box = *mode.hz / moved(room, n), square = of_box * of_box;
            add(Eigen::Vector3d(n[0] * n[0], n[1] * n[1], n[2] * n[2]) / square,
                1 / (later_tolerance * later_tolerance));
        }
    const Eigen::Vector3d squares = normal.inverse() * right;
    return {std::sqrt(squares(0)), std::sqrt(squares(1)), std::sqrt(squares(2))};
}

/// Whether shape tells `mode` to be these orders: 1 yes, −1 no, 0 cannot tell.
int by_shape(const MeasuredMode& mode, const Orders& orders, const ExpectedRoom& room) {
    if (!room.shape || mode.amplitude.size() < 3)
        return 0;
    const auto shape = room.shape(orders);
    std::vector<std::complex<double>> at_direct_sound(shape.begin(), shape.end());
    const std::complex<double> exponent(-3 * std::numbers::ln10 / *mode.t60_s,
                                        2 * std::numbers::pi * *mode.hz);
    for (std::size_t p = 0; p < room.travel_s.size(); ++p)
        at_direct_sound[p] *= std::exp(exponent * room.travel_s[p]);
    const double assurance = modal_assurance(mode.amplitude, at_direct_sound);
    return assurance >= same_shape ? 1 : assurance < other_shape ? -1 : 0;
}

/// The only one of `rivals` that can be it; none where several can.
template <class Fits>
std::ptrdiff_t only_one(std::size_t count, const Fits& fits) {
    std::ptrdiff_t found = -1, sure = -1;
    int possible = 0, certain = 0;
    for (std::size_t i = 0; i < count; ++i) {
        const int verdict = fits(i);
        if (verdict < 0)
            continue;
        found = static_cast<std::ptrdiff_t>(i);
        ++possible;
        if (verdict > 0) {
            sure = found;
            ++certain;
        }
    }
    // By shape only where every rival is ruled out by shape: one that merely fits worse may still be the one.
    return possible == 1 ? found : certain == 1 && possible == certain ? sure : -1;
}

void name_once(Ringing& ringing, const std::vector<Expected>& expected, double tolerance,
               const ExpectedRoom& room) {
    const auto fits = [&](const MeasuredMode& mode, const Expected& candidate) {
        // Within a resonance's width a mode may have taken over its neighbour's place.
        const double reach = std::max(rival_reach * tolerance, rival_widths / mode.q());
        if (std::abs(*mode.hz / candidate.hz - 1) > reach)
            return -1;
        return by_shape(mode, candidate.orders, room);
    };
    for (MeasuredMode& mode : ringing.modes) {
        mode.room_mode.reset();
        const auto candidate =
            only_one(expected.size(), [&](std::size_t i) { return fits(mode, expected[i]); });
        if (candidate < 0)
            continue;
        const Expected& one = expected[static_cast<std::size_t>(candidate)];
        if (std::abs(*mode.hz / one.hz - 1) > tolerance)
            continue;
        const auto back =
            only_one(ringing.modes.size(), [&](std::size_t i) { return fits(ringing.modes[i], one); });
        if (back >= 0 && &ringing.modes[static_cast<std::size_t>(back)] == &mode)
            mode.room_mode = one.orders;
    }
}

} // namespace

void name_modes(Ringing& ringing, const ExpectedRoom& room) {
    if (ringing.modes.empty())
        return;
    const double top = *ringing.modes.back().hz * (1 + 2 * first_tolerance);
    name_once(ringing, expected_modes(room, room.axis_hz, top), first_tolerance, room);
    // Each round knows the axes better than the one before; three rounds change no name any more.
    for (int round = 0; round < 3; ++round) {
        int named[3] = {0, 0, 0};
        for (const MeasuredMode& mode : ringing.modes)
            if (mode.room_mode)
                for (std::size_t i = 0; i < 3; ++i)
                    named[i] += (*mode.room_mode)[i] > 0;
        // An axis that no named mode tells of is known no better than before.
        const bool all_known = named[0] > 0 && named[1] > 0 && named[2] > 0;
        const auto axes = fitted_axes(ringing, room);
        name_once(ringing, expected_modes(room, axes, top), all_known ? later_tolerance : first_tolerance,
                  room);
    }
}

std::vector<ModeCount> count_modes(const Ringing& ringing, const ExpectedRoom& room, double from_hz,
                                   double to_hz) {
    std::vector<ModeCount> counts;
    for (const Band& band : bands_between(BandWidth::third, from_hz, to_hz)) {
        ModeCount count{band.nominal_hz, band.lower_hz, band.upper_hz, 0, 0};
        const auto inside = [&](double hz) { return hz >= count.from_hz && hz < count.to_hz; };
        for (const Expected& mode : expected_modes(room, room.axis_hz, band.upper_hz))
            count.expected += inside(mode.hz);
        for (const MeasuredMode& mode : ringing.modes)
            count.found += inside(*mode.hz);
        counts.push_back(count);
    }
    return counts;
}

} // namespace ebbmark
