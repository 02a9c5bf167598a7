// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/text/guarded.hpp"
#include "samples/samples.hpp"

#include <doctest/doctest.h>

using namespace ebbmark;

TEST_CASE("broken bytes, overlong forms and surrogates become the replacement character") {
    // Source: standard. RFC 3629 section 3 (ill-formed sequences), Unicode for the character U+FFFD.
    CHECK(plain_text("a\xff z") == "a\xef\xbf\xbd z");
    CHECK(plain_text("\xc0\xaf") == "\xef\xbf\xbd\xef\xbf\xbd");
    CHECK(plain_text("\xe2\x82") == "\xef\xbf\xbd\xef\xbf\xbd");
    CHECK(code_points("\xed\xa0\x80").front() == 0xFFFD);
    CHECK(code_points("\xf4\x90\x80\x80").front() == 0xFFFD);
    for (const char32_t point : {U'z', U'é', U'房', U'🔊'})
        CHECK(code_points(utf8(point)) == std::vector<char32_t>{point});
}

TEST_CASE("marks that steer a terminal or reorder text are spelled out") {
    CHECK(plain_text(samples::hostile_name) == "a<U+001B>[2J<U+000A><b>&\"'<U+202E>\xef\xbf\xbd.wav");
    CHECK(plain_text("Größe 部屋") == "Größe 部屋");
}

TEST_CASE("markup in a name stays text") {
    CHECK(markup_text("<b>&\"'") == "&lt;b&gt;&amp;&quot;&#39;");
}

TEST_CASE("cells of a table are quoted where needed and never a formula") {
    // Source: standard. RFC 4180 section 2.
    CHECK(csv_text("a.wav") == "a.wav");
    CHECK(csv_text("a,\"b\"") == "\"a,\"\"b\"\"\"");
    CHECK(csv_text("=1+1") == "'=1+1");
}

TEST_CASE("long names keep both ends") {
    CHECK(shortened("short.wav", 9) == "short.wav");
    CHECK(shortened("a very long name.wav", 11) == "a ver…e.wav");
    CHECK(columns(shortened("部屋部屋部屋部屋.wav", 9)) <= 9);
}
