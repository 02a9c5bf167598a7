// SPDX-License-Identifier: GPL-3.0-or-later
// The recorder's clock against the player's. With a relative difference d the recorded sweep is longer by d,
// so that its division by the played one is late by d L (1 + ln(f/f1)): the response is spread over time.
#pragma once

#include "signal/excitation.hpp"

#include <optional>
#include <span>

namespace ebbmark {

/// Clock difference from one sweep, ×1e6, positive where the recorder runs fast: the value whose correction
/// makes the direct sound highest. `response` is the divided recording, its highest sample near `peak`. A
/// source whose own delay changes with ln f looks the same, so this is an upper bound of what physics allows.
/// Looks within ±400 ppm.
std::optional<double> drift_of_one_sweep_ppm(std::span<const double> response, std::size_t peak,
                                             const Excitation& excitation);

/// By how many samples `later` lags `earlier`, two responses of one room: highest of the cross-correlation,
/// then the slope of the cross spectrum's phase weighted by its magnitude.
double lag_samples(std::span<const double> earlier, std::span<const double> later,
                   const Excitation& excitation);

} // namespace ebbmark
