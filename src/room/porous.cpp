// SPDX-License-Identifier: GPL-3.0-or-later
#include "room/porous.hpp"

#include <cmath>
#include <numbers>

namespace ebbmark {

namespace {

using Complex = std::complex<double>;
constexpr Complex j{0, 1};

// Air at 20 °C, as the printed parameter sets use it.
constexpr double viscosity = 1.84e-5, heat_ratio = 1.4, pressure_pa = 101325, prandtl = 0.71;

/// Effective density, referred to the surface: viscous friction between pore and air.
Complex density_of(Complex omega, const Pores& p, double air_density) {
    const double friction = 4 * p.tortuosity * p.tortuosity * viscosity * air_density /
                            std::pow(p.flow_resistivity * p.viscous_length_m * p.porosity, 2);
    const Complex drag = p.flow_resistivity * p.porosity / (j * omega * air_density * p.tortuosity) *
                         std::sqrt(1.0 + j * omega * friction);
    return p.tortuosity * air_density / p.porosity * (1.0 + drag);
}

/// Effective bulk modulus, referred to the surface: heat exchange between pore and air.
Complex bulk_modulus_of(Complex omega, const Pores& p, double air_density) {
    const double length2 = p.thermal_length_m * p.thermal_length_m;
    // Without the sixth parameter k' = φ Λ'² / 8, which turns Lafarge's form into Champoux and Allard's.
    const double permeability = p.thermal_permeability_m2.value_or(p.porosity * length2 / 8);
    const Complex exchange = viscosity * p.porosity / (j * omega * air_density * prandtl * permeability) *
                             std::sqrt(1.0 + j * omega * 4.0 * permeability * permeability * air_density *
                                                 prandtl / (viscosity * length2 * p.porosity * p.porosity));
    return heat_ratio * pressure_pa / p.porosity / (heat_ratio - (heat_ratio - 1) / (1.0 + exchange));
}

} // namespace

EquivalentFluid porous_fluid(Complex hz, const Pores& pores, const Medium& medium) {
    const Complex omega = 2 * std::numbers::pi * hz;
    const double air = medium.density_kg_m3;
    Complex density = density_of(omega, pores, air);
    if (pores.frame_density_kg_m3) {
        const double whole = *pores.frame_density_kg_m3 + pores.porosity * air;
        density = (whole * density - air * air) / (whole + density - 2 * air);
    }
    const Complex modulus = bulk_modulus_of(omega, pores, air);
    const double rho_c = air * medium.speed_of_sound;
    Complex impedance = std::sqrt(density * modulus), slowness = std::sqrt(density / modulus);
    if (slowness.imag() > 0) // the wave that decays on its way
        impedance = -impedance, slowness = -slowness;
    return {impedance / rho_c, slowness * medium.speed_of_sound};
}

double decoupling_hz(double porosity, double flow_resistivity, double frame_density_kg_m3) {
    return porosity * porosity * flow_resistivity / (2 * std::numbers::pi * frame_density_kg_m3);
}

double viscous_length_m(double flow_resistivity, double porosity, double tortuosity, double form) {
    return std::sqrt(8 * tortuosity * viscosity / (flow_resistivity * porosity)) / form;
}

} // namespace ebbmark
