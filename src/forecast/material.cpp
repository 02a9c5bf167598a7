// SPDX-License-Identifier: GPL-3.0-or-later
#include "forecast/material.hpp"

#include "base/error.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace ebbmark {

namespace {

/// Logarithmic between the ends, whichever side of the middle.
double drawn(const FigureRange& spread, double place) {
    const double end = place < 0 ? spread.low : spread.high;
    return spread.typical * std::pow(end / spread.typical, std::abs(place));
}

// 23 printed specimens spread over a factor of 2 about the form factor 1 (Allard and Atalla, ch. 5).
constexpr FigureRange length_form{1 / 1.41, 1, 1.41};

// A resistivity that is given by hand was measured or declared: declared classes are about this wide.
constexpr double given_spread = 1.3;

FigureRange resistivity_of(const LayerPlan& plan) {
    if (plan.flow_resistivity)
        return {*plan.flow_resistivity / given_spread, *plan.flow_resistivity,
                *plan.flow_resistivity * given_spread};
    FigureRange spread = plan.material.flow_resistivity;
    const double density = built_density_kg_m3(plan);
    if (density > 0 && plan.material.density_kg_m3 > 0) {
        const double ratio = std::pow(density / plan.material.density_kg_m3, plan.material.density_exponent);
        spread = {spread.low * ratio, spread.typical * ratio, spread.high * ratio};
    }
    return spread;
}

} // namespace

bool is_porous(const LayerPlan& layer) {
    return layer.material.kind == LayerKind::porous;
}

double built_density_kg_m3(const LayerPlan& plan) {
    const double free = plan.density_kg_m3.value_or(plan.material.density_kg_m3);
    return plan.free_thickness_m ? free * *plan.free_thickness_m / plan.thickness_m : free;
}

Layer acoustic_layer(const LayerPlan& plan, const LayerDraw& draw) {
    if (plan.material.kind == LayerKind::air)
        return {LayerKind::air, plan.thickness_m, 0, 0};
    if (plan.material.kind == LayerKind::cloth) {
        const FigureRange& own = plan.material.flow_resistance;
        const double resistance = plan.flow_resistance ? *plan.flow_resistance : drawn(own, draw.resistivity);
        return {LayerKind::cloth, 0, 0, resistance};
    }
    const double resistivity = drawn(resistivity_of(plan), draw.resistivity);
    Layer layer{LayerKind::porous, plan.thickness_m, resistivity, 0};
    if (plan.dividers)
        layer.strips = strips_of(*plan.dividers, plan.thickness_m);
    const double density = built_density_kg_m3(plan);
    if (!(density > 0))
        return layer;
    Pores pores;
    pores.flow_resistivity = resistivity;
    pores.porosity = std::max(0.5, 1 - density / plan.material.fibre_density_kg_m3);
    pores.tortuosity = std::max(1.0, drawn(plan.material.tortuosity, draw.tortuosity));
    pores.viscous_length_m =
        viscous_length_m(resistivity, pores.porosity, pores.tortuosity, drawn(length_form, draw.form));
    pores.thermal_length_m = 2 * pores.viscous_length_m;
    // Battens, cloth and binder hold it in part: as if it were so much heavier.
    if (draw.frame_held < 1)
        pores.frame_density_kg_m3 = density / std::pow(1 - draw.frame_held, 2);
    layer.pores = pores;
    return layer;
}

std::string model_of(const LayerPlan& plan) {
    if (plan.material.kind != LayerKind::porous)
        return "";
    return built_density_kg_m3(plan) > 0 ? "Johnson-Champoux-Allard, limp frame" : "Miki, rigid frame";
}

const Material& find_material(const std::vector<Material>& materials, std::string_view name) {
    std::string known;
    for (const Material& material : materials) {
        if (material.name == name)
            return material;
        known += (known.empty() ? "" : ", ") + material.name;
    }
    throw Error(ErrorKind::unusable,
                fmt::format("there is no material \"{}\"; there are: {}. Give the layer its own "
                            "flow_resistivity, or add the material to a file (--materials)",
                            name, known));
}

} // namespace ebbmark
