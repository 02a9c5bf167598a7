// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/trap_plan.hpp"

#include "base/error.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace ebbmark {

namespace {

LayerPlan layer_plan(const TrapLayer& layer, const std::vector<Material>& materials) {
    LayerPlan plan;
    const auto known = std::find_if(materials.begin(), materials.end(), [&](const Material& material) {
        return material.name == layer.material;
    });
    if (known != materials.end()) {
        plan.material = *known;
    } else if (layer.flow_resistivity || layer.flow_resistance) {
        plan.material.name = layer.material;
        plan.material.kind = layer.flow_resistivity ? LayerKind::porous : LayerKind::cloth;
        plan.material.source = "the layer's own figures";
    } else {
        find_material(materials, layer.material); // says what there is
    }
    plan.thickness_m = layer.thickness_m.value_or(0);
    plan.free_thickness_m = layer.free_thickness_m;
    plan.density_kg_m3 = layer.density_kg_m3;
    plan.flow_resistivity = layer.flow_resistivity;
    plan.flow_resistance = layer.flow_resistance;
    plan.dividers = layer.dividers;
    return plan;
}

/// Of a layer's volume, what is left for wool beside its strips and the frame's boards along them.
double wool_share(const TrapPlan& plan, const LayerPlan& layer) {
    double share = 1;
    for (const auto& [run, width] :
         {std::pair{Dividers::Run::height, plan.width_m}, std::pair{Dividers::Run::width, plan.height_m}})
        share *= inside_frame_m(plan, run) / width;
    if (!layer.dividers)
        return share;
    const double inside = inside_frame_m(plan, layer.dividers->run);
    return share * strips_over_frame(*layer.dividers, layer.thickness_m, inside).open_share;
}

/// The mass over the volume that the wool fills, in all porous layers alike.
void fill_with(TrapPlan& plan, double wool_mass_kg) {
    double depth = 0;
    for (const LayerPlan& layer : plan.layers)
        depth += is_porous(layer) ? layer.thickness_m * wool_share(plan, layer) : 0;
    for (LayerPlan& layer : plan.layers)
        if (is_porous(layer)) {
            layer.free_thickness_m.reset();
            layer.density_kg_m3 = wool_mass_kg / (plan.face_m2() * depth);
        }
}

void require_known(const std::vector<TomlTable>& layers, const std::vector<Material>& materials) {
    for (const TomlTable& layer : layers)
        if (!layer.has("flow_resistivity") && !layer.has("flow_resistance"))
            try {
                find_material(materials, layer.need("material").text());
            } catch (const Error& error) {
                layer.need("material").refuse(fmt::format("is not known: {}", error.what()));
            }
}

} // namespace

void require_known_materials(const TomlTable& root, const std::vector<Material>& materials) {
    for (const TomlTable& trap : root.tables("trap")) {
        require_known(trap.tables("layer"), materials);
        std::vector<TomlTable> places = trap.tables("at");
        places.push_back(trap);
        for (const TomlTable& place : places)
            if (const auto built = place.find("built"))
                require_known(built->table().tables("layer"), materials);
    }
}

TrapPlan trap_plan(const JobTrap& trap, const std::vector<Material>& materials, TrapState state) {
    const BuiltTrap built = state == TrapState::built ? trap.built.value_or(BuiltTrap{}) : BuiltTrap{};
    const TrapPlace& place = built.place ? *built.place : trap.place;
    TrapPlan plan{trap.name, place.face_width_m, place.face_height_m, trap.open_sides, {}};
    try {
        for (const TrapLayer& layer : built.layers.empty() ? trap.layers : built.layers)
            plan.layers.push_back(layer_plan(layer, materials));
    } catch (const Error& error) {
        throw Error(error.kind(), fmt::format("trap \"{}\": {}", trap.name, error.what()));
    }
    if (built.wool_mass_kg)
        fill_with(plan, *built.wool_mass_kg);
    return plan;
}

std::vector<std::string> built_otherwise(const JobDescription& job) {
    std::vector<std::string> names;
    for (const JobTrap& trap : job.traps)
        if (const auto& built = trap.built;
            built &&
            (built->place || built->wool_mass_kg || (!built->layers.empty() && built->layers != trap.layers)))
            names.push_back(trap.name);
    return names;
}

} // namespace ebbmark
