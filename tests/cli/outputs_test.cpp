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
    for (const std::string& response : {recording, bench.path("other-name.wav"), bench.path("./rec.wav")})
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
    fs::create_directory(job + "/results");
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
    bench.write("letter.txt", "mine");
    fs::create_symlink("letter.txt", zip + ".part");
    REQUIRE(bench.run({"bundle", job, zip}).code == 0);
    CHECK(bench.read("letter.txt") == "mine");
    CHECK(bench.run({"bundle", job, zip, "--force"}).code == 0);
    bench.write("photos.zip", "PK\x03\x04 of another program");
    check_refused(bench.run({"bundle", job, bench.path("photos.zip"), "--force"}), "photos.zip",
                  "is not a bundle written by ebbmark");
    REQUIRE(bench.run({"proof", job, "--data", bench.path("data")}).code == 0);
    CHECK(bench.read("data/response-after-S1-M2-01.wav").find("ebbmark response; source_from_hz=") !=
          std::string::npos);
}

namespace {

/// The exit code of the program run by a user without rights; -1 where that cannot be tried.
int run_without_rights(const Workbench& bench, const std::string& words) {
    const std::string user = geteuid() == 0 ? "setpriv --reuid=65534 --regid=65534 --clear-groups " : "";
    const std::string program = user + "\"" + EBBMARK_PROGRAM + "\" ";
    const auto run = [&](const std::string& rest, const std::string& to) {
        const int status = std::system((program + rest + " >/dev/null 2>" + to).c_str());
        return WIFEXITED(status) ? WEXITSTATUS(status) : 128;
    };
    return run("--version", "/dev/null") == 0 ? run(words, bench.path("err")) : -1;
}

} // namespace

TEST_CASE("what may not be read or written is named, with the mend") {
    const Workbench bench;
    const std::string job = measured_job(bench);
    fs::permissions(bench.path("."), fs::perms(0755));
    if (run_without_rights(bench, "verify " + job) == -1) {
        MESSAGE("skipped: the program cannot be run as another user");
        return;
    }
    const auto refused = [&](const std::string& closed, const std::string& words) {
        const auto rights = fs::status(closed).permissions();
        fs::permissions(closed, fs::perms(0));
        const int code = run_without_rights(bench, words);
        fs::permissions(closed, rights);
        CAPTURE(words);
        CAPTURE(bench.read("err"));
        CHECK(code == 3);
        CHECK(bench.read("err").find("ermission") != std::string::npos);
        CHECK(bench.read("err").find(job) != std::string::npos);
    };
    for (const std::string folder : {"", "/visits", "/visits/before", "/visits/before/takes"})
        for (const std::string words : {"verify ", "next ", "compare ", "predict "})
            refused(job + folder, words + job);
    for (const std::string file :
         {"/job.toml", "/evidence.sha256", "/visits/before/visit.toml", "/visits/before/takes/S1-M1-01.toml"})
        refused(job + file, "compare " + job);
    refused(job + "/visits/before/sounds", "bundle " + job + " " + bench.path("b.zip"));
    fs::create_directory(job + "/photos");
    refused(job + "/photos", "verify " + job);
    refused(job, "decay " + bench.write("ir.wav", response(0.5, 8)) + " --out " + job + "/results/x.txt");
}

TEST_CASE("archives and folders that are no job are refused by verify") {
    const Workbench bench;
    const std::string job = measured_job(bench), zip = bench.path("b.zip");
    REQUIRE(bench.run({"bundle", job, zip}).code == 0);
    const std::string bytes = bench.read("b.zip");
    const auto put = [&](std::string text, const std::string& from, const std::string& to) {
        for (std::size_t at = 0; (at = text.find(from, at)) != text.npos; at += to.size())
            text.replace(at, from.size(), to);
        return text;
    };
    const std::vector<std::string> odd = {"",
                                          "PK",
                                          bytes.substr(0, bytes.size() / 2),
                                          put(bytes, "job/job.toml", "job/visits/x"),
                                          put(bytes, "job/evidence.sha256", "../../evidence.sha2"),
                                          put(bytes, "README.txt", "job/visits"),
                                          put(bytes, "job/job.toml", std::string("job\0job.toml", 12)),
                                          put(bytes, "README.txt", "\xFF\xFE\xFF\xFE.\xFFxx\xFF")};
    for (std::size_t i = 0; i < odd.size(); ++i) {
        CAPTURE(i);
        const Ran ran = bench.run({"verify", bench.write("odd.zip", odd[i])});
        CAPTURE(ran.err);
        CHECK((ran.code == 3 || ran.code == 6));
        CHECK(ran.err.find("internal fault") == std::string::npos);
    }
    fs::create_directory(bench.path("empty"));
    fs::create_directories(bench.path("strange/job.toml"));
    fs::create_directories(bench.path("strange/evidence.sha256"));
    for (const std::string command : {"verify", "next", "predict", "compare", "promise"})
        for (const std::string place : {"empty", "strange", "none", "b.zip/x"}) {
            CAPTURE(command + " " + place);
            const Ran ran = bench.run({command, bench.path(place)});
            CAPTURE(ran.err);
            CHECK((ran.code == 3 || (command == "verify" && ran.code == 6)));
            CHECK(ran.err.find("internal fault") == std::string::npos);
        }
}

TEST_CASE("numbers without end on the command line are refused") {
    const Workbench bench;
    const auto ir = bench.write("ir.wav", response(0.6, 9));
    const std::vector<std::vector<std::string>> commands = {
        {"decay", ir, "--from", "1e308"},
        {"decay", ir, "--to", "1e308"},
        {"decay", ir, "--from", "-1e308", "--to", "1e-308"},
        {"ringing", ir, "--room", "1e308 x 1e308 x 1e308 m"},
        {"ringing", ir, "--room", "1e-300 x 1 x 1 m"},
        {"ringing", ir, "--room", "4 x 3 x 2 m", "--temperature", "-300"},
        {"ringing", ir, "--from", "1e308", "--to", "1e308"},
        {"waterfall", ir, "--window", "1e308"},
        {"waterfall", ir, "--to", "1e308"},
        {"compare", "--before", ir, "--after", ir, "--volume", "1e308"},
        {"deconvolve", ir, "--sweep", ir, "--response", bench.path("r.wav"), "--distance", "1e308"},
        {"sweep", bench.path("s.wav"), "--seconds", "1e308"},
        {"sweep", bench.path("s.wav"), "--from", "1e-308"},
        {"sweep", bench.path("s.wav"), "--level", "-1e308"},
        {"sweep", bench.path("s.wav"), "--rate", "1e308"}};
    for (const auto& words : commands) {
        CAPTURE(words[0] + " " + words[words.size() - 2] + " " + words.back());
        const Ran ran = bench.run(words);
        CAPTURE(ran.out);
        CAPTURE(ran.err);
        const bool answered = ran.code == 0 && ran.out.find("nan") == std::string::npos &&
                              ran.out.find("inf") == std::string::npos;
        CHECK((answered || ran.code == 2 || ran.code == 3 || ran.code == 5));
    }
}
