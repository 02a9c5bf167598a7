// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "forecast/material.hpp"

#include <vector>

namespace ebbmark {

/// The materials that the program brings along (data/materials.toml).
std::vector<Material> own_materials();

} // namespace ebbmark
