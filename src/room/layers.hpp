// SPDX-License-Identifier: GPL-3.0-or-later
// Porous absorbers in front of a rigid wall: one-parameter material models and the transfer matrix of a layer
// stack. Time factor exp(+jωt). Frequencies may be complex, so that a decaying mode (Im > 0) sees the
// absorber at its own complex frequency.
#pragma once

#include "room/air.hpp"
#include "room/dividers.hpp"
#include "room/porous.hpp"

#include <complex>
#include <numbers>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

namespace ebbmark {

Medium medium_of(const Air& air);

/// Y. Miki, J. Acoust. Soc. Jpn (E) 11 (1990) 19, Eqs 30 to 34 with four-figure coefficients. Fitted for
/// 0.01 < f/σ < 1 (SI units); below that passive, but an extrapolation.
EquivalentFluid miki(std::complex<double> hz, double flow_resistivity);

/// M. E. Delany, E. N. Bazley, Appl. Acoust. 3 (1970) 105, for 0.01 ≤ ρ f/σ ≤ 1 only: throws
/// Error(unusable) outside, where it becomes unphysical. For comparison; predictions use miki().
EquivalentFluid delany_bazley(double hz, double flow_resistivity, double density_kg_m3);

enum class LayerKind { air, porous, cloth };

/// "air", "porous", "cloth", as in data/materials.toml; layers of air and of cloth are called so in job.toml.
std::string_view name(LayerKind kind);
std::optional<LayerKind> layer_kind_named(std::string_view word);

struct Layer {
    LayerKind kind = LayerKind::air;
    double thickness_m = 0;            ///< air and porous, ≥ 0
    double flow_resistivity = 0;       ///< porous, > 0, Pa s/m²
    double flow_resistance = 0;        ///< cloth, ≥ 0, Pa s/m; its mass and thickness are neglected
    std::optional<Pores> pores = {};   ///< porous: porous_fluid() in place of miki()
    std::optional<Strips> strips = {}; ///< porous: in channels between strips
};

/// A stack of layers at one frequency, its materials' properties computed once for all angles.
class LayerStack {
  public:
    /// `layers` from the wall outwards.
    LayerStack(std::span<const Layer> layers, std::complex<double> hz, const Medium& medium);
    /// As surface_admittance().
    std::complex<double> admittance(double sine) const;

  private:
    struct Sheet {
        bool is_cloth;
        double resistance;          ///< cloth, over ρc
        std::complex<double> phase; ///< ω d / c
        EquivalentFluid fluid;      ///< as it moves along the normal
        double along = 1;           ///< of what the wave number along the surface counts
    };
    std::vector<Sheet> sheets_;
};

/// Normalised admittance ρc/Z of the layers, listed from the wall outwards, seen from the room: the wall is
/// rigid, the layers are of unlimited extent and bulk-reacting, the wave arrives at `angle_rad` < π/2
/// from the normal. No layers: 0.
std::complex<double> surface_admittance(std::span<const Layer> layers, std::complex<double> hz,
                                        const Medium& medium, double angle_rad = 0);

/// The same at normal incidence, of layers across a corner of two walls, averaged over a face at 45° to both:
/// behind each place of it lie as many of the layers as there is depth, from `least_m` at its edges to
/// `depth_m` in the middle; air where they do not fill it. Locally reacting.
std::complex<double> corner_admittance(std::span<const Layer> layers, std::complex<double> hz,
                                       const Medium& medium, double depth_m, double least_m = 0);

/// Absorption coefficient of a plane wave, 0 to 1.
double absorption_at(std::span<const Layer> layers, double hz, const Medium& medium, double angle_rad = 0);

/// Paris' integral over all angles up to `to_rad`, divided by sin² of it: π/2 is random incidence,
/// 78° is called field incidence.
double diffuse_absorption(std::span<const Layer> layers, double hz, const Medium& medium,
                          double to_rad = std::numbers::pi / 2);

/// Random-incidence absorption of a locally reacting surface of normalised admittance g + jb, g > 0, closed
/// form of Paris' integral. At most 0.951, at a real admittance of 1/1.567.
double local_diffuse_absorption(std::complex<double> admittance);

/// The smaller real admittance of a locally reacting surface with this random-incidence absorption.
/// 0 ≤ alpha ≤ 0.951; throws Error(unusable) outside.
double local_admittance(double alpha);

} // namespace ebbmark
