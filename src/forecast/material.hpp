// SPDX-License-Identifier: GPL-3.0-or-later
// What traps are made of, as a builder knows it: generic materials with the ranges of their figures.
#pragma once

#include "room/layers.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace ebbmark {

/// A figure that differs from piece to piece: its middle and the ends between which 95 of 100 lie.
struct FigureRange {
    double low = 0, typical = 0, high = 0;
};

struct Material {
    std::string name;
    LayerKind kind = LayerKind::porous;
    double density_kg_m3 = 0;       ///< porous: of wool and air together, as sold
    FigureRange flow_resistivity{}; ///< porous: at that density, Pa s/m²
    double density_exponent = 0;    ///< porous: flow resistivity grows as density to this power
    double fibre_density_kg_m3 = 2500;
    FigureRange tortuosity{1, 1.03, 1.1};
    FigureRange flow_resistance{}; ///< cloth, Pa s/m
    std::string source;
};

/// How a layer is planned or was built. What is absent is the material's.
struct LayerPlan {
    Material material;
    double thickness_m = 0;
    std::optional<double> free_thickness_m; ///< before it was compressed
    std::optional<double> density_kg_m3;    ///< in its free thickness
    std::optional<double> flow_resistivity; ///< as it stands in the trap
    std::optional<double> flow_resistance;  ///< of cloth
    std::optional<Dividers> dividers = {};  ///< strips that stand in it
};

bool is_porous(const LayerPlan& layer);

/// In the trap: what is compressed is denser. 0 where it is not known.
double built_density_kg_m3(const LayerPlan& layer);

/// Where a layer's figures lie within their spread: 0 the middle, −1 and 1 the ends.
struct LayerDraw {
    double resistivity = 0, tortuosity = 0, form = 0;
    double frame_held = 0; ///< 0: the frame is as free as wool that nobody holds, 1: it stands still
};

/// The layer with these figures. A porous one of known density is an equivalent fluid with a limp frame (its
/// characteristic lengths from flow resistivity, Allard and Atalla Eq. 5.25, Λ' = 2 Λ); without it Miki's.
Layer acoustic_layer(const LayerPlan& plan, const LayerDraw& draw);

/// The model that serves a porous layer, in words; empty for others.
std::string model_of(const LayerPlan& plan);

/// The material of this name. Throws Error(unusable) naming like ones.
const Material& find_material(const std::vector<Material>& materials, std::string_view name);

} // namespace ebbmark
