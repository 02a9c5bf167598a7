// SPDX-License-Identifier: GPL-3.0-or-later
// Plain sentences about one band's decay.
#pragma once

#include "decay/decay.hpp"
#include "decay/noise.hpp"

#include <string>

namespace ebbmark {

void add_notes(BandDecay& decay, const Tail& tail);

std::string source_note();

} // namespace ebbmark
