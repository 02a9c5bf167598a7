// SPDX-License-Identifier: GPL-3.0-or-later
// Input that cannot be used: exit code, and a message with the file, the place and the mend.
#include "workbench.hpp"

#include <doctest/doctest.h>
#include <sys/mount.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <limits>

using namespace ebbmark;

namespace {

constexpr float nan_f = std::numeric_limits<float>::quiet_NaN();
constexpr float inf_f = std::numeric_limits<float>::infinity();

void check_refused(const Ran& ran, int code, const std::vector<std::string>& words) {
    CAPTURE(ran.err);
    CHECK(ran.code == code);
    CHECK(ran.out.empty());
    for (const std::string& word : words) {
        CAPTURE(word);
        CHECK(ran.err.find(word) != std::string::npos);
    }
    CHECK(std::count(ran.err.begin(), ran.err.end(), '\n') == 1);
}

int exit_code_of(const std::string& command) {
    const int status = std::system(command.c_str());
    return WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
}

} // namespace

TEST_CASE("a response that is no response") {
    const Workbench bench;
    const auto decay = [&](const std::string& name, const std::string& bytes) {
        return bench.run({"decay", bench.write(name, bytes)});
    };
    const auto noise = decaying_noise(0.4, 1.5, 1, 48000);
    const std::string whole = float_wav(noise, 1, 48000);

    check_refused(decay("silence.wav", float_wav(std::vector<float>(48000, 0.0f), 1, 48000)), 5,
                  {"silence.wav", "silent"});
    check_refused(decay("text.wav", "These are only words.\n"), 3, {"text.wav"});
    check_refused(decay("empty.wav", ""), 3, {"empty.wav", "empty"});
    check_refused(decay("cut.wav", whole.substr(0, whole.size() / 2)), 3, {"cut.wav", "cut"});
    check_refused(decay("header.wav", whole.substr(0, 30)), 3, {"header.wav"});
    check_refused(decay("nosamples.wav", float_wav({}, 1, 48000)), 3, {"nosamples.wav"});
    check_refused(decay("one.wav", float_wav({0.5f}, 1, 48000)), 5, {"one.wav"});
    auto broken = noise;
    broken[700] = nan_f;
    check_refused(decay("nan.wav", float_wav(broken, 1, 48000)), 3, {"nan.wav", "sample", "channel 1"});
    broken[700] = -inf_f;
    check_refused(decay("inf.wav", float_wav(broken, 1, 48000)), 3, {"inf.wav", "sample", "channel 1"});
    check_refused(decay("slow.wav", float_wav(noise, 1, 4000)), 3, {"slow.wav", "4000"});
    check_refused(bench.run({"decay", bench.path("absent.wav")}), 3, {"absent.wav", "exist"});
    check_refused(bench.run({"decay", bench.path("")}), 3, {"folder"});
}

TEST_CASE("unusual responses are analysed") {
    const Workbench bench;
    for (const unsigned rate : {8000u, 44100u, 192000u}) {
        const auto path = bench.write("r.wav", float_wav(decaying_noise(0.4, 1.2, 1, rate), 1, rate));
        const auto ran = bench.run({"decay", path, "--bands", "octave"});
        CAPTURE(rate);
        CHECK(ran.code == 0);
        CHECK(ran.out.find("nan") == std::string::npos);
        CHECK((ran.out.find("8000") != std::string::npos || ran.out.find("8 k") != std::string::npos ||
               rate != 8000));
    }
    const auto eight = bench.write("eight.wav", float_wav(decaying_noise(0.4, 1.0, 8, 48000), 8, 48000));
    const auto all = bench.run({"decay", eight, "--bands", "octave", "--format", "csv"});
    CHECK(all.code == 0);
    CHECK(std::count(all.out.begin(), all.out.end(), '\n') == 1 + 8 * 9);
    check_refused(bench.run({"decay", eight, "--channel", "9"}), 3, {"eight.wav", "9", "8"});
}

TEST_CASE("a clipped response says so") {
    const Workbench bench;
    auto samples = decaying_noise(0.4, 1.5, 1, 48000);
    for (float& x : samples)
        x = std::clamp(x, -0.05f, 0.05f);
    const auto ran = bench.run({"decay", bench.write("clipped.wav", float_wav(samples, 1, 48000))});
    CHECK(ran.code == 0);
    CHECK(ran.out.find("clipped") != std::string::npos);
}

TEST_CASE("recordings and descriptions that do not fit") {
    const Workbench bench;
    REQUIRE(bench.run({"sweep", bench.path("test.wav"), "--seconds", "2", "--from", "40"}).code == 0);
    const auto noise = bench.write("noise.wav", float_wav(decaying_noise(90, 8, 1, 48000), 1, 48000));
    const auto deconvolve = [&](const std::string& recording, const std::string& sweep) {
        return bench.run({"deconvolve", recording, "--sweep", sweep, "--response", bench.path("ir.wav")});
    };
    const auto describe = [&](const std::string& text) {
        return bench.write("s.toml", "[sweep]\nkind = \"exponential\"\n" + text);
    };

    check_refused(deconvolve(noise, bench.path("test.toml")), 3,
                  {"noise.wav", "sweep is not in the recording", "--sweep"});
    check_refused(deconvolve(bench.write("zero.wav", float_wav(std::vector<float>(96000, 0.0f), 1, 48000)),
                             bench.path("test.toml")),
                  3, {"zero.wav", "silent"});
    check_refused(
        deconvolve(bench.path("test.wav"), describe("start_hz = 40\nstop_hz = 20000\nsecond = 2\n")), 3,
        {"s.toml", "second", "seconds"});
    check_refused(
        deconvolve(bench.path("test.wav"), describe("start_hz = 40\nstop_hz = 20000\nseconds = \"2 m\"\n")),
        3, {"s.toml", "seconds"});
    check_refused(
        deconvolve(bench.path("test.wav"), describe("start_hz = 40\nstop_hz = 20000\nseconds = -2\n")), 3,
        {"s.toml", "seconds", "-2"});
    check_refused(deconvolve(bench.path("test.wav"), describe("start_hz = 40\n")), 3, {"s.toml", "stop_hz"});
    check_refused(deconvolve(bench.path("test.wav"), bench.write("broken.toml", "[sweep\n")), 3,
                  {"broken.toml", "line 1"});
    check_refused(deconvolve(bench.path("test.wav"), bench.path("absent.toml")), 3, {"absent.toml", "exist"});
    CHECK(!std::filesystem::exists(bench.path("ir.wav")));
}

TEST_CASE("destinations that cannot be written leave nothing behind") {
    const Workbench bench;
    const auto ir = bench.write("ir.wav", float_wav(decaying_noise(0.4, 1.0, 1, 48000), 1, 48000));
    check_refused(bench.run({"decay", ir, "--out", bench.path("none/x.txt")}), 3, {"none", "exist"});
    bench.write("x.txt", "mine");
    check_refused(bench.run({"decay", ir, "--out", bench.path("x.txt")}), 3, {"x.txt", "--force"});
    CHECK(bench.read("x.txt") == "mine");
    CHECK(bench.run({"decay", ir, "--out", bench.path("x.txt"), "--force"}).code == 0);
    CHECK(bench.read("x.txt") != "mine");
    if (geteuid() != 0) { // root may write anywhere
        std::filesystem::create_directory(bench.path("locked"));
        chmod(bench.path("locked").c_str(), 0500);
        check_refused(bench.run({"decay", ir, "--out", bench.path("locked/x.txt")}), 3,
                      {"locked", "permission"});
    }
}

TEST_CASE("a full disk is an error with a name, for files and for standard output") {
    const Workbench bench;
    const auto ir = bench.write("ir.wav", float_wav(decaying_noise(0.4, 1.0, 1, 48000), 1, 48000));
    const std::string program = std::string("\"") + EBBMARK_PROGRAM + "\"";
    CHECK(exit_code_of(program + " decay " + ir + " >/dev/full 2>" + bench.path("err")) == 3);
    CHECK(bench.read("err").find("standard output") != std::string::npos);
    // A limit on file sizes stands in for a disk that fills up while a file is being written.
    CHECK(exit_code_of("ulimit -f 8; trap '' XFSZ; " + program + " sweep " + bench.path("big.wav") + " 2>" +
                       bench.path("err")) == 3);
    CHECK(bench.read("err").find("big.wav") != std::string::npos);
    for (const std::string& name : bench.names())
        CHECK((name == "err" || name == "ir.wav"));
}

TEST_CASE("a wrong command line is exit code 2 and one sentence") {
    const Workbench bench;
    check_refused(bench.run({"deacy", "a.wav"}), 2, {"deacy", "did you mean decay"});
    check_refused(bench.run({"decay"}), 2, {"decay", "--help"});
    check_refused(bench.run({"decay", "a.wav", "--band", "octave"}), 2, {"--band", "did you mean --bands"});
    check_refused(bench.run({"decay", "a.wav", "--bands", "half"}), 2, {"half", "third", "octave"});
    check_refused(bench.run({"decay", "a.wav", "--from", "low"}), 2, {"--from", "low", "Hz"});
    check_refused(bench.run({"decay", "a.wav", "--channel", "0"}), 2, {"--channel", "0"});
    check_refused(bench.run({"compare", "--before", "a.wav"}), 2, {"--after"});
    check_refused(bench.run({"compare", "--before", "a.wav", "--after", "b.wav", "--volume", "35 m2"}), 2,
                  {"--volume", "m3"});
    check_refused(bench.run({"deconvolve", "a.wav"}), 2, {"--sweep", "--response"});
    check_refused(bench.run({"sweep", bench.path("x.mp3")}), 2, {".wav"});
    check_refused(bench.run({"sweep", bench.path("x.wav"), "--seconds", "0"}), 3, {"seconds"});
    const auto a = bench.write("a.wav", float_wav(decaying_noise(0.4, 1.0, 1, 48000), 1, 48000));
    check_refused(bench.run({"compare", "--before", a, a, "--after", a}), 2, {"--unpaired"});
    check_refused(bench.run({"decay", a, "--picture", bench.path("x.gif")}), 2, {".gif", ".svg"});
}
