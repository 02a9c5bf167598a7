// SPDX-License-Identifier: GPL-3.0-or-later
#include "room/air.hpp"
#include "room/modes.hpp"
#include "workbench.hpp"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <cmath>
#include <numbers>

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

const char* const booth = R"([job]
title = "Booth, invented"
acceptance = { at_least_percent = 20, of = "question" }
[question]
kind = "bands"
from = "63 Hz"
to = "125 Hz"
[room]
length = "2.4 m"
width = "1.9 m"
height = "2.1 m"
[[source]]
id = "S1"
at = [0.3, 0.4, 0.9]
[[microphone]]
id = "M1"
at = [1.5, 1.1, 1.2]
[[microphone]]
id = "M2"
at = [1.9, 0.5, 0.8]
[[microphone]]
id = "M3"
at = [1.2, 1.4, 1.6]
[[trap]]
name = "trap"
face_width = "0.6 m"
face_height = "1.2 m"
wall = "rear"
along = "0.6 m"
up = "0.4 m"
[[trap.layer]]
material = "glass wool 24"
thickness = "15 cm"
)";

/// All modes of the rigid booth up to 500 Hz, each with a decay time of 0.9 s.
std::string booth_response(const Point& source, const Point& microphone) {
    constexpr double rate = 8000, onset_s = 0.02, damping = 6.9078 / 0.9;
    const Box box{{2.4, 1.9, 2.1}};
    std::vector<float> samples(14400);
    for (const RoomMode& mode : room_modes(box, speed_of_sound(Air{20}), 500)) {
        const double strength = mode_shape(box, mode.order, source) * mode_shape(box, mode.order, microphone);
        for (std::size_t n = static_cast<std::size_t>(onset_s * rate); n < samples.size(); ++n) {
            const double time = static_cast<double>(n) / rate - onset_s;
            samples[n] += static_cast<float>(0.02 * strength * std::exp(-damping * time) *
                                             std::sin(2 * std::numbers::pi * mode.hz * time));
        }
    }
    return float_wav(samples, 1, 8000);
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
    for (const auto& each : wrong) {
        CAPTURE(each.second);
        const auto materials = bench.write("w.toml", replaced(straw, each.first, each.second));
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
    CHECK(bench.run({"predict", "--trap", bench.path("t.toml"), "--design"}).code == 2);
    CHECK(bench.run({"predict", "--trap", bench.write("empty.toml", "")}).code == 3);
    CHECK(
        bench.run({"predict", "--trap", bench.write("t.toml", trap), "--from", "900", "--to", "910"}).code ==
        2);
    REQUIRE(bench.run({"new", bench.path("job")}).code == 0);
    const Ran stored = bench.run({"predict", bench.path("job"), "--stored"});
    CHECK(stored.code == 3);
    CHECK(stored.err.find("--keep") != std::string::npos);
}

TEST_CASE("modes and plans of a measured booth: shorter with the trap, kept band by band and mode by mode") {
    const Workbench bench;
    REQUIRE(bench.run({"new", bench.path("job")}).code == 0);
    bench.write("job/job.toml", booth);
    const Point places[] = {{1.5, 1.1, 1.2}, {1.9, 0.5, 0.8}, {1.2, 1.4, 1.6}};
    for (std::size_t i = 0; i < 3; ++i) {
        const auto file = bench.write("r.wav", booth_response({0.3, 0.4, 0.9}, places[i]));
        const Ran ran =
            bench.run({"import", bench.path("job"), "before", file, "S1-M" + std::to_string(i + 1)});
        CAPTURE(ran.err);
        REQUIRE(ran.code == 0);
    }
    const Ran ran =
        bench.run({"predict", bench.path("job"), "--design", "--keep", "--to", "400", "--format", "json"});
    CAPTURE(ran.err);
    REQUIRE(ran.code == 0);
    const json found = json::parse(ran.out);
    std::size_t modal = 0, named = 0;
    for (const json& band : found["bands"])
        if (band["method"] == "modal") {
            ++modal;
            CHECK(band["predicted_s"] < band["before_s"]);
            CHECK(band["predicted_low_s"] < band["predicted_high_s"]);
        }
    for (const json& mode : found["modes"])
        if (mode["predicted_t60_s"].is_number()) {
            ++named;
            CHECK(mode["predicted_t60_s"] < mode["before_t60_s"]);
            CHECK(mode["sensitivity"]["flow_resistivity"].is_number());
        }
    CHECK(modal >= 2);
    CHECK(named >= 4);
    bool plan = false, corner = false;
    for (const json& variant : found["variants"]) {
        plan = plan || variant["change"] == "the plan as it is";
        // Source: property: the corner reaches modes that the middle of a wall does not.
        if (variant["change"] == "trap: stands in the rear left corner") {
            corner = true;
            CHECK(variant["question_change_percent"].is_number());
        }
    }
    CHECK(plan);
    CHECK(corner);
    const std::string kept = bench.read("job/predictions/001.csv");
    CHECK(kept.find(",mode_hz\n") != std::string::npos);
    CHECK(kept.find("\n,,modal,") != std::string::npos);
}

TEST_CASE("a place that left job.toml after its take was kept stops no command") {
    const Workbench bench;
    const std::string job = bench.path("job");
    REQUIRE(bench.run({"new", job}).code == 0);
    bench.write("job/job.toml", booth);
    const Point places[] = {{1.5, 1.1, 1.2}, {1.9, 0.5, 0.8}, {1.2, 1.4, 1.6}};
    for (std::size_t i = 0; i < 3; ++i) {
        const auto file = bench.write("r.wav", booth_response({0.3, 0.4, 0.9}, places[i]));
        REQUIRE(bench.run({"import", job, "before", file, "S1-M" + std::to_string(i + 1)}).code == 0);
    }
    const auto figures = [&](const std::string& command) {
        const Ran ran = command == "predict"
                            ? bench.run({"predict", job, "--to", "400", "--format", "json"})
                            : bench.run({"ringing", job, "--visit", "before", "--format", "json"});
        CAPTURE(ran.err);
        REQUIRE(ran.code == 0);
        json found = json::parse(ran.out);
        return command == "predict" ? found["modes"] : found;
    };
    const json predicted = figures("predict"), rung = figures("ringing");
    CHECK(!predicted.empty());
    bench.write("job/job.toml", replaced(booth, "[[microphone]]\nid = \"M3\"\nat = [1.2, 1.4, 1.6]\n", ""));
    CHECK(figures("predict") == predicted); // the take tells where it stood
    CHECK(figures("ringing") == rung);
    bench.write("job/job.toml",
                replaced(replaced(booth, "id = \"S1\"", "id = \"S9\""), "id = \"M2\"", "id = \"M8\""));
    CHECK(figures("predict") == predicted);
    for (const std::string command : {"next", "verify"})
        CHECK(bench.run({command, job}).code == 0);
    CHECK(bench.run({"decay", job, "--visit", "before"}).code == 0);
}
