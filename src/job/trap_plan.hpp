// SPDX-License-Identifier: GPL-3.0-or-later
// A trap of a job as the forecast wants it.
#pragma once

#include "files/toml.hpp"
#include "forecast/trap.hpp"
#include "job/description.hpp"

#include <string>
#include <vector>

namespace ebbmark {

/// `built` takes what [trap.built] says, where it says something: layers, place, and the wool's mass, which
/// gives the density of its porous layers.
enum class TrapState { planned, built };

/// Throws Error(unusable) with file, line and key for the first layer of the file's traps, planned or built,
/// whose material nobody knows and which has no figures of its own.
void require_known_materials(const TomlTable& root, const std::vector<Material>& materials);

/// A material that nobody knows is taken where its layer has a flow resistivity (flow resistance for cloth)
/// of its own. Throws Error(unusable) naming the trap.
TrapPlan trap_plan(const JobTrap& trap, const std::vector<Material>& materials, TrapState state);

/// Names of the traps of which something was recorded as built that the plan does not say.
std::vector<std::string> built_otherwise(const JobDescription& job);

} // namespace ebbmark
