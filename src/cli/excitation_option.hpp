// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "signal/excitation.hpp"

#include <string>

namespace ebbmark {

/// The option --sweep: a description in TOML, made anew at the recording's rate, or the excitation as an
/// audio file. Beside an audio file its description is used where there is one that belongs to it.
Excitation read_excitation(const std::string& path, double recording_rate_hz);

} // namespace ebbmark
