// SPDX-License-Identifier: GPL-3.0-or-later
#include "room/modes.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <tuple>

namespace ebbmark {

using std::numbers::pi;

ModeKind RoomMode::kind() const {
    const auto moving = std::count_if(order.begin(), order.end(), [](int n) { return n != 0; });
    return moving <= 1 ? ModeKind::axial : moving == 2 ? ModeKind::tangential : ModeKind::oblique;
}

double mode_hz(const Box& box, const std::array<int, 3>& order, double speed_of_sound) {
    double sum = 0;
    for (std::size_t axis = 0; axis < 3; ++axis)
        sum += std::pow(order[axis] / box.edges_m[axis], 2);
    return speed_of_sound / 2 * std::sqrt(sum);
}

std::vector<RoomMode> room_modes(const Box& box, double speed_of_sound, double to_hz) {
    std::array<int, 3> most{};
    for (std::size_t axis = 0; axis < 3; ++axis)
        most[axis] = static_cast<int>(2 * to_hz / speed_of_sound * box.edges_m[axis] * (1 + 1e-12));
    std::vector<RoomMode> modes;
    for (int x = 0; x <= most[0]; ++x)
        for (int y = 0; y <= most[1]; ++y)
            for (int z = 0; z <= most[2]; ++z) {
                const double hz = mode_hz(box, {x, y, z}, speed_of_sound);
                if (hz > 0 && hz <= to_hz)
                    modes.push_back({{x, y, z}, hz});
            }
    std::sort(modes.begin(), modes.end(), [](const RoomMode& a, const RoomMode& b) {
        return std::tie(a.hz, a.order) < std::tie(b.hz, b.order);
    });
    return modes;
}

double mode_count(const Box& box, double speed_of_sound, double hz) {
    const double k = hz / speed_of_sound;
    return 4 * pi / 3 * box.volume_m3() * k * k * k + pi / 4 * box.surface_m2() * k * k +
           box.edge_length_m() / 8 * k;
}

double mode_density_per_hz(const Box& box, double speed_of_sound, double hz) {
    const double k = hz / speed_of_sound;
    return (4 * pi * box.volume_m3() * k * k + pi / 2 * box.surface_m2() * k + box.edge_length_m() / 8) /
           speed_of_sound;
}

double mode_shape(const Box& box, const std::array<int, 3>& order, const Point& point) {
    double shape = 1;
    for (std::size_t axis = 0; axis < 3; ++axis)
        shape *= std::cos(order[axis] * pi * point[axis] / box.edges_m[axis]);
    return shape;
}

double mode_weight(const std::array<int, 3>& order) {
    double weight = 1;
    for (const int n : order)
        weight *= n == 0 ? 1 : 2;
    return weight;
}

double schroeder_hz(double decay_s, double volume_m3) {
    return 2000 * std::sqrt(decay_s / volume_m3);
}

} // namespace ebbmark
