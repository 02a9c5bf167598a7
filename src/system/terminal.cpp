// SPDX-License-Identifier: GPL-3.0-or-later
#include "system/terminal.hpp"

#include <unistd.h>

namespace ebbmark {

bool err_is_terminal() {
    return ::isatty(STDERR_FILENO) == 1;
}

bool in_is_terminal() {
    return ::isatty(STDIN_FILENO) == 1;
}

} // namespace ebbmark
