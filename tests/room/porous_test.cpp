// SPDX-License-Identifier: GPL-3.0-or-later
#include "relative.hpp"
#include "room/layers.hpp"
#include "room/porous.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <numbers>

using namespace ebbmark;

namespace {

using Complex = std::complex<double>;
constexpr Medium book_air{343, 1.205};

/// Source: published. J.-F. Allard, N. Atalla, 2nd ed., table 11.2, "soft fibrous".
Pores soft_fibrous() {
    return {25000, 0.98, 1.02, 90e-6, 180e-6, {}, {}};
}

Complex density(const EquivalentFluid& fluid) {
    return fluid.impedance * fluid.wave_number * book_air.density_kg_m3;
}

Complex bulk_modulus(const EquivalentFluid& fluid) {
    return fluid.impedance / fluid.wave_number * book_air.density_kg_m3 * 343.0 * 343.0;
}

} // namespace

TEST_CASE("a soft fibrous layer, impedance, wave number and absorption") {
    // Source: closed form, tabulated independently to the printed digits for the published parameters.
    const double rows[][6] = {{125, 3.24982, -2.97589, 4.25575, -4.23158, 0.1106},
                              {250, 2.40761, -2.03043, 3.00431, -2.95285, 0.3248},
                              {500, 1.85319, -1.36207, 2.13487, -1.99603, 0.6410},
                              {1000, 1.48760, -0.89700, 1.59326, -1.26288, 0.8776},
                              {2000, 1.25627, -0.55519, 1.31260, -0.74330, 0.9526}};
    for (const auto& row : rows) {
        CAPTURE(row[0]);
        const EquivalentFluid fluid = porous_fluid(row[0], soft_fibrous(), book_air);
        CHECK(std::abs(fluid.impedance - Complex(row[1], row[2])) < 8e-6);
        CHECK(std::abs(fluid.wave_number - Complex(row[3], row[4])) < 8e-6);
        Layer layer{LayerKind::porous, 0.05, 0, 0, soft_fibrous()};
        CHECK(std::abs(absorption_at({&layer, 1}, row[0], book_air) - row[5]) < 6e-5);
    }
}

TEST_CASE("the limits at low and high frequencies are those of the model") {
    // Source: published, Allard and Atalla ch. 5: jωρ tends to σ; K to P0/φ and to γ P0/φ.
    const Pores pores = soft_fibrous();
    const auto slow = porous_fluid(1e-3, pores, book_air), fast = porous_fluid(1e9, pores, book_air);
    const Complex drag = Complex(0, 2 * std::numbers::pi * 1e-3) * density(slow);
    CHECK(drag.real() == relative(25000).epsilon(1e-6));
    CHECK(bulk_modulus(slow).real() == relative(101325 / 0.98).epsilon(1e-5));
    CHECK(bulk_modulus(fast).real() == relative(1.4 * 101325 / 0.98).epsilon(1e-3));
}

TEST_CASE("a limp frame moves with the air at low frequencies") {
    Pores limp = soft_fibrous();
    limp.frame_density_kg_m3 = 30;
    // Source: published limit, frame 30 kg/m³ and the air in its pores: 31.181 kg/m³.
    CHECK(density(porous_fluid(1e-4, limp, book_air)).real() == relative(31.181).epsilon(1e-4));
    // A frame too heavy to move is a rigid one.
    limp.frame_density_kg_m3 = 1e9;
    const auto heavy = porous_fluid(100, limp, book_air), rigid = porous_fluid(100, soft_fibrous(), book_air);
    CHECK(std::abs(heavy.impedance - rigid.impedance) < 1e-5);
}

TEST_CASE("a frame decouples at its printed frequency") {
    // Source: published example: φ 0.94, σ 40 kPa s/m², 130 kg/m³: 43.27 Hz.
    CHECK(std::abs(decoupling_hz(0.94, 40000, 130) - 43.27) < 0.005);
}

TEST_CASE("Lafarge's form with the length's own permeability is that of Champoux and Allard") {
    Pores six = soft_fibrous();
    six.thermal_permeability_m2 = six.porosity * six.thermal_length_m * six.thermal_length_m / 8;
    CHECK(std::abs(porous_fluid(300, six, book_air).impedance -
                   porous_fluid(300, soft_fibrous(), book_air).impedance) < 1e-12);
}

TEST_CASE("materials are passive, and complex frequencies join on") {
    for (const double frame : {0.0, 8.0, 60.0})
        for (const double resistivity : {1000.0, 5000.0, 50000.0})
            for (double hz = 5; hz < 10000; hz *= 1.5) {
                Pores pores{resistivity, 0.98, 1.05, viscous_length_m(resistivity, 0.98, 1.05), 0, {}, {}};
                pores.thermal_length_m = 2 * pores.viscous_length_m;
                if (frame > 0)
                    pores.frame_density_kg_m3 = frame;
                const auto fluid = porous_fluid(hz, pores, book_air);
                CHECK(fluid.impedance.real() > 0);
                CHECK(fluid.wave_number.imag() <= 0);
                const auto beside = porous_fluid(Complex(hz, 1e-6 * hz), pores, book_air);
                CHECK(std::abs(beside.impedance - fluid.impedance) < 1e-4 * std::abs(fluid.impedance));
            }
}

TEST_CASE("a deep trap of loose wool and board, rigid and limp") {
    // Source: closed form, tabulated independently to three decimals: 150 mm of loose wool before 50 mm of
    // board.
    Pores loose{5000, 0.995, 1, 160e-6, 320e-6, {}, {}}, board{20000, 0.98, 1, 80e-6, 160e-6, {}, {}};
    const double rows[][3] = {{31.5, 0.094, 0.035}, {50, 0.209, 0.133},  {80, 0.406, 0.404},
                              {125, 0.636, 0.725},  {200, 0.837, 0.915}, {400, 0.970, 0.981}};
    for (const auto& row : rows) {
        CAPTURE(row[0]);
        for (const bool limp : {false, true}) {
            loose.frame_density_kg_m3 = limp ? std::optional(12.0) : std::nullopt;
            board.frame_density_kg_m3 = limp ? std::optional(48.0) : std::nullopt;
            const Layer layers[] = {{LayerKind::porous, 0.05, 0, 0, board},
                                    {LayerKind::porous, 0.15, 0, 0, loose}};
            CHECK(std::abs(absorption_at(layers, row[0], book_air) - row[limp ? 2 : 1]) < 6e-4);
        }
    }
}
