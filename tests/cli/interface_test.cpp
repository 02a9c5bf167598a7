// SPDX-License-Identifier: GPL-3.0-or-later
// The page that fixes vocabulary and machine-readable output lies beside the source tree where the project is
// developed; every example in it is read here. Elsewhere this test has nothing to read and says so.
#include "workbench.hpp"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <cmath>

using namespace ebbmark;
using nlohmann::json;

namespace {

/// Code blocks of one language, without comments after a value in TOML being touched.
std::vector<std::string> blocks(const std::string& page, const std::string& language) {
    std::vector<std::string> found;
    const std::string fence = "```" + language + "\n";
    for (std::size_t at = page.find(fence); at != std::string::npos; at = page.find(fence, at)) {
        at += fence.size();
        const std::size_t end = page.find("```", at);
        found.push_back(page.substr(at, end - at));
        at = end;
    }
    return found;
}

std::string interface_page() {
    std::ifstream file("../shared/interface.md", std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

/// Every field of the example is in the result, at every depth; of lists the first elements are compared,
/// where both have one.
void check_fields(const json& example, const json& result, const std::string& where) {
    CAPTURE(where);
    if (example.is_array() && !example.empty() && result.is_array() && !result.empty())
        check_fields(example[0], result[0], where + "[0]");
    if (!example.is_object() || !result.is_object() || where.ends_with(".empty"))
        return;
    for (const auto& entry : example.items()) {
        const std::string& field = entry.key();
        CAPTURE(field);
        REQUIRE(result.contains(field));
        check_fields(entry.value(), result[field], where + "." + field);
    }
}

/// One mode; each place hears it at another level.
std::vector<float> ringing_mode(double hz, double t60_s, unsigned place) {
    auto samples = decaying_noise(t60_s, 2, 1, 8000, place);
    for (std::size_t n = 0; n < samples.size(); ++n) {
        const double t = static_cast<double>(n) / 8000;
        samples[n] = static_cast<float>(1e-3 * samples[n] + 0.3 * place * std::exp(-6.9078 * t / t60_s) *
                                                                std::sin(6.28318531 * hz * t));
    }
    return samples;
}

json result_of(const Workbench& bench, const std::string& command) {
    const auto response = [&](const std::string& name, double t60_s) {
        return bench.write(name, float_wav(decaying_noise(t60_s, 1.5, 1, 48000, name.size()), 1, 48000));
    };
    std::vector<std::string> words = {command};
    if (command == "decay") {
        words.push_back(response("a.wav", 0.6));
    } else if (command == "compare") {
        words.insert(words.end(), {"--before", response("b.wav", 0.6), response("bb.wav", 0.6), "--after",
                                   response("aa.wav", 0.4), response("aaa.wav", 0.4), "--volume", "35 m3"});
    } else if (command == "ringing") {
        for (const unsigned place : {1u, 2u})
            words.push_back(bench.write("m" + std::to_string(place) + ".wav",
                                        float_wav(ringing_mode(41.8, 0.8, place), 1, 8000)));
    } else if (command == "deconvolve") {
        bench.run({"sweep", bench.path("s.wav"), "--seconds", "3"});
        words.insert(words.end(), {bench.path("s.wav"), "--sweep", bench.path("s.toml"), "--response",
                                   bench.path("ir.wav")});
    } else {
        return nullptr;
    }
    words.insert(words.end(), {"--format", "json"});
    return json::parse(bench.run(words).out);
}

} // namespace

TEST_CASE("every JSON example of the interface page has only fields that the commands give") {
    const std::string page = interface_page();
    if (page.empty()) {
        MESSAGE("skipped: the interface page is not beside this source tree");
        return;
    }
    const Workbench bench;
    int compared = 0;
    for (const std::string& block : blocks(page, "json")) {
        const json example = json::parse(block);
        const std::string command = example["ebbmark"];
        const json result = result_of(bench, command);
        if (result.is_null())
            continue; // a command that is not built yet
        check_fields(example, result, command);
        ++compared;
    }
    CHECK(compared >= 4);
}

TEST_CASE("the job of the interface page is a job") {
    const std::string page = interface_page();
    if (page.empty()) {
        MESSAGE("skipped: the interface page is not beside this source tree");
        return;
    }
    const Workbench bench;
    for (const std::string& block : blocks(page, "toml")) {
        REQUIRE(bench.run({"new", bench.path("job")}).code == 0);
        bench.write("job/job.toml", block);
        const auto next = bench.run({"next", bench.path("job")});
        CAPTURE(next.err);
        CHECK(next.code == 0);
        std::filesystem::remove_all(bench.path("job"));
    }
    CHECK(blocks(page, "toml").size() >= 1);
}
