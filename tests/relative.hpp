// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <doctest/doctest.h>

namespace ebbmark {

/// `value` within a part of itself (.epsilon(), 1.2e-5 unless given). The test library's own comparison adds
/// 1 to the magnitudes before it multiplies, and so lets small numbers pass that are far off.
inline doctest::Approx relative(double value) {
    return doctest::Approx(value).scale(0);
}

} // namespace ebbmark
