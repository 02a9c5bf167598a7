// SPDX-License-Identifier: GPL-3.0-or-later
// No result of a command may cost a recording, a job or anything else that this program did not write.
#include "workbench.hpp"

#include <doctest/doctest.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cstdlib>
#include <map>

using namespace ebbmark;
namespace fs = std::filesystem;

namespace {

const char* const job_toml = R"([job]
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
)";

std::string response(double t60_s, std::uint64_t seed) {
    return float_wav(decaying_noise(t60_s, 1.2, 1, 48000, seed), 1, 48000);
}

/// Two positions before and after, as responses made elsewhere.
std::string measured_job(const Workbench& bench, const std::string& toml = job_toml) {
    const std::string job = bench.path("job");
    REQUIRE(bench.run({"new", job}).code == 0);
    bench.write("job/job.toml", toml);
    std::uint64_t seed = 1;
    for (const std::string visit : {"before", "after"})
        for (const std::string position : {"S1-M1", "S1-M2"}) {
            const auto file = bench.write("in.wav", response(visit == "before" ? 0.8 : 0.4, seed++));
            REQUIRE(bench.run({"import", job, visit, file, position}).code == 0);
        }
    fs::remove(bench.path("in.wav"));
    return job;
}

/// Every file and its bytes; that of the lock comes and goes.
std::map<std::string, std::string> content(const fs::path& folder) {
    std::map<std::string, std::string> files;
    for (const auto& entry : fs::recursive_directory_iterator(folder))
        if (entry.is_regular_file() && entry.path().filename() != ".lock") {
            std::ifstream file(entry.path(), std::ios::binary);
            files[entry.path().string()] = {std::istreambuf_iterator<char>(file), {}};
        }
    return files;
}

void check_refused(const Ran& ran, const std::string& file, const std::string& reason) {
    CAPTURE(ran.err);
    CHECK(ran.code == 3);
    CHECK(ran.err.find(file) != std::string::npos);
    CHECK(ran.err.find(reason) != std::string::npos);
}

} // namespace

TEST_CASE("no result replaces what its own command reads") {
    const Workbench bench;
    REQUIRE(
        bench.run({"sweep", bench.path("s.wav"), "--seconds", "1", "--repeats", "1", "--from", "100"}).code ==
        0);
    const std::string sweep = bench.path("s.toml"), recording = bench.path("rec.wav");
    fs::copy_file(bench.path("s.wav"), recording);
    const std::string ir = bench.path("ir.wav");
    REQUIRE(bench.run({"deconvolve", recording, "--sweep", sweep, "--response", ir}).code == 0);
    fs::create_hard_link(recording, bench.path("other-name.wav"));
    fs::create_symlink("rec.wav", bench.path("link.wav"));
    const auto before = content(bench.path(""));
    const std::string read = "is read by this command too";
    for (const std::string response : {recording, bench.path("other-name.wav"), bench.path("./rec.wav")})
        check_refused(
            bench.run({"deconvolve", recording, "--sweep", sweep, "--response", response, "--force"}),
            response, read);
    check_refused(bench.run({"deconvolve", bench.path("link.wav"), "--sweep", sweep, "--response", recording,
                             "--force"}),
                  "rec.wav", read);
    check_refused(bench.run({"deconvolve", recording, "--sweep", bench.path("s.wav"), "--response",
                             bench.path("s.wav"), "--force"}),
                  "s.wav", read);
    check_refused(bench.run({"deconvolve", recording, "--sweep", sweep, "--response", bench.path("x.wav"),
                             "--out", sweep, "--force"}),
                  "s.toml", read);
    check_refused(bench.run({"deconvolve", recording, "--sweep", sweep, "--curve", bench.path("ir.wav"),
                             "--response", ir, "--force"}),
                  "ir.wav", read);
    check_refused(bench.run({"decay", ir, "--out", ir, "--force"}), "ir.wav", read);
    check_refused(bench.run({"compare", "--before", ir, "--after", ir, "--out", ir, "--force"}), "ir.wav",
                  read);
    CHECK(content(bench.path("")) == before);
}

TEST_CASE("a sound is replaced only where this program made it from another one") {
    const Workbench bench;
    const std::vector<std::string> make = {
        "sweep", bench.path("s.wav"), "--seconds", "1", "--repeats", "1", "--from", "100"};
    REQUIRE(bench.run(make).code == 0);
    auto again = make;
    again.push_back("--force");
    CHECK(bench.run(again).code == 0);
    const std::string recording = bench.path("rec.wav"), sweep = bench.path("s.toml");
    fs::copy_file(bench.path("s.wav"), recording);
    const std::vector<std::string> deconvolve = {"deconvolve", recording, "--sweep",
                                                 sweep,        "--force", "--response"};
    const auto to = [&](const std::string& response) {
        auto words = deconvolve;
        words.push_back(bench.path(response));
        return bench.run(words);
    };
    REQUIRE(to("ir.wav").code == 0);
    CHECK(to("ir.wav").code == 0);
    bench.write("yesterday.wav", response(0.5, 3));
    check_refused(to("yesterday.wav"), "yesterday.wav", "is not a response made by ebbmark");
    CHECK(bench.read("yesterday.wav") == response(0.5, 3));
    check_refused(to("s.wav"), "s.wav", "is not a response made by ebbmark");
    bench.write("s.wav", response(0.5, 4));
    check_refused(bench.run(again), "s.wav", "is not a sweep with its description beside it");
    CHECK(bench.read("s.wav") == response(0.5, 4));
    bench.write("t.toml", "[room]\n");
    check_refused(bench.run({"sweep", bench.path("t.wav"), "--force"}), "t.toml",
                  "is not the description of a sweep");
    CHECK(!fs::exists(bench.path("t.wav")));
}

TEST_CASE("no result goes into a job but into its results") {
    const Workbench bench;
    const std::string job = measured_job(bench), sound = job + "/visits/before/sounds/001.wav";
    const auto ir = bench.write("ir.wav", response(0.6, 9));
    fs::create_directory_symlink(job + "/visits", bench.path("away"));
    fs::create_directory_symlink(job + "/visits", job + "/results/away");
    const auto before = content(job);
    const std::string inside = "lies inside the job";
    for (const std::string& out :
         {sound, job + "/job.toml", job + "/x.txt", job + "/evidence.sha256", job + "/results/../x.txt",
          bench.path("away/x.txt"), job + "/results/away/x.txt", job + "/visits/../visits/x.txt"}) {
        CAPTURE(out);
        check_refused(bench.run({"decay", ir, "--out", out, "--force"}), out, inside);
    }
    check_refused(bench.run({"verify", job, "--out", job + "/job.toml", "--force"}), "job.toml", inside);
    check_refused(bench.run({"sweep", job + "/visits/before/sounds/002.wav"}), "002.wav", inside);
    check_refused(bench.run({"decay", ir, "--picture", job + "/visits/d.svg"}), "d.svg", inside);
    check_refused(bench.run({"compare", job, "--page", job + "/p.pdf"}), "p.pdf", inside);
    check_refused(bench.run({"deconvolve", ir, "--sweep", ir, "--response", sound, "--force"}), "001.wav",
                  inside);
    check_refused(bench.run({"bundle", job, job + "/visits/b.zip"}), "b.zip", inside);
    check_refused(bench.run({"proof", job, "--into", job + "/visits"}), "proof.pdf", inside);
    check_refused(bench.run({"proof", job, "--data", job + "/visits/data"}), job, inside);
    check_refused(bench.run({"new", job + "/visits/later"}), "later", inside);
    check_refused(bench.run({"demo", job + "/demo"}), "demo", inside);
    CHECK(content(job) == before);
    CHECK(bench.run({"decay", ir, "--out", job + "/results/x.txt"}).code == 0);
    fs::remove(job + "/results/away");
    CHECK(bench.run({"verify", job}).out.find("x.txt") == std::string::npos);
    // Nor do results leave it through a link.
    fs::remove_all(job + "/results");
    fs::create_directory_symlink(job + "/visits", job + "/results");
    check_refused(bench.run({"proof", job}), "results", "is a link");
}

TEST_CASE("a result replaces neither links, folders and devices, nor files of another kind") {
    const Workbench bench;
    const auto ir = bench.write("ir.wav", response(0.6, 9));
    const auto decay = [&](std::vector<std::string> words) {
        words.insert(words.begin(),
                     {"decay", ir, "--bands", "octave", "--from", "1000", "--to", "1000", "--force"});
        return bench.run(words);
    };
    bench.write("letter.txt", "mine");
    fs::create_symlink("letter.txt", bench.path("link.txt"));
    fs::create_symlink("nowhere.txt", bench.path("dangling.txt"));
    fs::create_directory(bench.path("folder"));
    REQUIRE(mkfifo(bench.path("pipe").c_str(), 0600) == 0);
    check_refused(decay({"--out", bench.path("link.txt")}), "link.txt", "is a link");
    check_refused(decay({"--out", bench.path("dangling.txt")}), "dangling.txt", "is a link");
    check_refused(decay({"--out", bench.path("folder")}), "folder", "is a folder");
    check_refused(decay({"--out", bench.path("pipe")}), "pipe", "is not a regular file");
    check_refused(decay({"--out", "/dev/null"}), "/dev/null", "is not a regular file");
    bench.write("a.json", "{\"name\": \"of another program\"}");
    bench.write("a.toml", "[room]\nlength = \"4 m\"\n");
    bench.write("photo.png", "no picture at all");
    check_refused(decay({"--format", "json", "--out", bench.path("a.json")}), "a.json",
                  "is not JSON written by ebbmark");
    check_refused(decay({"--out", bench.path("a.toml")}), "a.toml", "is not a text");
    check_refused(decay({"--picture", bench.path("photo.png")}), "photo.png", "is not a PNG picture");
    CHECK(bench.read("letter.txt") == "mine");
    CHECK(!fs::exists(bench.path("nowhere.txt")));
    CHECK(bench.read("a.json") == "{\"name\": \"of another program\"}");
    CHECK(bench.read("photo.png") == "no picture at all");
    for (const std::string format : {"text", "json", "csv"})
        for (int i = 0; i < 2; ++i)
            CHECK(decay({"--format", format, "--out", bench.path("r." + format)}).code == 0);
    for (const std::string picture : {"p.svg", "p.png", "p.pdf"})
        for (int i = 0; i < 2; ++i)
            CHECK(decay({"--picture", bench.path(picture)}).code == 0);
    const Ran twice = decay({"--picture", bench.path("t.pdf"), "--out", bench.path("folder/../t.pdf")});
    CHECK(twice.code == 2);
    CHECK(twice.err.find("two results go there") != std::string::npos);
}

TEST_CASE("a bundle replaces bundles alone, and the data of a proof itself") {
    const Workbench bench;
    const std::string job = measured_job(bench), zip = bench.path("b.zip");
    REQUIRE(bench.run({"bundle", job, zip}).code == 0);
    CHECK(bench.run({"bundle", job, zip, "--force"}).code == 0);
    const std::string bytes = bench.read("b.zip");
    bench.write("photos.zip", "PK\x03\x04 of another program");
    check_refused(bench.run({"bundle", job, bench.path("photos.zip"), "--force"}), "photos.zip",
                  "is not a bundle written by ebbmark");
    bench.write("letter.txt", "mine");
    fs::remove(zip);
    fs::create_symlink("letter.txt", zip + ".part");
    CHECK(bench.run({"bundle", job, zip}).code == 0);
    CHECK(bench.read("b.zip") == bytes);
    CHECK(bench.read("letter.txt") == "mine");
    for (int i = 0; i < 2; ++i) {
        const Ran proof =
            bench.run({"proof", job, "--into", bench.path("."), "--data", bench.path("data"), "--force"});
        CAPTURE(proof.err);
        CHECK(proof.code == 0);
    }
}
