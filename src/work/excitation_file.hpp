// SPDX-License-Identifier: GPL-3.0-or-later
// What was played, from the file that the person names.
#pragma once

#include "signal/excitation.hpp"

#include <optional>
#include <string>

namespace ebbmark {

/// The sweep that a file of an excitation describes: the file is its description in TOML, or a sound with the
/// description that belongs to it beside it. Nothing where it is another sound.
std::optional<Sweep> described_sweep(const std::string& path);

/// The excitation in such a file: a described sweep is made anew at the recording's rate, another sound must
/// have that rate. Throws Error(unusable).
Excitation read_excitation(const std::string& path, double recording_rate_hz);

} // namespace ebbmark
