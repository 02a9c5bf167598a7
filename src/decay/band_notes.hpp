// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "decay/decay.hpp"
#include "decay/noise.hpp"

#include <vector>

namespace ebbmark {

/// What one band's decay, with the end that was found for it, gives reason to remark.
std::vector<DecayNote> notes_on(const BandDecay& decay, const Tail& tail);

} // namespace ebbmark
