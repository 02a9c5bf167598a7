// SPDX-License-Identifier: GPL-3.0-or-later
// Porous materials as equivalent fluids with five or six parameters: D. L. Johnson et al. (1987), Y. Champoux
// and J.-F. Allard (1991), D. Lafarge et al. (1997), in the form of J.-F. Allard, N. Atalla, Propagation of
// Sound in Porous Media, 2nd ed., ch. 5; limp frame after R. Panneton, JASA 122 (2007) EL217. Time factor
// exp(+jωt).
#pragma once

#include <complex>
#include <optional>

namespace ebbmark {

/// The air that the layers stand in.
struct Medium {
    double speed_of_sound = 343;
    double density_kg_m3 = 1.205;
};

/// A fluid relative to the air: characteristic impedance over ρc, wave number over ω/c.
struct EquivalentFluid {
    std::complex<double> impedance = 1;
    std::complex<double> wave_number = 1;
};

struct Pores {
    double flow_resistivity = 0; ///< Pa s/m², > 0
    double porosity = 1;         ///< 0 to 1
    double tortuosity = 1;       ///< ≥ 1
    double viscous_length_m = 0;
    double thermal_length_m = 0;
    std::optional<double> thermal_permeability_m2; ///< Lafarge's sixth parameter
    /// With it the frame is limp: it has a mass and no stiffness, and light wool moves with the air. Without,
    /// the frame stands still.
    std::optional<double> frame_density_kg_m3;
};

/// Passive at every frequency. Frequencies may be complex, hz ≠ 0.
EquivalentFluid porous_fluid(std::complex<double> hz, const Pores& pores, const Medium& medium);

/// Below it a frame moves with the air: φ² σ / (2π ρ_frame), Zwikker and Kosten.
double decoupling_hz(double porosity, double flow_resistivity, double frame_density_kg_m3);

/// Viscous characteristic length of fibres from the flow resistivity, Allard and Atalla Eq. 5.25 with a form
/// factor c of about 1: √(8 τ η / (σ φ)) / c.
double viscous_length_m(double flow_resistivity, double porosity, double tortuosity, double form = 1);

} // namespace ebbmark
