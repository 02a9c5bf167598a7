// SPDX-License-Identifier: GPL-3.0-or-later
#include "work/own_materials.hpp"

#include <doctest/doctest.h>

#include <set>

using namespace ebbmark;

TEST_CASE("the program brings materials along, each name once") {
    std::set<std::string> names;
    for (const Material& material : own_materials())
        CHECK(names.insert(material.name).second);
    CHECK(names.count("stone wool 45") == 1);
}
