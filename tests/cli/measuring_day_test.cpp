// SPDX-License-Identifier: GPL-3.0-or-later
// A visit in a virtual room, as the person in the room types it.
#include "base/shell_word.hpp"
#include "cli/person_at_console.hpp"
#include "files/audio_file.hpp"
#include "workbench.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>
#include <nlohmann/json.hpp>
#include <sys/resource.h>

#include <csignal>
#include <map>

using namespace ebbmark;
using nlohmann::json;

namespace {

constexpr const char* room = "virtual:data/demo-room.toml";

/// A job for the demo's room.
struct Visit {
    Workbench bench;
    std::string job = bench.path("job");

    Visit() {
        bench.run({"new", job});
        std::filesystem::copy_file("data/demo-job.toml", job + "/job.toml",
                                   std::filesystem::copy_options::overwrite_existing);
    }

    Ran take(std::vector<std::string> more) const {
        more.insert(more.begin(), {"take", job, "before"});
        more.insert(more.end(), {"--device", room, "--seconds", "2", "--repeats", "1"});
        return bench.run(more);
    }

    Ran walk(const std::string& typed) const {
        std::istringstream in(typed);
        std::ostringstream out, err;
        Console console{out, err, false, [] { return std::string("2001-02-03T14:05:00+01:00"); }, &in};
        const int code = ebbmark::run(
            {"take", job, "before", "--positions", "--device", room, "--seconds", "2", "--repeats", "1"},
            console);
        return {code, out.str(), err.str()};
    }
};

} // namespace

TEST_CASE("level keeps what it found, and take plays no louder") {
    const Visit visit;
    const Ran level = visit.bench.run({"level", visit.job, "--device", room, "--format", "json"});
    REQUIRE(level.code == 0);
    const json found = json::parse(level.out);
    CHECK(found["simulated"] == true);
    // The loudspeaker of the demo reaches down to 35 Hz.
    CHECK(found["start_hz"] == 35);
    const double level_dbfs = found["level_dbfs"];
    CHECK(level_dbfs < -12);
    CHECK(visit.bench.read("job/level.toml").find("[level.sweep]") != std::string::npos);
    CHECK(visit.take({"S1-M1", "--level", std::to_string(level_dbfs + 1)}).code == 2);
    const Ran take = visit.take({"S1-M1", "--format", "json"});
    CHECK(take.code == 0);
    const json kept = json::parse(take.out)["takes"][0];
    CHECK(kept["take"] == "before/S1-M1-01");
    CHECK(kept["position"] == "S1-M1");
    CHECK(kept["simulated"] == true);
    CHECK(visit.bench.read("job/visits/before/takes/S1-M1-01.toml")
              .find("level_dbfs = " + fmt::format("{}", level_dbfs)) != std::string::npos);
}

TEST_CASE("no sweep starts below what job.toml says now, whatever the level was found with") {
    const Visit visit;
    REQUIRE(visit.bench.run({"level", visit.job, "--device", room}).code == 0);
    std::string text = visit.bench.read("job/job.toml");
    const auto lowest = text.find("lowest");
    REQUIRE(lowest != text.npos);
    text.replace(lowest, text.find('\n', lowest) - lowest, "lowest = \"60 Hz\"");
    visit.bench.write("job/job.toml", text);
    CHECK(visit.take({"S1-M1"}).code == 0);
    CHECK(visit.bench.read("job/visits/before/takes/S1-M1-01.toml").find("start_hz = 60\n") !=
          std::string::npos);
}

TEST_CASE("level is found for the loudspeaker that is named") {
    const Visit visit;
    visit.bench.write("job/job.toml", visit.bench.read("job/job.toml") +
                                          "\n[[source]]\nid = \"S9\"\nat = [\"0.5 m\", \"0.5 m\", \"1.2 "
                                          "m\"]\nlowest = \"50 Hz\"\n");
    const Ran level =
        visit.bench.run({"level", visit.job, "--device", room, "--source", "S9", "--format", "json"});
    INFO(level.err);
    REQUIRE(level.code == 0);
    CHECK(json::parse(level.out)["source"] == "S9");
    CHECK(json::parse(level.out)["start_hz"] == 50);
    const Ran none = visit.bench.run({"level", visit.job, "--device", room, "--source", "S7"});
    CHECK(none.code == 3);
    CHECK(none.err.find("no source S7") != std::string::npos);
}

TEST_CASE("a walk through the positions measures all that is missing, then the return") {
    const Visit visit;
    CHECK(visit.take({"S1-M1"}).code == 0);
    // One is left for later and comes again on the next walk.
    const Ran walk = visit.walk("s\n\n\n\n\n\n");
    CHECK(walk.code == 0);
    CHECK(walk.err.find("the return") != std::string::npos);
    CHECK(walk.out.find("positions not measured: S1-M2") != std::string::npos);
    CHECK(visit.walk("\n").code == 0);
    const Ran next = visit.bench.run({"next", visit.job, "--format", "csv"});
    CHECK(next.out.find("positions not measured") == std::string::npos);
    CHECK(next.out.find("the return") == std::string::npos);
    // Nothing is missing: nothing is asked.
    CHECK(visit.walk("").err.find("Enter measures") == std::string::npos);
}

TEST_CASE("a walk ends with q and with the end of input, and keeps what it has") {
    const Visit visit;
    CHECK(visit.walk("\nq\n\n\n").err.find("Accepted: before/S1-M1-01") != std::string::npos);
    CHECK(visit.walk("").code == 0);
    CHECK(visit.bench.run({"verify", visit.job}).code == 0);
}

namespace {

/// No file of this process may be longer than `bytes`, as with ulimit -f.
struct ShortFiles {
    rlimit before{};
    void (*handler)(int) = std::signal(SIGXFSZ, SIG_IGN);
    explicit ShortFiles(rlim_t bytes) {
        getrlimit(RLIMIT_FSIZE, &before);
        const rlimit now{bytes, before.rlim_max};
        setrlimit(RLIMIT_FSIZE, &now);
    }
    ~ShortFiles() {
        setrlimit(RLIMIT_FSIZE, &before);
        std::signal(SIGXFSZ, handler);
    }
};

} // namespace

TEST_CASE("where no file may be long enough a recording is rescued in parts, and comes in as what it is") {
    const Visit visit;
    Ran refused{};
    {
        const ShortFiles limit(65536);
        refused = visit.take({"S1-M1"});
    }
    INFO(refused.err);
    CHECK(refused.code == 3);
    CHECK(refused.err.find("ulimit -f") != std::string::npos);
    CHECK(refused.err.find("ebbmark import " + visit.job + " before " + visit.job +
                           "/rescued-before-S1-M1-") != std::string::npos);
    std::map<std::string, std::string> parts;
    std::string description;
    for (const auto& entry : std::filesystem::directory_iterator(visit.job)) {
        const std::string name = entry.path().filename().string();
        if (name.find(".wav.") != name.npos)
            parts[name] = visit.bench.read("job/" + name);
        else if (name.starts_with("rescued-"))
            description = entry.path().string();
    }
    CHECK(parts.size() > 3);
    REQUIRE(!description.empty());
    CHECK(visit.bench.run({"verify", visit.job}).code == 0);
    const Ran next = visit.bench.run({"next", visit.job, "--format", "json"});
    CHECK(next.out.find("A recording waits in rescued-before-S1-M1-") != std::string::npos);
    std::string whole;
    for (const auto& [name, bytes] : parts)
        whole += bytes;
    visit.bench.write("rescued.wav", whole);
    const Ran import =
        visit.bench.run({"import", visit.job, "before", visit.bench.path("rescued.wav"), "S1-M1", "--sweep",
                         description, "--channel", "1", "--format", "json"});
    INFO(import.err);
    CHECK(import.code == 0);
    CHECK(json::parse(import.out)["takes"][0]["simulated"] == true);
}

TEST_CASE("a take that was kept leaves no second copy behind") {
    const Visit visit;
    REQUIRE(visit.take({"S1-M1"}).code == 0);
    for (const auto& entry : std::filesystem::directory_iterator(visit.job))
        CHECK(!entry.path().filename().string().starts_with("rescued-"));
}

TEST_CASE("what is typed wrongly is refused before anything is played") {
    const Visit visit;
    CHECK(visit.take({}).code == 2);
    CHECK(visit.take({"S1-M1", "--positions"}).code == 2);
    CHECK(visit.take({"S1-M9"}).code == 3);
    CHECK(visit.take({"M1"}).code == 3);
    const Ran name = visit.bench.run({"take", visit.job, "../visit", "S1-M1", "--device", room});
    CHECK(name.code == 3);
    CHECK(name.err.find("recording") == std::string::npos);
    CHECK(visit.bench.run({"take", visit.job, "before", "S1-M1"}).code == 2);
    const Ran other = visit.bench.run({"take", visit.job, "before", "S1-M1", "--device", "no such device"});
    CHECK(other.code == 4);
    CHECK(visit.bench.run({"level", visit.job, "--device", room, "--limit", "3"}).code == 2);
    CHECK(visit.take({"S1-M1", "--rate", "8000"}).code == 2);
    CHECK(!std::filesystem::exists(visit.job + "/visits/before/takes"));
}

TEST_CASE("the meter shows 3 dB a step") {
    CHECK(meter_text({1.5, 20, -30}) == "  1.5 of 20.0 s  ██████████──────────  -30 dBFS");
    CHECK(meter_text({0, 20, -200}).find("below -60 dBFS") != std::string::npos);
    CHECK(meter_text({20, 20, 0}).find("─") == std::string::npos);
}

TEST_CASE("a word for the shell is quoted where the shell would take it apart") {
    CHECK(shell_word("studio/job-1") == "studio/job-1");
    CHECK(shell_word("Anna's room") == "'Anna'\\''s room'");
    CHECK(shell_word("") == "''");
    CHECK(shell_word("$(x)") == "'$(x)'");
}
