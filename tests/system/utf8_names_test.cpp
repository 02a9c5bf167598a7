// SPDX-License-Identifier: GPL-3.0-or-later
#include "system/utf8_names.hpp"

#include <doctest/doctest.h>
#include <langinfo.h>
#include <locale.h>

#include <string>

using namespace ebbmark;

TEST_CASE("names are UTF-8 while one lives, and what they were before afterwards") {
    if (const locale_t known = newlocale(LC_CTYPE_MASK, "C.UTF-8", nullptr))
        freelocale(known);
    else {
        MESSAGE("skipped: this system has no locale C.UTF-8");
        return;
    }
    const std::string before = nl_langinfo(CODESET);
    REQUIRE(before != "UTF-8");
    {
        const Utf8Names names;
        CHECK(std::string(nl_langinfo(CODESET)) == "UTF-8");
    }
    CHECK(nl_langinfo(CODESET) == before);
}
