// SPDX-License-Identifier: GPL-3.0-or-later
// Bands in which hum may be left: no figure is given there.
#pragma once

#include "decay/decay.hpp"

#include <vector>

namespace ebbmark {

/// Whether the filter of a band, with its skirts, reaches one of the lines.
bool is_near(const Band& band, const std::vector<double>& lines_hz);

/// Empties the bands that a line reaches, as disturbed.
void leave_out_near(ResponseDecay& decay, const std::vector<double>& lines_hz);

} // namespace ebbmark
