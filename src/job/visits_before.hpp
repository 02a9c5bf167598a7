// SPDX-License-Identifier: GPL-3.0-or-later
// Which visits were before the build, and which of them the others compare to.
#pragma once

#include "job/take.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace ebbmark {

/// Whether a visit shows the room as it was before the traps: its name begins with "before".
bool is_before(std::string_view visit);

/// The visits before the build that have a usable take, in the order of their last ones.
std::vector<std::string> visits_before(const std::vector<Take>& takes);

/// The visit that others compare to: of those before the build with the most positions the latest; empty
/// where there is none.
std::string visit_before(const std::vector<Take>& takes);

} // namespace ebbmark
