// SPDX-License-Identifier: GPL-3.0-or-later
// What a client's engineer reads instead of believing us: check.py in bundles.
#include "../bench/simulated_recording.hpp"
#include "files/archive.hpp"
#include "files/audio_file.hpp"
#include "files/hash.hpp"
#include "hostile_jobs.hpp"
#include "job/manifest.hpp"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>
#include <sys/wait.h>

#include <algorithm>
#include <array>
#include <cstdio>
#include <cstdlib>
#include <optional>

using namespace ebbmark;
using namespace ebbmark::bench;
using nlohmann::json;
namespace fs = std::filesystem;

namespace {

constexpr const char* script_source = "src/work/check.py";

bool has(const std::string& text, const std::string& part) {
    return text.find(part) != text.npos;
}

/// A Python that can run the script; nothing, and a message, where there is none.
std::optional<std::string> python() {
    for (const char* program : {"python3", "/usr/bin/python3"})
        if (std::system(
                (std::string(program) + " -c 'import tomllib, numpy, scipy' >/dev/null 2>&1").c_str()) == 0)
            return program;
    MESSAGE("no python3 from 3.11 on with numpy and scipy: skipped");
    return {};
}

/// A job's bundle, unpacked.
class Unpacked {
  public:
    Unpacked(const Workbench& bench, const std::string& job) {
        const Ran ran = bench.run({"bundle", bench.path(job), here_.path("out.zip")});
        CAPTURE(ran.err);
        REQUIRE(ran.code == 0);
        fs::create_directory(here_.path("bundle"));
        unpack_archive(here_.path("out.zip"), here_.path("bundle"));
    }

    std::string path(const std::string& name) const { return here_.path("bundle/" + name); }
    std::string read(const std::string& name) const { return here_.read("bundle/" + name); }
    void write(const std::string& name, const std::string& bytes) const {
        here_.write("bundle/" + name, bytes);
    }

    /// As the README of the bundle says.
    Ran checked(const std::string& with) const {
        Ran ran{0, "", ""};
        FILE* pipe = popen(("cd '" + path("") + "' && " + with + " check.py 2>&1").c_str(), "r");
        REQUIRE(pipe);
        std::array<char, 4096> buffer{};
        for (std::size_t got; (got = fread(buffer.data(), 1, buffer.size(), pipe)) > 0;)
            ran.out.append(buffer.data(), got);
        ran.code = WEXITSTATUS(pclose(pipe));
        return ran;
    }

    /// What somebody who owns it all would do after a change.
    void list_anew() const {
        for (const char* list : {"job/evidence.sha256", "bundle.sha256"}) {
            EvidenceLines lines = evidence_lines(read(list), list);
            for (EvidenceLine& line : lines)
                line.sha256 = sha256_of_file(fs::path(path(list)).parent_path() / line.path);
            write(list, to_text(lines));
        }
    }

    json verified(int code) const {
        const Ran ran = here_.run({"verify", path(""), "--format", "json"});
        CAPTURE(ran.err);
        CAPTURE(ran.out);
        REQUIRE(ran.code == code);
        return json::parse(ran.out);
    }

  private:
    Workbench here_;
};

bool holds(const json& list, const std::string& name) {
    return std::find(list.begin(), list.end(), name) != list.end();
}

void agrees(const Workbench& bench, const std::string& job, const std::string& with) {
    CAPTURE(job);
    const Ran ran = Unpacked(bench, job).checked(with);
    CAPTURE(ran.out);
    CHECK(ran.code == 0);
    CHECK(has(ran.out, "\nagrees: at most 0.0"));
    CHECK(has(ran.out, "\n question "));
    MESSAGE(job << ": " << ran.out.substr(ran.out.rfind("agrees")));
}

const char* const tape_job = R"([job]
title = "Booth, invented"
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
[[microphone]]
id = "M3"
at = ["3.5 m", "0.7 m", "1.1 m"]
)";

const char* const tape_sweep = R"([sweep]
kind = "exponential"
start_hz = 250
stop_hz = 10000
seconds = 2
rate_hz = 24000
repeats = 2
repeat_period_s = 4
)";

/// Three places one after the other in one recording, each two sweeps in a room that decays by 60 dB in
/// `t60_s`.
std::string tape(double t60_s, std::uint64_t seed) {
    constexpr double rate_hz = 24000;
    Sweep sweep;
    sweep.start_hz = 250;
    sweep.stop_hz = 10000;
    sweep.seconds = 2;
    sweep.rate_hz = rate_hz;
    sweep.repeats = 2;
    sweep.repeat_period_s = 4;
    Dice dice(seed);
    std::vector<double> samples(6 * 24000);
    for (int place = 0; place < 3; ++place) {
        const auto heard = convolved(played(sweep).samples, invented_room(t60_s, rate_hz, dice));
        samples.insert(samples.end(), heard.begin(), heard.end());
        samples.resize(samples.size() + 6 * 24000);
    }
    double peak = 0;
    for (const double sample : samples)
        peak = std::max(peak, std::abs(sample));
    for (double& sample : samples)
        sample *= 0.5 / peak;
    add_noise(samples, 1e-5, dice);
    return wav_bytes({samples}, rate_hz, SampleFormat::pcm24, "", "tape.wav");
}

void make_tape_job(const Workbench& bench) {
    REQUIRE(bench.run({"new", bench.path("tapes")}).code == 0);
    bench.write("tapes/job.toml", tape_job);
    const std::string sweep = bench.write("sweep.toml", tape_sweep);
    for (const auto& [visit, t60_s, seed] : {std::tuple{"before", 0.8, 1U}, {"after", 0.5, 2U}}) {
        const Ran ran =
            bench.run({"import", bench.path("tapes"), visit, bench.write("tape.wav", tape(t60_s, seed)),
                       "S1-M1", "S1-M2", "S1-M3", "--sweep", sweep});
        CAPTURE(ran.err);
        REQUIRE(ran.code == 0);
    }
}

} // namespace

TEST_CASE("a bundle lists every file in it, check.py as it is in the source and of at most 200 lines") {
    const Workbench bench;
    make_hostile_job(bench, "one-position");
    const Unpacked bundle(bench, "one-position");
    std::ifstream source(script_source, std::ios::binary);
    const std::string script{std::istreambuf_iterator<char>(source), {}};
    REQUIRE(!script.empty());
    CHECK(bundle.read("check.py") == script);
    CHECK(std::count(script.begin(), script.end(), '\n') <= 200);
    CHECK(has(bundle.read("README.txt"), "python3 check.py"));

    const Manifest list = by_path(evidence_lines(bundle.read("bundle.sha256"), "bundle.sha256"));
    std::size_t files = 0;
    for (const auto& entry : fs::recursive_directory_iterator(bundle.path("")))
        if (const auto name = fs::relative(entry.path(), bundle.path("")).generic_string();
            entry.is_regular_file() && name != "bundle.sha256") {
            CAPTURE(name);
            ++files;
            REQUIRE(list.contains(name));
            CHECK(list.at(name) == sha256_of_file(entry.path()));
        }
    CHECK(files == list.size());
    CHECK(bundle.verified(0)["added"].empty());
}

TEST_CASE("verify tells what of a bundle is not as its list says, though it is no evidence") {
    const Workbench bench;
    make_hostile_job(bench, "one-position");
    const Unpacked bundle(bench, "one-position");
    for (const char* name : {"check.py", "README.txt", "job/job.toml"}) {
        CAPTURE(name);
        const std::string as_it_was = bundle.read(name);
        bundle.write(name, as_it_was + "# more\n");
        CHECK(holds(bundle.verified(6)["changed"], name));
        fs::remove(bundle.path(name));
        const std::string in_job = fs::path(name).filename().string();
        const json missing = bundle.verified(6)["missing"];
        CHECK((holds(missing, name) || holds(missing, in_job)));
        bundle.write(name, as_it_was);
    }
    bundle.write("beside.txt", "not ours");
    CHECK(holds(bundle.verified(0)["added"], "beside.txt"));
    // A folder or a link beside the job could be taken for it, also where the list names what is in it.
    const std::string list = bundle.read("bundle.sha256");
    fs::create_directory(bundle.path("another"));
    bundle.write("another/job.toml", bundle.read("job/job.toml"));
    CHECK(holds(bundle.verified(6)["changed"], "another"));
    EvidenceLines lines = evidence_lines(list, "bundle.sha256");
    lines.push_back({"another/job.toml", sha256_of_file(bundle.path("another/job.toml"))});
    bundle.write("bundle.sha256", to_text(lines));
    CHECK(bundle.verified(6)["changed"] == json{"another"});
    fs::remove_all(bundle.path("another"));
    bundle.write("bundle.sha256", list);
    fs::create_symlink(bundle.path("README.txt"), bundle.path("README"));
    CHECK(holds(bundle.verified(6)["changed"], "README"));
    fs::remove(bundle.path("README"));
    fs::rename(bundle.path("job"), bench.path("elsewhere"));
    fs::create_directory_symlink(bench.path("elsewhere"), bundle.path("job"));
    CHECK(holds(bundle.verified(6)["changed"], "job"));
    fs::remove(bundle.path("job"));
    fs::rename(bench.path("elsewhere"), bundle.path("job"));
    bundle.write("bundle.sha256", list.substr(list.find('\n') + 1));
    CHECK(holds(bundle.verified(6)["unreadable"], "bundle.sha256"));
    fs::remove(bundle.path("bundle.sha256"));
    CHECK(holds(bundle.verified(6)["missing"], "bundle.sha256"));
}

#ifndef __SANITIZE_ADDRESS__ // the demo takes minutes with sanitizers, which do not look into Python
TEST_CASE("check.py agrees with the demo") {
    const auto with = python();
    if (!with)
        return;
    const Workbench bench;
    REQUIRE(bench.run({"demo", bench.path("demo"), "--quiet"}).code == 0);
    agrees(bench, "demo", *with);
}
#endif

TEST_CASE(
    "check.py agrees with jobs of imported responses, of left out takes, and of several places on one tape") {
    const auto with = python();
    if (!with)
        return;
    const Workbench bench;
    for (const char* job : {"third-visit", "spoiled-takes"}) {
        make_hostile_job(bench, job);
        agrees(bench, job, *with);
    }
    make_tape_job(bench);
    agrees(bench, "tapes", *with);
}

TEST_CASE("check.py differs where files, a figure or a recording were changed") {
    const auto with = python();
    if (!with)
        return;
    const Workbench bench;
    make_hostile_job(bench, "one-position");
    const Unpacked bundle(bench, "one-position");
    REQUIRE(bundle.checked(*with).code == 0);
    const auto differs = [&](const std::string& says) {
        const Ran ran = bundle.checked(*with);
        CAPTURE(says);
        CAPTURE(ran.out);
        CHECK(ran.code == 1);
        CHECK(has(ran.out, says));
        CHECK(has(ran.out, "\ndiffers: "));
        CHECK(!has(ran.out, "agrees"));
    };
    const std::string sound = "job/visits/after/sounds/001.wav", heard = bundle.read(sound);
    std::string flipped = heard;
    flipped[heard.size() / 2] = static_cast<char>(flipped[heard.size() / 2] ^ 1);
    bundle.write(sound, flipped);
    differs("visits/after/sounds/001.wav was changed");
    bundle.write(sound, bundle.read("job/visits/before/sounds/001.wav")); // as if nothing had been built
    bundle.list_anew();
    differs("differs: 40 Hz, 50 Hz");
    bundle.write(sound, heard);

    const std::string findings = bundle.read("findings.json");
    json other = json::parse(findings);
    other["question"]["change_percent"] = other["question"]["change_percent"].get<double>() - 3;
    bundle.write("findings.json", other.dump());
    bundle.list_anew();
    differs("differs: question, by more than 0.1");
    other = json::parse(findings); // an interval that ends before it begins
    std::swap(other["question"]["change_low_percent"], other["question"]["change_high_percent"]);
    bundle.write("findings.json", other.dump());
    bundle.list_anew();
    differs("differs: question, by more than 0.1");
    bundle.write("findings.json", findings);
    bundle.list_anew();

    bundle.write("job/visits/after/takes/S1-M1-02.toml", "");
    differs("job/visits/after/takes/S1-M1-02.toml is not in bundle.sha256");
    fs::remove(bundle.path("job/visits/after/takes/S1-M1-02.toml"));
    fs::remove(bundle.path("README.txt"));
    differs("README.txt is in bundle.sha256, and missing here");
}

TEST_CASE("check.py says what it cannot check") {
    const auto with = python();
    if (!with)
        return;
    const Workbench bench;
    make_hostile_job(bench, "no-modes");
    const Unpacked bundle(bench, "no-modes");
    Ran ran = bundle.checked(*with);
    CHECK(ran.code == 3);
    CHECK(has(ran.out, "cannot check: the question is not of bands, or the proof gives no change for it."));
    fs::remove_all(bundle.path("job/visits/before/sounds"));
    fs::remove_all(bundle.path("job/visits/after/sounds"));
    ran = bundle.checked(*with);
    CHECK(ran.code == 3);
    CHECK(has(ran.out, "cannot check: no recordings in here. A redacted copy has none"));
}
