// SPDX-License-Identifier: GPL-3.0-or-later
// A job from `new` to `verify`, as its user types it.
#include "capture/virtual_room.hpp"
#include "capture/virtual_room_file.hpp"
#include "relative.hpp"
#include "workbench.hpp"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <cmath>
#include <functional>

using namespace ebbmark;
using nlohmann::json;

namespace {

const char* const small_job = R"([job]
title = "Booth, invented"
client = "Nobody"
[question]
kind = "bands"
from = "500 Hz"
to = "4 kHz"
[room]
length = "4 m"
width = "3 m"
height = "2.5 m"
[[source]]
id = "S1"
at = ["0.5 m", "0.5 m", "1.2 m"]
[[microphone]]
id = "M1"
at = ["2.5 m", "1.5 m", "1.2 m"]
[[microphone]]
id = "M2"
at = ["3.0 m", "2.0 m", "1.4 m"]
)";

std::string response(double t60_s, std::uint64_t seed) {
    return float_wav(decaying_noise(t60_s, 1.5, 1, 48000, seed), 1, 48000);
}

/// A job with two positions before and after, as impulse responses made elsewhere.
void measured_job(const Workbench& bench, const std::function<void()>& before_the_build = {}) {
    REQUIRE(bench.run({"new", bench.path("job")}).code == 0);
    bench.write("job/job.toml", small_job);
    std::uint64_t seed = 1;
    for (const std::string visit : {"before", "after"}) {
        if (visit == "after" && before_the_build)
            before_the_build();
        for (const std::string position : {"S1-M1", "S1-M2"}) {
            const auto file =
                bench.write(visit + position + ".wav", response(visit == "before" ? 0.8 : 0.4, seed++));
            const auto ran = bench.run({"import", bench.path("job"), visit, file, position});
            CAPTURE(ran.err);
            REQUIRE(ran.code == 0);
        }
    }
}

} // namespace

TEST_CASE("a job is started, and next says what to fill in") {
    const Workbench bench;
    const auto started = bench.run({"new", bench.path("job")});
    CHECK(started.code == 0);
    CHECK(started.out.find("job.toml") != std::string::npos);
    CHECK(bench.read("job/job.toml").find("[question]") != std::string::npos);
    const auto again = bench.run({"new", bench.path("job")});
    CHECK(again.code == 3);
    CHECK(again.err.find("job") != std::string::npos);
    const auto next = bench.run({"next", bench.path("job"), "--format", "json"});
    REQUIRE(next.code == 0);
    CHECK(json::parse(next.out)["missing"].size() > 2);
}

TEST_CASE("takes are imported, analysed, compared and verified") {
    const Workbench bench;
    measured_job(bench);
    const auto decay = bench.run({"decay", bench.path("job"), "--visit", "before", "--bands", "octave",
                                  "--from", "500", "--format", "json"});
    CAPTURE(decay.err);
    REQUIRE(decay.code == 0);
    const json visit = json::parse(decay.out);
    REQUIRE(visit["responses"].size() == 2);
    CHECK(visit["visit"] == "before");
    CHECK(visit["responses"][0]["position"] == "S1-M1");
    CHECK(visit["responses"][0]["take"] == "S1-M1-01");
    CHECK(visit["room"]["volume_m3"].get<double>() == relative(30));
    for (const json& band : visit["average"]["bands"])
        CHECK(band["t20_s"].get<double>() == relative(0.8).epsilon(0.1));
    const auto compare =
        bench.run({"compare", bench.path("job"), "--bands", "octave", "--from", "500", "--format", "json"});
    CAPTURE(compare.err);
    REQUIRE(compare.code == 0);
    const json result = json::parse(compare.out);
    CHECK(result["before"] == "before");
    CHECK(result["after"] == "after");
    CHECK(result["pairs"] == 2);
    REQUIRE(result["before_files"].size() == 2);
    for (const json& file : result["before_files"]) {
        CHECK(file.dump().find("visits/before/") != std::string::npos);
        CHECK(file["sha256"].get<std::string>().size() == 64);
    }
    for (const json& band : result["bands"])
        CHECK(band["change_percent"].get<double>() == relative(-50).epsilon(0.15));
    const auto verified = bench.run({"verify", bench.path("job"), "--format", "json"});
    CHECK(verified.code == 0);
    CHECK(json::parse(verified.out)["intact"] == true);
}

TEST_CASE("a prediction stored before the visit after the build counts, a later one is labelled") {
    const Workbench bench;
    const auto table = bench.write("p.csv", "nominal_hz,width,predicted_s,predicted_low_s,predicted_high_s\n"
                                            "500,octave,0.4,0.35,0.46\n1000,octave,0.4,0.35,0.46\n"
                                            "2000,octave,0.4,0.35,0.46\n4000,octave,0.6,0.58,0.62\n");
    const auto run = [&](const std::string& format) {
        return bench.run({"compare", bench.path("job"), "--bands", "octave", "--from", "500", "--to", "4000",
                          "--format", format, "--out", bench.path("out." + format), "--page",
                          bench.path("page.html"), "--force"});
    };
    SUBCASE("before") {
        measured_job(bench, [&] {
            CHECK(bench.run({"predict", bench.path("job")}).code == 3);
            const auto stored =
                bench.run({"predict", bench.path("job"), "--store", table, "--format", "json"});
            CAPTURE(stored.err);
            REQUIRE(stored.code == 0);
            CHECK(json::parse(stored.out)["stored_before"] == true);
        });
        REQUIRE(run("json").code == 0);
        const json result = json::parse(bench.read("out.json"));
        CHECK(result["prediction"]["stored_before"] == true);
        CHECK(result["prediction"]["sha256"].get<std::string>().size() == 64);
        const json& bands = result["bands"];
        CHECK(bands[1]["predicted_s"] == 0.4);
        CHECK(bands[1]["against_prediction"] == "as predicted");
        // More came about than was predicted at 4 kHz.
        CHECK(bands[3]["against_prediction"] == "more than predicted");
        CHECK(result["question"]["predicted_percent"].is_number());
        REQUIRE(run("text").code == 0);
        CHECK(bench.read("out.text").find("before visit after was measured") != std::string::npos);
        CHECK(bench.read("page.html").find("before visit after was measured") != std::string::npos);
        REQUIRE(run("csv").code == 0);
        CHECK(bench.read("out.csv").find("as predicted") != std::string::npos);
        CHECK(bench.run({"verify", bench.path("job")}).code == 0);
    }
    SUBCASE("after") {
        measured_job(bench);
        const auto stored = bench.run({"predict", bench.path("job"), "--store", table});
        REQUIRE(stored.code == 0);
        CHECK(stored.out.find("no proof of a promise") != std::string::npos);
        REQUIRE(run("text").code == 0);
        CHECK(bench.read("out.text").find("no proof of a promise") != std::string::npos);
        REQUIRE(run("json").code == 0);
        const json result = json::parse(bench.read("out.json"));
        CHECK(result["prediction"]["stored_before"] == false);
    }
    SUBCASE("a wrong table") {
        REQUIRE(bench.run({"new", bench.path("job")}).code == 0);
        bench.write("job/job.toml", small_job);
        const auto wrong = bench.write("wrong.csv", "nominal_hz;predicted_s\n500;0,4\n");
        const auto refused = bench.run({"predict", bench.path("job"), "--store", wrong});
        CHECK(refused.code == 3);
        CHECK(refused.err.find(
                  "wrong.csv, line 2: \"0,4\" in column predicted_s is not a number; write it with "
                  "a decimal point") != std::string::npos);
        CHECK(bench.run({"predict", bench.path("job"), "--store", bench.path("none.csv")}).code == 3);
    }
}

TEST_CASE("several visits after the build are a chain: each against the first, and what each step added") {
    const Workbench bench;
    REQUIRE(bench.run({"new", bench.path("job")}).code == 0);
    std::string traps;
    for (const std::string name : {"left", "right", "rear"})
        traps += "[[trap]]\nname = \"" + name +
                 "\"\nface_width = \"0.6 m\"\nface_height = \"1 m\"\nwall = \"" + name +
                 "\"\nalong = \"1 m\"\nup = \"0.1 m\"\n[[trap.layer]]\nmaterial = \"stone wool 45\"\n" +
                 "thickness = \"" + (name == "rear" ? "20" : "10") + " cm\"\n";
    std::string with_target = small_job;
    with_target.insert(with_target.find("[[source]]"), "target = \"EBU Tech 3276\"\n");
    bench.write("job/job.toml", with_target + traps);
    std::uint64_t seed = 1;
    const auto visit = [&](const std::string& name, double t60_s, const std::string& standing) {
        for (const std::string position : {"S1-M1", "S1-M2"}) {
            const auto file = bench.write(name + position + ".wav", response(t60_s, seed++));
            REQUIRE(bench.run({"import", bench.path("job"), name, file, position}).code == 0);
        }
        bench.write("job/visits/" + name + "/visit.toml",
                    "[visit]\ndate = 2001-02-03\n[room]\ntraps = [" + standing + "]\n");
    };
    visit("before", 0.8, "");
    visit("after", 0.6, "\"left\", \"right\"");
    visit("after-2", 0.4, "\"left\", \"right\", \"rear\"");
    const auto run = [&](const std::string& format) {
        return bench.run({"compare", bench.path("job"), "--bands", "octave", "--from", "500", "--to", "4000",
                          "--format", format});
    };
    const auto ran = run("json");
    CAPTURE(ran.err);
    REQUIRE(ran.code == 0);
    const json result = json::parse(ran.out);
    CHECK(result["after"] == "after-2");
    REQUIRE(result["earlier_visits"].size() == 1);
    CHECK(result["earlier_visits"][0]["after"] == "after");
    const json& steps = result["added_absorption_by_trap"];
    REQUIRE(steps.size() == 2);
    CHECK(steps[0]["traps"] == json({"left", "right"}));
    CHECK(steps[0]["one_type"] == true);
    CHECK(steps[1]["from_visit"] == "after");
    CHECK(steps[1]["traps"] == json({"rear"}));
    for (std::size_t b = 0; b < 4; ++b) {
        // Source: closed form. The steps' areas add up to the whole, 55.3 V/c (1/T2 − 1/T1) each.
        const double whole = result["added_absorption"][b]["area_m2"];
        const double first = steps[0]["bands"][b]["area_m2"], second = steps[1]["bands"][b]["area_m2"];
        CHECK(first + second == relative(whole).epsilon(0.02));
        CHECK(first == relative(55.3 * 30 / 343.2 * (1 / 0.6 - 1 / 0.8)).epsilon(0.25));
    }
    REQUIRE(result["targets"].size() == 2);
    CHECK(result["targets"][1]["visit"] == "after-2");
    for (const json& band : result["targets"][1]["bands"])
        if (band["nominal_hz"] == 1000) { // nominal 0.2 s for 30 m3, so at most 0.25 s
            CHECK(band["finding"] == "above");
            CHECK(band["limits_source"] == "from memory");
        }
    CHECK(result["bass_response"]["places"].size() == 2);
    CHECK(result["clarity"].size() > 10);
    const auto text = run("text");
    CHECK(text.out.find("New in visit after: left, right, all of one type") != std::string::npos);
    CHECK(text.out.find("Bass response") != std::string::npos);
    // Named, two visits are compared alone.
    const auto two = bench.run({"compare", bench.path("job"), "--to-visit", "after", "--bands", "octave",
                                "--from", "500", "--to", "4000", "--format", "json"});
    CHECK(json::parse(two.out)["earlier_visits"].empty());
    // Protocols that do not tell give the total only.
    bench.write("job/visits/after/visit.toml", "[visit]\ndate = 2001-02-03\n");
    const json total = json::parse(run("json").out);
    CHECK(total["added_absorption_by_trap"].empty());
    CHECK(total["notes"].dump().find("in total only") != std::string::npos);
    bench.write("job/visits/after/visit.toml", "[visit]\ndate = 2001-02-03\n[room]\ntraps = [\"lfet\"]\n");
    const auto unknown = run("json");
    CHECK(unknown.code == 3);
    CHECK(unknown.err.find("\"lfet\"") != std::string::npos);
}

TEST_CASE("verify names what was changed and ends with exit code 6") {
    const Workbench bench;
    measured_job(bench);
    std::string changed;
    for (const auto& entry : std::filesystem::recursive_directory_iterator(bench.path("job/visits/before")))
        if (entry.path().extension() == ".wav")
            changed = entry.path().string();
    std::filesystem::permissions(changed, std::filesystem::perms::owner_all);
    {
        std::fstream file(changed, std::ios::in | std::ios::out | std::ios::binary);
        file.seekp(2000);
        file.put('x');
    }
    const auto verified = bench.run({"verify", bench.path("job"), "--format", "json"});
    CHECK(verified.code == 6);
    const json result = json::parse(verified.out);
    REQUIRE(result["changed"].size() == 1);
    CHECK(changed.ends_with(result["changed"][0].get<std::string>()));
    const auto decay = bench.run({"decay", bench.path("job"), "--visit", "before"});
    CHECK(decay.code == 3);
}

TEST_CASE("an excluded take is left out and named nowhere as a value") {
    const Workbench bench;
    measured_job(bench);
    CHECK(bench.run({"exclude", bench.path("job"), "before/S1-M2-01"}).code == 2);
    CHECK(
        bench.run({"exclude", bench.path("job"), "before/S1-M2-01", "--because", "a chair stood in the way"})
            .code == 0);
    CHECK(bench.run({"exclude", bench.path("job"), "before/S9-M9-01", "--because", "no such take"}).code ==
          3);
    const auto compare =
        bench.run({"compare", bench.path("job"), "--bands", "octave", "--from", "500", "--format", "json"});
    REQUIRE(compare.code == 0);
    CHECK(json::parse(compare.out)["pairs"] == 1);
    CHECK(bench.run({"verify", bench.path("job")}).code == 0);
}

TEST_CASE("names never leave the job's folder, and unknown visits are named") {
    const Workbench bench;
    measured_job(bench);
    const auto file = bench.write("x.wav", response(0.5, 99));
    for (const std::string position : {"../../x", "S1-M1/../../x", "S1", ""})
        CHECK(bench.run({"import", bench.path("job"), "before", file, position}).code == 3);
    for (const std::string visit : {"../x", "a/b", ".", "before "})
        CHECK(bench.run({"import", bench.path("job"), visit, file, "S1-M1"}).code == 3);
    const auto unknown = bench.run({"decay", bench.path("job"), "--visit", "later"});
    CHECK(unknown.code == 3);
    CHECK(unknown.err.find("after, before") != std::string::npos);
    CHECK(bench.run({"decay", bench.path("job")}).code == 2);
    CHECK(bench.run({"compare", bench.path("job"), "--to-visit", "later"}).code == 3);
}

TEST_CASE("correcting the client's name keeps the digest, moving a wall does not") {
    const Workbench bench;
    measured_job(bench);
    const auto digest = [&] {
        return json::parse(bench.run({"verify", bench.path("job"), "--format", "json"}).out)["digest"]
            .get<std::string>();
    };
    const std::string before = digest();
    std::string text = small_job;
    text.replace(text.find("Nobody"), 6, "Somebody");
    bench.write("job/job.toml", text);
    CHECK(digest() == before);
    CHECK(bench.run({"verify", bench.path("job"), "--digest", before}).code == 0);
    text.replace(text.find("4 m"), 3, "5 m");
    bench.write("job/job.toml", text);
    CHECK(digest() != before);
    CHECK(bench.run({"verify", bench.path("job"), "--digest", before}).code == 6);
}

TEST_CASE("the demo measures a virtual room, and its intervals hold the room's own decay") {
    // Source: independent of the analysis. The decay of the virtual room's own noise-free responses.
    const Workbench bench;
    const auto ran = bench.run({"demo", bench.path("demo"), "--format", "json"});
    CAPTURE(ran.err);
    REQUIRE(ran.code == 0);
    const json result = json::parse(ran.out);
    CHECK(result["simulated"] == true);
    CHECK(result["comparison"]["simulated"] == true);
    CHECK(result["verification"]["intact"] == true);
    int given = 0, inside = 0;
    for (const json& row : result["truth"]) {
        given += row["positions"].get<int>();
        inside += row["inside"].get<int>();
    }
    CHECK(given >= 200);
    // 95 % intervals of the room's expected decay; the room's own value at a place lies inside at least as
    // often.
    CHECK(inside >= 0.95 * given);
    CHECK(bench.read("demo/results/proof.pdf").starts_with("%PDF-"));
    CHECK(bench.read("demo/results/promise.html").find("SIMULATED") != std::string::npos);
    // Source: independent of the analysis. The virtual room's own modes, from its wave equation.
    const auto rings =
        bench.run({"ringing", bench.path("demo"), "--visit", "before", "--to", "110", "--format", "json"});
    REQUIRE(rings.code == 0);
    const json found = json::parse(rings.out);
    VirtualRoom room(read_room_description("data/demo-room.toml"), "virtual");
    int named = 0, modes = 0;
    for (const DampedMode& truth : room.true_modes("before", 105)) {
        CAPTURE(truth.hz);
        ++modes;
        int here = 0;
        for (const json& mode : found["modes"]) {
            if (std::abs(mode["hz"].get<double>() / truth.hz - 1) > 0.0015)
                continue;
            ++here;
            CHECK(mode["t60_s"].get<double>() == relative(truth.decay_s).epsilon(0.05));
            named += mode["room_mode"] == json(truth.order);
        }
        CHECK(here == 1);
    }
    CHECK(named >= modes - 1);
    const auto next = bench.run({"next", bench.path("demo")});
    CHECK(next.code == 0);
    CHECK(next.out.find("SIMULATED") != std::string::npos);
    CHECK(next.out.find("Safe to leave") != std::string::npos);
    // Real and simulated never mix.
    const auto real =
        bench.run({"import", bench.path("demo"), "after", bench.write("r.wav", response(0.4, 5)), "S1-M1"});
    CHECK(real.code == 3);
    CHECK(real.err.find("simulated") != std::string::npos);
}
