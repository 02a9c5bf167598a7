// SPDX-License-Identifier: GPL-3.0-or-later
// Bands and modes in which hum or another sound may be left: no figure is given there.
#pragma once

#include "decay/decay.hpp"
#include "ringing/ringing.hpp"

#include <vector>

namespace ebbmark {

/// Whether the filter of a band, with its skirts, reaches one of the lines.
bool is_near(const Band& band, const std::vector<double>& lines_hz);

/// Whether it holds one of these middles of third octaves.
bool is_disturbed(const Band& band, const std::vector<double>& middles_hz);

/// Empties the bands that a line reaches, as disturbed.
void leave_out_near(ResponseDecay& decay, const std::vector<double>& lines_hz);

/// Empties the bands that another sound spoils, given by the middles of third octaves.
void leave_out_disturbed(ResponseDecay& decay, const std::vector<double>& middles_hz);

/// Next to a line nothing can be told, as disturbed: what is left of the hum rings like a mode. Lines from
/// `from_hz` to `to_hz` are named.
void leave_out_near(Ringing& ringing, const std::vector<double>& lines_hz, double from_hz, double to_hz);

} // namespace ebbmark
