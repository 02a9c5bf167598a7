// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/draw/base64.hpp"

#include <doctest/doctest.h>

using namespace ebbmark;

TEST_CASE("bytes as base64") {
    // Source: published. RFC 4648, clause 10.
    CHECK(base64("") == "");
    CHECK(base64("f") == "Zg==");
    CHECK(base64("fo") == "Zm8=");
    CHECK(base64("foo") == "Zm9v");
    CHECK(base64("foobar") == "Zm9vYmFy");
}
