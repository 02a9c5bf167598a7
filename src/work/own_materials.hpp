// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "forecast/material.hpp"

#include <string>
#include <vector>

namespace ebbmark {

/// The materials that the program brings along (data/materials.toml).
std::vector<Material> own_materials();

/// The same, with those of a file before them. Throws Error(unusable).
std::vector<Material> materials_with(const std::string& path);

} // namespace ebbmark
