// SPDX-License-Identifier: GPL-3.0-or-later
#include "room/shaped_room.hpp"

#include "room/cavity_model.hpp"
#include "room/modes.hpp"

#include <algorithm>
#include <cmath>

namespace ebbmark {

namespace {

using Complex = std::complex<double>;

/// What lies between the box and the bounds of all recesses.
void fill_outside(CavityShape& shape, const RoomShape& room, const std::array<Point, 2>& bounds) {
    for (std::size_t axis = 0; axis < 3; ++axis)
        for (const bool far : {false, true}) {
            CavityPart part{bounds[0], bounds[1], no_fluid};
            if (far)
                part.from_m[axis] = room.box.edges_m[axis];
            else
                part.to_m[axis] = 0;
            if (part.to_m[axis] > part.from_m[axis])
                shape.parts.push_back(part);
        }
}

} // namespace

CavityShape cavity_of(const RoomShape& room) {
    CavityShape shape;
    const auto bounds = room.bounds_m();
    shape.from_m = bounds[0];
    for (std::size_t axis = 0; axis < 3; ++axis)
        shape.box.edges_m[axis] = bounds[1][axis] - bounds[0][axis];
    fill_outside(shape, room, bounds);
    for (const RoomPart::Kind kind : {RoomPart::Kind::recess, RoomPart::Kind::solid})
        for (const RoomPart& part : room.parts)
            if (part.kind == kind)
                shape.parts.push_back({part.from_m, part.to_m, kind == RoomPart::Kind::solid ? no_fluid : 0});
    return shape;
}

double likeness(std::span<const Complex> p, std::span<const Complex> q) {
    Complex product = 0;
    double p2 = 0, q2 = 0;
    for (std::size_t i = 0; i < p.size(); ++i)
        product += std::conj(p[i]) * q[i], p2 += std::norm(p[i]), q2 += std::norm(q[i]);
    return p2 > 0 && q2 > 0 ? std::norm(product) / (p2 * q2) : 0;
}

std::vector<Point> places_in(const RoomShape& room) {
    constexpr int count = 500;
    std::vector<Point> places;
    for (int i = 1; i <= count; ++i) {
        Point place{};
        for (std::size_t axis = 0; axis < 3; ++axis) {
            const int base = std::array{2, 3, 5}[axis];
            double part = 1;
            for (int rest = i; rest > 0; rest /= base)
                place[axis] += (part /= base) * (rest % base);
            place[axis] *= room.box.edges_m[axis];
        }
        if (room.holds(place))
            places.push_back(place);
    }
    return places;
}

std::map<std::array<int, 3>, ShapedMode> shaped_modes(const RoomShape& room, const Medium& air, double to_hz,
                                                      std::span<const Point> places) {
    CavityMedia media;
    media.air = air;
    const CavityModel model(cavity_of(room), media, {to_hz, 0, 0});
    const auto everywhere = places_in(room);
    const auto shapes = model.pressures(everywhere), wanted = model.pressures(places);
    // Of two modes that are most like the same one the one that is more so has its name.
    std::map<std::array<int, 3>, std::pair<double, ShapedMode>> best;
    const auto rigid = room_modes(room.box, air.speed_of_sound, 1.25 * to_hz);
    std::vector<std::vector<Complex>> known;
    for (const RoomMode& mode : rigid) {
        known.emplace_back();
        for (const Point& place : everywhere)
            known.back().emplace_back(mode_shape(room.box, mode.order, place));
    }
    for (std::size_t m = 0; m < shapes.size(); ++m) {
        double most = least_overlap;
        std::size_t own = rigid.size();
        for (std::size_t k = 0; k < rigid.size(); ++k)
            if (const double alike = likeness(shapes[m], known[k]); alike > most)
                most = alike, own = k;
        if (own == rigid.size())
            continue;
        auto& [likest, mode] = best[rigid[own].order];
        if (most <= likest)
            continue;
        likest = most;
        mode = {model.modes()[m].hz.real(), {}};
        for (const Complex p : wanted[m])
            mode.pressure.push_back(p.real());
    }
    std::map<std::array<int, 3>, ShapedMode> result;
    for (auto& [order, found] : best)
        result[order] = std::move(found.second);
    return result;
}

} // namespace ebbmark
