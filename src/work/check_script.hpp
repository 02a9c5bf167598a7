// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

namespace ebbmark {

/// check.py: a bundle's evaluation done again with none of this program's code. Goes into every bundle.
extern const char* const check_script;

} // namespace ebbmark
