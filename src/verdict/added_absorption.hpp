// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "verdict/comparison.hpp"

namespace ebbmark {

/// Absorption area added in one band with its 95 % interval: ISO 354:2003 clause 8 with each visit's air
/// (20 °C, 50 % where not recorded), first-order uncertainty of both decay times. Needs a volume and a change
/// with a standard error. Below the Schroeder frequency a note says that the figure belongs to this place.
Measured added_area(BandFinding& finding, const BandChange& change, const CompareOptions& options);

} // namespace ebbmark
