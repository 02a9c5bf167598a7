// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <string_view>

namespace ebbmark {

/// RFC 4648, clause 4, in one line.
std::string base64(std::string_view bytes);

} // namespace ebbmark
