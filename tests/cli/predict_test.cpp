// SPDX-License-Identifier: GPL-3.0-or-later
#include "workbench.hpp"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

using namespace ebbmark;
using nlohmann::json;

namespace {

const std::string trap = R"([[trap]]
name = "trap"
face_width = "1.2 m"
face_height = "2 m"
wall = "rear"
[[trap.layer]]
material = "glass wool 48"
thickness = "10 cm"
)";

const std::string straw = R"([[material]]
name = "straw"
kind = "porous"
density = "90 kg/m3"
flow_resistivity = ["1 kPa.s/m2", "2 kPa.s/m2", "4 kPa.s/m2"]
density_exponent = 1.5
fibre_density = "1500 kg/m3"
source = "invented"
)";

std::string replaced(std::string text, const std::string& from, const std::string& to) {
    return text.replace(text.find(from), from.size(), to);
}

} // namespace

TEST_CASE("a trap's absorption comes with its interval and its model") {
    const Workbench bench;
    const Ran ran = bench.run({"predict", "--trap", bench.write("t.toml", trap), "--format", "json"});
    REQUIRE(ran.code == 0);
    const json result = json::parse(ran.out);
    const json& bands = result["traps"][0]["absorption"];
    REQUIRE(bands.size() == 23); // thirds from 31.5 Hz to 5 kHz
    for (const json& band : bands) {
        CHECK(band["alpha_low"] <= band["alpha_random"]);
        CHECK(band["alpha_random"] <= band["alpha_high"]);
        CHECK(band["model"] == "Johnson-Champoux-Allard, limp frame");
    }
    CHECK(bench.run({"predict", "--trap", bench.path("t.toml"), "--picture", bench.path("a.svg")}).code == 0);
    CHECK(bench.read("a.svg").find("<svg") != std::string::npos);
}

TEST_CASE("a material of one's own serves, and a wrong one is refused with its place") {
    const Workbench bench;
    const auto file = bench.write("t.toml", replaced(trap, "glass wool 48", "straw"));
    const Ran unknown = bench.run({"predict", "--trap", file});
    CHECK(unknown.code == 3);
    CHECK(unknown.err.find("no material \"straw\"") != std::string::npos);
    CHECK(bench.run({"predict", "--trap", file, "--materials", bench.write("m.toml", straw)}).code == 0);
    const std::pair<std::string, std::string> wrong[] = {
        {"kind = \"porous\"", "kind = \"solid\""},
        {"\"1 kPa.s/m2\", ", ""},
        {"\"4 kPa.s/m2\"", "\"1.5 kPa.s/m2\""},
        {"density = \"90 kg/m3\"", "density = \"2000 kg/m3\""},
        {"source = \"invented\"", "colour = \"gold\""}};
    for (const auto& [from, to] : wrong) {
        CAPTURE(to);
        const auto materials = bench.write("w.toml", replaced(straw, from, to));
        const Ran ran = bench.run({"predict", "--trap", file, "--materials", materials});
        CHECK(ran.code == 3);
        CHECK(ran.err.find("w.toml, line ") != std::string::npos);
    }
}

TEST_CASE("what predict cannot work with is refused") {
    const Workbench bench;
    CHECK(bench.run({"predict"}).code == 2);
    CHECK(bench.run({"predict", bench.path("job"), "--trap", bench.path("t.toml")}).code == 2);
    CHECK(bench.run({"predict", "--trap", bench.path("none.toml")}).code == 3);
    CHECK(bench.run({"predict", "--trap", bench.write("empty.toml", "")}).code == 3);
    CHECK(
        bench.run({"predict", "--trap", bench.write("t.toml", trap), "--from", "900", "--to", "910"}).code ==
        2);
    REQUIRE(bench.run({"new", bench.path("job")}).code == 0);
    const Ran stored = bench.run({"predict", bench.path("job"), "--stored"});
    CHECK(stored.code == 3);
    CHECK(stored.err.find("--keep") != std::string::npos);
}
