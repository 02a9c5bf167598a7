// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/command.hpp"
#include "relative.hpp"
#include "workbench.hpp"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <algorithm>

using namespace ebbmark;
using nlohmann::json;

TEST_CASE("help names every command, and each command its options") {
    const Workbench bench;
    const auto overview = bench.run({"--help"});
    CHECK(overview.code == 0);
    CHECK(overview.err.empty());
    for (const Command& command : commands()) {
        CHECK(overview.out.find(command.name) != std::string::npos);
        const auto help = bench.run({std::string(command.name), "--help"});
        CHECK(help.code == 0);
        CHECK(help.out.find("--quiet") != std::string::npos);
    }
    // It fits a screen.
    CHECK(std::count(overview.out.begin(), overview.out.end(), '\n') <= 40);
    CHECK(bench.run({"--version"}).out.starts_with("ebbmark "));
    CHECK(bench.run({}).code == 2);
}

TEST_CASE("sweep, recording, response, decay: a direct connection gives a response without decay times") {
    const Workbench bench;
    const auto sweep = bench.run({"sweep", bench.path("s.wav"), "--seconds", "3", "--from", "30"});
    CHECK(sweep.code == 0);
    CHECK(sweep.out.find("hearing protection") != std::string::npos);
    const auto found = bench.run({"deconvolve", bench.path("s.wav"), "--sweep", bench.path("s.toml"),
                                  "--response", bench.path("ir.wav"), "--format", "json"});
    REQUIRE(found.code == 0);
    const json result = json::parse(found.out);
    CHECK(result["ebbmark"] == "deconvolve");
    CHECK(result["schema"] == 1);
    CHECK(result["simulated"] == false);
    CHECK(result["accepted"] == true);
    CHECK(result["delay_s"].get<double>() == relative(0.5).epsilon(1e-4));
    CHECK(std::abs(result["drift_ppm"].get<double>()) < 0.01);
    // The 25 Hz third begins below the sweep.
    CHECK(result["bands"][1]["nominal_hz"] == 25);
    CHECK(result["bands"][1]["empty"]["decay_range_db"] == "source");
    const auto decay = bench.run({"decay", bench.path("ir.wav"), "--format", "json"});
    REQUIRE(decay.code == 0);
    const json decays = json::parse(decay.out);
    for (const auto& band : decays["responses"][0]["bands"]) {
        CAPTURE(band.dump());
        CHECK(band["t20_s"].is_null());
        CHECK((band["empty"]["t20_s"] == "filter" || band["empty"]["t20_s"] == "source" ||
               band["empty"]["t20_s"] == "noise"));
    }
}

TEST_CASE("the excitation itself serves as well as its description") {
    const Workbench bench;
    bench.run({"sweep", bench.path("s.wav"), "--seconds", "3"});
    std::filesystem::copy_file(bench.path("s.wav"), bench.path("alone.wav"));
    for (const char* sweep : {"s.toml", "s.wav", "alone.wav"}) {
        CAPTURE(sweep);
        const auto found = bench.run({"deconvolve", bench.path("s.wav"), "--sweep", bench.path(sweep),
                                      "--response", bench.path("ir.wav"), "--format", "json", "--force"});
        CHECK(found.code == 0);
        // Known by its samples alone, the sweep begins where its fade first sounds: 2 ms late.
        CHECK(json::parse(found.out)["delay_s"].get<double>() == relative(0.5).epsilon(0.005));
    }
}

TEST_CASE("a clipped recording is kept, flagged and exit code 5") {
    const Workbench bench;
    bench.run({"sweep", bench.path("s.wav"), "--seconds", "2", "--float"});
    const std::string bytes = bench.read("s.wav");
    std::vector<float> samples((bytes.size() - 44) / 4);
    const auto data = bytes.find("data") + 8;
    samples.resize((bytes.size() - data) / 4);
    std::memcpy(samples.data(), bytes.data() + data, samples.size() * 4);
    for (float& x : samples)
        x = std::clamp(x, -0.15f, 0.15f);
    bench.write("clipped.wav", float_wav(samples, 1, 48000));
    const auto found = bench.run({"deconvolve", bench.path("clipped.wav"), "--sweep", bench.path("s.toml"),
                                  "--response", bench.path("ir.wav"), "--format", "json"});
    CHECK(found.code == 5);
    const json result = json::parse(found.out);
    CHECK(result["accepted"] == false);
    const auto clipping = std::find_if(result["checks"].begin(), result["checks"].end(),
                                       [](const json& check) { return check["name"] == "clipping"; });
    REQUIRE(clipping != result["checks"].end());
    CHECK((*clipping)["held"] == false);
    CHECK((*clipping)["figure"].get<double>() > 100);
    CHECK((*clipping)["advice"] != "");
    CHECK(std::filesystem::exists(bench.path("ir.wav")));
}

TEST_CASE("before and after, from files to findings and a page") {
    const Workbench bench;
    std::vector<std::string> words = {"compare", "--bands", "octave", "--from", "250", "--before"};
    for (int i = 0; i < 3; ++i)
        words.push_back(bench.write(
            "b" + std::to_string(i) + ".wav",
            float_wav(decaying_noise(0.8, 1.6, 1, 48000, 10 + static_cast<unsigned>(i)), 1, 48000)));
    words.push_back("--after");
    for (int i = 0; i < 3; ++i)
        words.push_back(bench.write(
            "a" + std::to_string(i) + ".wav",
            float_wav(decaying_noise(0.4, 1.6, 1, 48000, 20 + static_cast<unsigned>(i)), 1, 48000)));
    auto as_json = words;
    as_json.insert(as_json.end(), {"--format", "json", "--page", bench.path("page.pdf"), "--picture",
                                   bench.path("p.svg"), "--volume", "35 m3"});
    const auto ran = bench.run(as_json);
    CAPTURE(ran.err);
    REQUIRE(ran.code == 0);
    const json result = json::parse(ran.out);
    CHECK(result["pairs"] == 3);
    for (const auto& band : result["bands"]) {
        CHECK(band["finding"] == "shorter");
        CHECK(band["change_percent"].get<double>() == relative(-50).epsilon(0.2));
        CHECK(band["change_low_percent"].get<double>() < band["change_percent"].get<double>());
    }
    CHECK(bench.read("page.pdf").starts_with("%PDF-"));
    CHECK(bench.read("p.svg").find("<svg") != std::string::npos);
    auto as_html = words;
    as_html.insert(as_html.end(), {"--page", bench.path("page.html")});
    const auto text = bench.run(as_html);
    CHECK(text.code == 0);
    CHECK(text.out.find("shorter") != std::string::npos);
    CHECK(bench.read("page.html").find("Before-and-after measurement record") != std::string::npos);
    // The same input gives the same bytes.
    as_json.push_back("--force");
    const std::string first = bench.read("page.pdf");
    CHECK(bench.run(as_json).out == ran.out);
    CHECK(bench.read("page.pdf") == first);
}
