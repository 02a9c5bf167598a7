// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace ebbmark {

/// "; did you mean decay?" where one of the known words is at most two letters away, else ".".
std::string did_you_mean(std::string_view word, const std::vector<std::string>& known);

} // namespace ebbmark
