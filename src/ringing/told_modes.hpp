// SPDX-License-Identifier: GPL-3.0-or-later
// Which of the fitted poles are told as modes, and why the others are not.
#pragma once

#include "ringing/ringing.hpp"
#include "ringing/room_fit.hpp"

namespace ebbmark {

/// Adds what the fit says within options.from_hz to to_hz.
void tell_modes(Ringing& ringing, RoomFit fit, const RingingOptions& options);

} // namespace ebbmark
