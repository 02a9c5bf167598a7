// SPDX-License-Identifier: GPL-3.0-or-later
// Invented modes of a room and an invented forecast; nothing was measured or computed for them.
#pragma once

#include "results/forecast_result.hpp"
#include "results/ringing_result.hpp"

namespace ebbmark::samples {

/// Three modes before; after, one rings shorter, one is not found and one is new.
RingingReport ringing_report();

/// The state before alone.
RingingReport ringing_before();

/// Two bands, two modes, two traps and two changes of the plan, which misses what was agreed.
ForecastReport forecast_report();

} // namespace ebbmark::samples
