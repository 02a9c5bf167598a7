// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "forecast/material.hpp"
#include "relative.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace ebbmark;

namespace {

Material wool() {
    Material material;
    material.name = "wool";
    material.density_kg_m3 = 12;
    material.flow_resistivity = {3000, 5000, 7000};
    material.density_exponent = 1.53;
    return material;
}

} // namespace

TEST_CASE("wool that is packed into half its thickness is twice as dense and resists more") {
    LayerPlan plan{wool(), 0.1, 0.2, {}, {}, {}};
    CHECK(built_density_kg_m3(plan) == relative(24.0));
    // Source: published exponent 1.53 (Bies and Hansen 1980).
    CHECK(acoustic_layer(plan, {}).flow_resistivity == relative(5000 * std::pow(2, 1.53)));
    CHECK(acoustic_layer(plan, {}).pores->frame_density_kg_m3.value() == relative(24.0));
    plan.free_thickness_m.reset();
    CHECK(acoustic_layer(plan, {}).flow_resistivity == relative(5000.0));
}

TEST_CASE("the ends of a spread are reached at minus and plus one") {
    const LayerPlan plan{wool(), 0.1, {}, {}, {}, {}};
    CHECK(acoustic_layer(plan, {-1, 0, 0}).flow_resistivity == relative(3000.0));
    CHECK(acoustic_layer(plan, {1, 0, 0}).flow_resistivity == relative(7000.0));
}

TEST_CASE("what a layer says of itself goes before its material") {
    LayerPlan plan{wool(), 0.1, {}, 20.0, 9000.0, {}};
    const Layer layer = acoustic_layer(plan, {});
    CHECK(layer.flow_resistivity == relative(9000.0));
    CHECK(layer.pores->frame_density_kg_m3.value() == relative(20.0));
    CHECK(model_of(plan).find("limp") != std::string::npos);
}

TEST_CASE("without a density the frame's mass is not known, and the model is Miki's") {
    Material unknown;
    const LayerPlan plan{unknown, 0.1, {}, {}, 9000.0, {}};
    CHECK(!acoustic_layer(plan, {}).pores);
    CHECK(model_of(plan).find("Miki") != std::string::npos);
}

TEST_CASE("a material that nobody knows is refused with those that there are") {
    CHECK_THROWS_WITH_AS(find_material({wool()}, "straw"), doctest::Contains("there are: wool"), Error);
}
