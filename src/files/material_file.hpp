// SPDX-License-Identifier: GPL-3.0-or-later
// Materials in TOML; data/materials.toml shows every key.
#pragma once

#include "forecast/material.hpp"

#include <string_view>
#include <vector>

namespace ebbmark {

/// Throws Error(unusable) with file, line, column, key and mend. `name` stands for the file in messages.
std::vector<Material> materials_from(std::string_view toml, std::string_view name);

} // namespace ebbmark
