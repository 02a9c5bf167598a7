// SPDX-License-Identifier: GPL-3.0-or-later
#include "room/layers.hpp"
#include "room/modal_field.hpp"
#include "room/modes.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

using namespace ebbmark;
using doctest::Approx;
using Complex = std::complex<double>;

namespace {

DampedRoom rigid(const Box& box) {
    return {box, 343, [](Wall, double) { return 0.0; }, [](double) { return 0.0; }, {}};
}

AbsorbingFace face(const WallRectangle& rectangle, Complex admittance) {
    return {rectangle, [=](Complex) { return admittance; }};
}

double damping_per_s(const DampedMode& mode) {
    return 3 * std::numbers::ln10 / mode.decay_s;
}

DampedMode of(const std::vector<DampedMode>& modes, const std::array<int, 3>& order) {
    const auto found =
        std::find_if(modes.begin(), modes.end(), [&](const DampedMode& mode) { return mode.order == order; });
    REQUIRE(found != modes.end());
    return *found;
}

} // namespace

TEST_CASE("uniform walls damp each mode as the exact solution says") {
    // Source: independent. Separable transcendental equation solved exactly; 5 x 4 x 2.5 m, c = 343 m/s.
    DampedRoom room = rigid({{5, 4, 2.5}});
    room.wall_admittance = [](Wall, double) { return 0.01; };
    const ModalField field(room, 100);
    const auto modes = field.damped_modes(100);
    const std::pair<std::array<int, 3>, double> exact[] = {{{1, 0, 0}, 3.60186},
                                                           {{0, 1, 0}, 3.77336},
                                                           {{0, 0, 1}, 4.28783},
                                                           {{1, 1, 0}, 4.45945},
                                                           {{1, 1, 1}, 5.83156}};
    for (const auto& [order, damping] : exact)
        CHECK(damping_per_s(of(modes, order)) == Approx(damping).epsilon(0.0002));
    // Source: closed form. An oblique mode decays as Sabine's formula says with alpha = 8 β.
    CHECK(of(modes, {1, 1, 1}).decay_s == Approx(1.1845).epsilon(0.0002));
}

TEST_CASE("a whole wall of any complex admittance: the modes of the exact solution") {
    // Source: independent. Exact separable solution; first order is off by 8 % to a factor of 2 here.
    struct Row {
        Complex admittance;
        std::array<int, 3> order;
        double hz, damping;
    };
    const Row rows[] = {
        {0.05, {1, 0, 0}, 34.3000, 3.43286},        {0.05, {0, 1, 0}, 42.8920, 1.71054},
        {0.2, {1, 0, 0}, 34.3000, 13.90745},        {0.2, {0, 0, 1}, 69.0196, 5.98056},
        {{0.2, 0.3}, {1, 0, 0}, 31.0041, 12.69063}, {{0.2, 0.3}, {0, 1, 0}, 40.9091, 13.70155}};
    for (const Row& row : rows) {
        DampedRoom room = rigid({{5, 4, 2.5}});
        room.faces = {face({Wall::front, {0, 0}, {4, 2.5}}, row.admittance)};
        const auto mode = of(ModalField(room, 120).damped_modes(80), row.order);
        INFO(row.admittance.real(), " ", row.admittance.imag(), "j ", row.hz, " Hz");
        CHECK(mode.hz == Approx(row.hz).epsilon(0.01));
        CHECK(damping_per_s(mode) == Approx(row.damping).epsilon(0.03));
    }
}

TEST_CASE("a patch with a trap-like admittance: finite differences, where first order falls short") {
    // Source: independent. 2-D finite differences, 4 x 3 m, patch on the wall x = 0, own error 1 %. The third
    // dimension is so thin that nothing varies along it.
    struct Row {
        std::array<int, 3> order;
        Complex admittance;
        double from_m, to_m, shift_hz, first_shift_hz, damping, first_damping;
    };
    const Row rows[] = {{{1, 0, 0}, {0.02, 0.15}, 0, 0.6, -0.4432, -0.4094, 0.40107, 0.34300},
                        {{1, 0, 0}, {0.13, 0.35}, 0, 0.6, -1.1197, -0.9553, 3.19641, 2.22950},
                        {{1, 0, 0}, {0.13, 0.35}, 0, 1.0, -1.8851, -1.5922, 5.34777, 3.71583},
                        {{1, 0, 0}, {0.30, 0.48}, 0, 0.6, -1.5030, -1.3102, 8.34416, 5.14500},
                        {{0, 1, 0}, {0.13, 0.35}, 0, 0.6, -0.9855, -0.8392, 2.77549, 1.95842},
                        {{1, 1, 0}, {0.13, 0.35}, 0, 0.6, -1.8847, -1.6783, 4.88359, 3.91685},
                        {{1, 0, 0}, 0.02, 0, 1, 0, 0, 0.57157, 0.57167},
                        {{1, 0, 0}, 0.3, 0, 0.6, 0, 0, 5.05374, 5.14500},
                        {{0, 1, 0}, 0.1, 1, 2, 0, 0, 0.24694, 0.24726},
                        {{2, 1, 0}, 0.1, 0, 1, 0, 0, 4.04858, 4.04024}};
    for (const Row& row : rows) {
        DampedRoom room = rigid({{4, 3, 0.01}});
        room.faces = {face({Wall::front, {row.from_m, 0}, {row.to_m, 0.01}}, row.admittance)};
        const ModalField field(room, 250);
        const auto mode = of(field.damped_modes(110), row.order);
        const double rigid_hz = mode_hz(room.box, row.order, 343);
        const auto first = field.first_order(row.order);
        INFO(row.order[0], row.order[1], " ", row.admittance.real(), " ", row.admittance.imag(), "j");
        CHECK(damping_per_s(first) == Approx(row.first_damping).epsilon(0.001));
        CHECK(damping_per_s(mode) == Approx(row.damping).epsilon(0.02));
        if (row.shift_hz != 0) {
            CHECK(first.hz - rigid_hz == Approx(row.first_shift_hz).epsilon(0.001));
            CHECK(mode.hz - rigid_hz == Approx(row.shift_hz).epsilon(0.02));
        }
    }
}

TEST_CASE("the pressure in a duct with an absorbing end is that of the plane-wave solution") {
    // Source: closed form. Duct of length L, admittance β at x = 0, rigid at L, thin enough for plane waves:
    // p = 4π/S · (cos kx< + jβ sin kx<) cos k(L − x>) / (k (jβ cos kL − sin kL)).
    const double length = 4, side = 0.05, source = 1.3, microphone = 2.9;
    const Complex beta{0.25, 0.4}, j{0, 1};
    DampedRoom room = rigid({{length, side, side}});
    room.faces = {face({Wall::front, {0, 0}, {side, side}}, beta)};
    ModalField field(room, 300);
    const std::vector<Complex> hz = {{20, 0}, {43, 0}, {90, -0.7}, {150, 0}, {240, -0.7}};
    field.prepare(hz);
    const auto pressures = field.transfer({source, 0.02, 0.02}, {microphone, 0.03, 0.01});
    for (std::size_t i = 0; i < hz.size(); ++i) {
        const Complex k = 2 * std::numbers::pi * hz[i] / 343.0;
        const Complex expected = 4 * std::numbers::pi / (side * side) *
                                 (std::cos(k * source) + j * beta * std::sin(k * source)) *
                                 std::cos(k * (length - microphone)) /
                                 (k * (j * beta * std::cos(k * length) - std::sin(k * length)));
        INFO(hz[i].real(), " Hz");
        // Truncation of the modes at five times the top frequency: 1 to 2 % of the modulus.
        CHECK(std::abs(pressures[i] - expected) < 0.02 * std::abs(expected));
    }
}

TEST_CASE("source and microphone may change places") {
    // Source: property, reciprocity.
    DampedRoom room = rigid({{3.1, 2.3, 2.2}});
    room.wall_admittance = [](Wall, double) { return 0.01; };
    const std::vector<Layer> layers = {{LayerKind::porous, 0.15, 8000, 0}};
    room.faces = {{{Wall::left, {0.5, 0.2}, {1.7, 2}}, [&](Complex hz) {
                       return surface_admittance(layers, hz, {343, 1.205});
                   }}};
    ModalField field(room, 120);
    const std::vector<Complex> hz = {{30, 0}, {71, 0}, {110, 0}};
    field.prepare(hz);
    const Point a{0.4, 0.6, 1.1}, b{2.2, 1.9, 1.4};
    const auto there = field.transfer(a, b), back = field.transfer(b, a);
    for (std::size_t i = 0; i < hz.size(); ++i)
        CHECK(std::abs(there[i] - back[i]) < 1e-9 * std::abs(there[i]));
}
