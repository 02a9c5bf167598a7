// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string_view>

namespace ebbmark {

inline constexpr std::string_view version = EBBMARK_VERSION; // from the build's project version

} // namespace ebbmark
