// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

namespace ebbmark {

/// Whether a person reads standard error: lines there may be rewritten. Another system: its terminal must
/// take UTF-8 and a bare carriage return.
bool err_is_terminal();

/// Whether a person answers on standard input.
bool in_is_terminal();

} // namespace ebbmark
