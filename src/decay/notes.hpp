// SPDX-License-Identifier: GPL-3.0-or-later
// Plain sentences about one band's decay.
#pragma once

#include "decay/decay.hpp"
#include "decay/noise.hpp"

#include <string>

namespace ebbmark {

void add_notes(BandDecay& decay, const Tail& tail);

std::string source_note();

/// The same where the response itself shows that nothing was emitted (evidence.hpp).
std::string nothing_emitted_note();

} // namespace ebbmark
