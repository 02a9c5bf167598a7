// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/nearest.hpp"

#include <doctest/doctest.h>

using namespace ebbmark;

TEST_CASE("a slip of the finger is put right, another word is not") {
    const std::vector<std::string> known = {"sweep", "decay", "compare"};
    CHECK(did_you_mean("deacy", known) == "; did you mean decay?");
    CHECK(did_you_mean("compar", known) == "; did you mean compare?");
    CHECK(did_you_mean("spectrum", known) == ".");
    CHECK(did_you_mean("x", {}) == ".");
}
