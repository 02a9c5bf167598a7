// SPDX-License-Identifier: GPL-3.0-or-later
// What of a trap in job.toml the forecast counts with.
#include "../files/folder.hpp"
#include "job/trap_plan.hpp"

#include <doctest/doctest.h>

using namespace ebbmark;

namespace {

std::vector<Material> materials() {
    Material wool;
    wool.name = "invented wool";
    wool.kind = LayerKind::porous;
    return {wool};
}

JobTrap trap() {
    const TrapLayer wool{"invented wool", 0.12, 0.15, 45, {}, {}}, own{"own cloth", {}, {}, {}, {}, 150};
    return {"rear wall", {1.2, 2.0, Wall::rear, {}, 0.4, 0.2}, true, {wool, own}, {}};
}

} // namespace

TEST_CASE("a planned trap keeps face, sides and layers, and a material of its own its figures") {
    JobTrap planned = trap();
    planned.built = BuiltTrap{TrapPlace{0.6, 1.0, Wall::rear, {}, 0, 0}, {}, 8.0};
    const TrapPlan plan = trap_plan(planned, materials(), TrapState::planned); // whatever was built
    CHECK(plan.face_m2() == doctest::Approx(2.4));
    CHECK(plan.open_sides.all());
    REQUIRE(plan.layers.size() == 2);
    CHECK(plan.layers[0].material.kind == LayerKind::porous);
    CHECK(plan.layers[0].thickness_m == 0.12);
    CHECK(plan.layers[0].free_thickness_m == 0.15);
    CHECK(plan.layers[0].density_kg_m3 == 45);
    CHECK(plan.layers[1].material.kind == LayerKind::cloth);
    CHECK(plan.layers[1].flow_resistance == 150);
}

// Source: closed form. 8.64 kg over 1.2 m · 2 m · 0.12 m are 30 kg/m³.
TEST_CASE("as built the wool's mass gives its density, and another place another face") {
    JobTrap built = trap();
    built.built = BuiltTrap{{}, {}, 8.64};
    const TrapPlan weighed = trap_plan(built, materials(), TrapState::built);
    CHECK(*weighed.layers[0].density_kg_m3 == doctest::Approx(30));
    CHECK(!weighed.layers[0].free_thickness_m); // what it was before does not count
    CHECK(!weighed.layers[1].density_kg_m3);
    built.built = BuiltTrap{TrapPlace{0.6, 1.0, Wall::left, {}, 0, 0}, {trap().layers[1]}, {}};
    const TrapPlan other = trap_plan(built, materials(), TrapState::built);
    CHECK(other.face_m2() == doctest::Approx(0.6));
    CHECK(other.layers.size() == 1);
    built.built.reset();
    CHECK(trap_plan(built, materials(), TrapState::built).face_m2() == doctest::Approx(2.4));
}

TEST_CASE(
    "a material that nobody knows is refused with the trap's name, unless it says how it resists flow") {
    JobTrap unknown = trap();
    unknown.layers[0].material = "something";
    const std::string said = refusal([&] { trap_plan(unknown, materials(), TrapState::planned); });
    CHECK(contains(said, "trap \"rear wall\": "));
    CHECK(contains(said, "something"));
    unknown.layers[0].flow_resistivity = 12000;
    const TrapPlan plan = trap_plan(unknown, materials(), TrapState::planned);
    CHECK(plan.layers[0].material.kind == LayerKind::porous);
    CHECK(plan.layers[0].material.source == "the layer's own figures");
    CHECK(plan.layers[0].flow_resistivity == 12000);
}
