// SPDX-License-Identifier: GPL-3.0-or-later
#include "in_child.hpp"
#include "system/terminal.hpp"

#include <doctest/doctest.h>
#include <fcntl.h>

#include <cstdlib>
#include <initializer_list>

using namespace ebbmark;

namespace {

/// 1 for standard error, 2 for standard input, where they are terminals.
int terminals_with(int in, int err) {
    return in_child([&] {
        ::dup2(in, STDIN_FILENO);
        ::dup2(err, STDERR_FILENO);
        return (err_is_terminal() ? 1 : 0) + (in_is_terminal() ? 2 : 0);
    });
}

} // namespace

TEST_CASE("a terminal is told from a file, on each stream by itself") {
    const int file = ::open("/dev/null", O_RDWR);
    const int master = ::posix_openpt(O_RDWR | O_NOCTTY);
    if (master < 0 || ::grantpt(master) != 0 || ::unlockpt(master) != 0) {
        MESSAGE("skipped: this system gives no terminal");
        return;
    }
    const int terminal = ::open(::ptsname(master), O_RDWR | O_NOCTTY);
    REQUIRE(terminal >= 0);
    CHECK(terminals_with(file, file) == 0);
    CHECK(terminals_with(file, terminal) == 1);
    CHECK(terminals_with(terminal, file) == 2);
    CHECK(terminals_with(terminal, terminal) == 3);
    for (const int number : {file, master, terminal})
        ::close(number);
}
