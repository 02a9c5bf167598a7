// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "relative.hpp"
#include "room/layers.hpp"

#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <numbers>

using namespace ebbmark;
using doctest::Approx;

namespace {

using Complex = std::complex<double>;
constexpr Medium book_air{343, 1.205};

Layer porous(double thickness_m, double flow_resistivity) {
    return {LayerKind::porous, thickness_m, flow_resistivity, 0};
}

Layer gap(double thickness_m) {
    return {LayerKind::air, thickness_m, 0, 0};
}

Layer cloth(double flow_resistance) {
    return {LayerKind::cloth, 0, 0, flow_resistance};
}

/// Normal-incidence absorption of one layer of any fluid on a rigid wall.
double on_wall(const EquivalentFluid& fluid, double thickness_m, double hz) {
    const Complex phase = 2 * std::numbers::pi * hz / 343 * fluid.wave_number * thickness_m;
    const Complex impedance = Complex(0, -1) * fluid.impedance / std::tan(phase);
    return 1 - std::norm((impedance - 1.0) / (impedance + 1.0));
}

} // namespace

TEST_CASE("the material models at their printed points") {
    // Source: independent. Point value of an open library's page-by-page test tables, eight digits.
    const auto old_model = delany_bazley(0.1 / 1.205 * 10000, 10000, 1.205);
    CHECK(old_model.impedance.real() == Approx(1.32406797).epsilon(1e-8));
    CHECK(old_model.impedance.imag() == Approx(-0.46937424).epsilon(1e-7));
    CHECK(old_model.wave_number.real() == Approx(1.49016111).epsilon(1e-8));
    CHECK(old_model.wave_number.imag() == Approx(-0.74380964).epsilon(1e-8));
    // Source: closed form, Miki with four-figure coefficients at f/σ = 0.1, evaluated independently.
    const auto model = miki(1000, 10000);
    CHECK(model.impedance.real() == Approx(1.29955542).epsilon(1e-8));
    CHECK(model.impedance.imag() == Approx(-0.45897547).epsilon(1e-7));
    CHECK(model.wave_number.real() == Approx(1.45354477).epsilon(1e-8));
    CHECK(model.wave_number.imag() == Approx(-0.66268161).epsilon(1e-8));
}

TEST_CASE("Delany-Bazley refuses the range where it turns unphysical") {
    CHECK_THROWS_WITH_AS(delany_bazley(63, 20000, 1.205), doctest::Contains("use the Miki model"), Error);
    CHECK_NOTHROW(delany_bazley(1000, 20000, 1.205));
}

TEST_CASE("normal-incidence absorption of one layer on a rigid wall") {
    // Source: closed form, tabulated independently to four decimals; ρ 1.205 kg/m³, c 343 m/s.
    constexpr std::array<double, 7> hz = {63, 125, 250, 500, 1000, 2000, 4000};
    struct Row {
        double thickness_m, flow_resistivity;
        std::array<double, 7> alpha;
    };
    const Row rows[] = {{0.025, 5000, {0.0092, 0.0239, 0.0551, 0.1177, 0.2526, 0.5384, 0.8110}},
                        {0.025, 40000, {0.0060, 0.0236, 0.0838, 0.2608, 0.6203, 0.9368, 0.9472}},
                        {0.05, 10000, {0.0200, 0.0644, 0.1903, 0.4840, 0.8828, 0.9814, 0.9711}},
                        {0.05, 20000, {0.0240, 0.0838, 0.2608, 0.6203, 0.9368, 0.9472, 0.9820}},
                        {0.1, 5000, {0.0652, 0.1903, 0.4840, 0.8828, 0.9814, 0.9711, 0.9999}},
                        {0.1, 20000, {0.1281, 0.3461, 0.6617, 0.8445, 0.8800, 0.9487, 0.9740}},
                        {0.2, 10000, {0.3495, 0.6617, 0.8445, 0.8800, 0.9487, 0.9740, 0.9886}},
                        {0.2, 40000, {0.2733, 0.3846, 0.5210, 0.6704, 0.7988, 0.8903, 0.9454}}};
    for (const Row& row : rows)
        for (std::size_t i = 0; i < hz.size(); ++i) {
            INFO(row.thickness_m, " m, ", row.flow_resistivity, " Pa s/m², ", hz[i], " Hz");
            const std::array layers = {porous(row.thickness_m, row.flow_resistivity)};
            CHECK(std::abs(absorption_at(layers, hz[i], book_air) - row.alpha[i]) < 6e-5);
        }
}

TEST_CASE("Delany-Bazley absorption inside its range") {
    // Source: closed form, tabulated independently: 50 mm, 10 kPa s/m², 125 Hz to 4 kHz where ρf/σ ≥ 0.01.
    const std::pair<double, double> rows[] = {{125, 0.0341},  {250, 0.1726},  {500, 0.4968},
                                              {1000, 0.8856}, {2000, 0.9862}, {4000, 0.9735}};
    for (const auto& [hz, alpha] : rows)
        CHECK(std::abs(on_wall(delany_bazley(hz, 10000, 1.205), 0.05, hz) - alpha) < 6e-5);
}

TEST_CASE("surface impedance of 50 mm at 10 kPa s/m²") {
    // Source: closed form, evaluated independently to four decimals.
    const std::array layers = {porous(0.05, 10000)};
    const std::pair<double, Complex> rows[] = {
        {250, {0.6470, -3.3000}}, {500, {0.5927, -1.5369}}, {1000, {0.6557, -0.4793}}};
    for (const auto& [hz, impedance] : rows)
        CHECK(std::abs(1.0 / surface_admittance(layers, hz, book_air) - impedance) < 1e-4);
}

TEST_CASE("a trap of loose wool in front of a board: normal, random, field incidence and admittance") {
    // Source: closed form, tabulated independently to three and four decimals: 50 mm board (20 kPa s/m²) on
    // the wall, 150 mm loose wool (5 kPa s/m²) in front.
    const std::array layers = {porous(0.05, 20000), porous(0.15, 5000)};
    const double rows[][6] = {
        {31.5, 0.085, 0.145, 0.139, 0.0226, 0.1509}, {40, 0.128, 0.207, 0.201, 0.0355, 0.1894},
        {50, 0.186, 0.280, 0.276, 0.0542, 0.2333},   {63, 0.267, 0.371, 0.370, 0.0841, 0.2876},
        {80, 0.376, 0.478, 0.481, 0.1324, 0.3526},   {100, 0.498, 0.583, 0.590, 0.2014, 0.4175},
        {125, 0.629, 0.684, 0.695, 0.3024, 0.4759},  {160, 0.767, 0.782, 0.797, 0.4547, 0.5065},
        {200, 0.866, 0.851, 0.868, 0.6082, 0.4707},  {250, 0.932, 0.899, 0.918, 0.7238, 0.3666},
        {315, 0.963, 0.929, 0.948, 0.7556, 0.2373},  {400, 0.964, 0.943, 0.962, 0.7140, 0.1579},
        {500, 0.952, 0.946, 0.964, 0.6684, 0.1577}};
    constexpr double field_rad = 78 * std::numbers::pi / 180;
    for (const auto& row : rows) {
        const auto& [hz, normal, random, field, beta_re, beta_im] = row;
        INFO(row[0], " Hz");
        CHECK(std::abs(absorption_at(layers, hz, book_air) - normal) < 6e-4);
        CHECK(std::abs(diffuse_absorption(layers, hz, book_air) - random) < 6e-4);
        CHECK(std::abs(diffuse_absorption(layers, hz, book_air, field_rad) - field) < 6e-4);
        CHECK(std::abs(surface_admittance(layers, hz, book_air) - Complex(beta_re, beta_im)) < 8e-5);
    }
}

TEST_CASE("scale rule: s times as thick, flow resistivity and frequency divided by s, is the same") {
    // Source: property; exact for one-parameter models.
    const double scale = 3.7;
    const std::array layers = {porous(0.04, 15000)}, scaled = {porous(0.04 * scale, 15000 / scale)};
    for (const double hz : {80.0, 300.0, 2000.0})
        CHECK(absorption_at(layers, hz, book_air) ==
              Approx(absorption_at(scaled, hz / scale, book_air)).epsilon(1e-12));
}

TEST_CASE("air absorbs nothing, nothing changes nothing, and the order of layers matters") {
    // Source: property.
    const std::array air = {gap(0.3)};
    const std::array wool = {porous(0.1, 8000)};
    const std::array padded = {gap(0), porous(0.1, 8000), cloth(0)};
    const std::array behind = {gap(0.1), porous(0.1, 8000)}, in_front = {porous(0.1, 8000), gap(0.1)};
    for (const double hz : {40.0, 125.0, 1000.0, 7000.0})
        for (const double angle : {0.0, 0.8, 1.5}) {
            CHECK(std::abs(absorption_at(air, hz, book_air, angle)) < 1e-12);
            const double alpha = absorption_at(wool, hz, book_air, angle);
            CHECK(alpha == Approx(absorption_at(padded, hz, book_air, angle)).epsilon(1e-12));
            CHECK(alpha > 0);
            CHECK(alpha < 1);
        }
    CHECK(diffuse_absorption(behind, 125, book_air) > diffuse_absorption(in_front, 125, book_air));
    CHECK(absorption_at(behind, 125, book_air) > 1.2 * absorption_at(in_front, 125, book_air));
    CHECK(surface_admittance({}, 100, book_air) == Complex(0));
}

TEST_CASE("a cloth of resistance ρc a quarter wave off the wall absorbs wholly") {
    // Source: closed form: Z = r − j ρc cot(kd), cot = 0.
    const double hz = 343 / (4 * 0.2);
    const std::array layers = {gap(0.2), cloth(1.205 * 343)};
    CHECK(absorption_at(layers, hz, book_air) == Approx(1).epsilon(1e-12));
}

TEST_CASE("random incidence on a locally reacting surface") {
    // Source: published maximum 0.951 at z = 1.567 (textbook); further points closed form = quadrature.
    CHECK(local_diffuse_absorption(1 / 1.567) == Approx(0.95122).epsilon(1e-5));
    CHECK(local_diffuse_absorption(1.0 / 3) == Approx(0.86881).epsilon(1e-5));
    CHECK(local_diffuse_absorption(0.1) == Approx(0.48906).epsilon(1e-5));
    CHECK(local_diffuse_absorption(1.0 / Complex(1, 1)) == Approx(0.78112).epsilon(1e-5));
    CHECK(local_diffuse_absorption(1.0 / Complex(2, -1)) == Approx(0.87045).epsilon(1e-5));
    CHECK(local_diffuse_absorption(1.0 / Complex(5, -5)) == Approx(0.47113).epsilon(1e-5));
}

TEST_CASE("the admittance of a wall gives back its absorption coefficient") {
    for (const double alpha : {0.0, 0.01, 0.29, 0.7, 0.95})
        CHECK(std::abs(local_diffuse_absorption(std::max(local_admittance(alpha), 1e-15)) - alpha) < 1e-9);
    CHECK(local_admittance(0.008) == Approx(0.001).epsilon(0.02)); // alpha = 8 β where β is small
    CHECK_THROWS_AS(local_admittance(1.1), Error);
    CHECK_THROWS_AS(local_admittance(-0.1), Error);
}

TEST_CASE("layers across a corner hold no more than the corner does") {
    // Source: closed form. Air alone, far longer waves: the stiffness of the triangle's mean depth, half of
    // it.
    const double depth = 0.3, hz = 5, k = 2 * std::numbers::pi * hz / 343;
    CHECK(corner_admittance({}, hz, {}, depth).imag() == relative(k * depth / 2).epsilon(1e-3));
    // The mean of tan over the depth.
    const double high = 2 * std::numbers::pi * 250 / 343;
    CHECK(corner_admittance({}, 250, {}, depth).imag() ==
          relative(-std::log(std::cos(high * depth)) / (high * depth)).epsilon(0.01));
    // Wool deeper than the corner fills it: what lies behind does not count.
    const Layer thick[] = {{LayerKind::air, 0.2, 0, 0}, {LayerKind::porous, 0.5, 8000, 0}};
    const Layer thin[] = {{LayerKind::porous, depth, 8000, 0}};
    const auto a = corner_admittance(thick, 80, {}, depth), b = corner_admittance(thin, 80, {}, depth);
    CHECK(std::abs(a - b) < 1e-12);
    CHECK(a.real() > 0);
}

TEST_CASE("a kind of layer is found by its name, and no other word is one") {
    for (const LayerKind kind : {LayerKind::air, LayerKind::porous, LayerKind::cloth})
        CHECK(layer_kind_named(name(kind)) == kind);
    CHECK_FALSE(layer_kind_named("stone wool 45"));
    CHECK_FALSE(layer_kind_named(""));
}
