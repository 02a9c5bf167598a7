// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "cli/run.hpp"
#include "system/interrupt.hpp"

int main(int count, char** words) {
    ebbmark::end_at_interrupt(static_cast<int>(ebbmark::ErrorKind::interrupted));
    ebbmark::keep_on_where_writing_fails();
    auto console = ebbmark::system_console();
    return ebbmark::run({words + 1, words + count}, console);
}
