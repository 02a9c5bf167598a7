// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/mode_change.hpp"

#include <cmath>

namespace ebbmark {

std::optional<Tested> tested(const ModePair& mode) {
    if (!mode.change)
        return {};
    return Tested{*mode.change, unchanged_margin(mode.before_hz), mode.after_t60_at_most_s.has_value()};
}

} // namespace ebbmark
