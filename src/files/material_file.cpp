// SPDX-License-Identifier: GPL-3.0-or-later
#include "files/material_file.hpp"

#include "files/toml.hpp"

namespace ebbmark {

namespace {

/// Three values in rising order: low, typical, high.
template <class Read>
FigureRange spread_from(const TomlValue& value, const Read& read) {
    const auto list = value.list();
    if (list.size() != 3)
        value.refuse("needs three values: low, typical and high");
    const FigureRange spread{read(list[0]), read(list[1]), read(list[2])};
    if (!(spread.low <= spread.typical && spread.typical <= spread.high))
        value.refuse("must rise from low to high");
    return spread;
}

Material material_from(const TomlTable& table) {
    Material material;
    material.name = table.need("name").text();
    material.kind = *layer_kind_named(
        table.need("kind").choice({name(LayerKind::air), name(LayerKind::porous), name(LayerKind::cloth)}));
    material.source = table.need("source").text();
    if (material.kind == LayerKind::cloth)
        material.flow_resistance = spread_from(table.need("flow_resistance"), [](const TomlValue& value) {
            return value.quantity(Dimension::flow_resistance, {1, 1e6});
        });
    if (material.kind != LayerKind::porous)
        return material;
    material.density_kg_m3 = table.need("density").quantity(Dimension::density, {1, 3000});
    material.flow_resistivity = spread_from(table.need("flow_resistivity"), [](const TomlValue& value) {
        return value.quantity(Dimension::flow_resistivity, {10, 1e7});
    });
    material.density_exponent = table.need("density_exponent").number({0, 3});
    material.fibre_density_kg_m3 = table.need("fibre_density").quantity(Dimension::density, {100, 10000});
    if (const auto tortuosity = table.find("tortuosity"))
        material.tortuosity = spread_from(*tortuosity, [](const TomlValue& value) {
            return value.number({1, 10});
        });
    if (material.density_kg_m3 >= material.fibre_density_kg_m3)
        table.need("density").refuse("must be below fibre_density: wool is mostly air");
    return material;
}

} // namespace

std::vector<Material> materials_from(std::string_view toml, std::string_view name) {
    const TomlFile file = TomlFile::parse(toml, name);
    std::vector<Material> materials;
    for (const TomlTable& table : file.root().tables("material"))
        materials.push_back(material_from(table));
    file.refuse_unknown_keys();
    return materials;
}

} // namespace ebbmark
