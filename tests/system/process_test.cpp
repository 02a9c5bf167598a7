// SPDX-License-Identifier: GPL-3.0-or-later
#include "in_child.hpp"
#include "system/process.hpp"

#include <doctest/doctest.h>
#include <sys/utsname.h>

using namespace ebbmark;

TEST_CASE("each process has a number of its own, and all of a computer its name") {
    const long here = this_process();
    CHECK(here == ::getpid());
    CHECK(in_child([&] { return this_process() != here && this_process() == ::getpid() ? 0 : 1; }) == 0);
    utsname system{};
    REQUIRE(::uname(&system) == 0);
    CHECK(this_computer() == system.nodename);
}
