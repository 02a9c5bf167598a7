// SPDX-License-Identifier: GPL-3.0-or-later
// Whole takes through PortAudio and a real sound server, whose only device is a room that this test knows.
// EBBMARK_STREAM_RUNS=N repeats what is measured as a rate; once by default. EBBMARK_STREAM_KILLS=N kills the
// server at N moments; 6 by default.
#include "../cli/workbench.hpp"
#include "base/random.hpp"
#include "files/audio_file.hpp"
#include "job/job_folder.hpp"
#include "signal/fft.hpp"
#include "sound_server.hpp"
#include "work/analysed_job.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>
#include <nlohmann/json.hpp>
#include <sys/mount.h>

#include <chrono>
#include <cmath>
#include <csignal>
#include <cstdlib>
#include <map>
#include <numbers>
#include <thread>

using namespace ebbmark;
using namespace ebbmark::tests;
using nlohmann::json;

namespace {

int runs() {
    const char* asked = std::getenv("EBBMARK_STREAM_RUNS");
    return asked == nullptr ? 1 : std::max(1, std::atoi(asked));
}

bool can_run() {
    static const bool can = [] {
        if (!server_installed())
            return false;
        separate_shared_memory();
        return true;
    }();
    if (!can)
        MESSAGE("left out: the sound server jackd is not installed");
    return can;
}

constexpr const char* job_text = R"([job]
title = "Test room, invented"
[question]
kind = "bands"
from = "63 Hz"
to = "200 Hz"
[room]
length = "4.1 m"
width = "3.3 m"
height = "2.6 m"
[[source]]
id = "S1"
at = ["0.6 m", "1.1 m", "1.2 m"]
lowest = "20 Hz"
[[microphone]]
id = "M1"
at = ["2.4 m", "1.65 m", "1.2 m"]
[[microphone]]
id = "M2"
at = ["3.1 m", "2.2 m", "1.2 m"]
)";

/// A job and a room that a sound server plays in.
struct Site {
    Workbench bench;
    Signal truth;
    std::unique_ptr<SoundServer> sound;

    explicit Site(const std::vector<std::string>& words, int rate_hz = 48000) {
        const auto response = decaying_noise(0.4, 1.0, 1, rate_hz);
        truth.rate_hz = rate_hz;
        // As loud as the sweep: no sample of what comes back is above full scale.
        for (const float x : response)
            truth.samples.push_back(0.05 * static_cast<double>(x));
        bench.write("room.wav", wav_bytes({truth.samples}, rate_hz, SampleFormat::float32, "", "room.wav"));
        bench.run({"new", bench.path("job")});
        bench.write("job/job.toml", job_text);
        start(words);
    }

    void start(const std::vector<std::string>& words) {
        sound.reset();
        sound = std::make_unique<SoundServer>(bench.path(""), bench.path("room.wav"), words,
                                              static_cast<int>(truth.rate_hz));
    }

    std::unique_ptr<Child> begin(std::vector<std::string> words) const {
        words.insert(words.begin(), EBBMARK_PROGRAM);
        return std::make_unique<Child>(words, bench.path("out.txt"), bench.path("err.txt"));
    }

    std::vector<std::string> take(const std::vector<std::string>& more = {}) const {
        return take_at("before", "S1-M1", more);
    }

    std::vector<std::string> take_at(const std::string& visit, const std::string& position,
                                     const std::vector<std::string>& more = {}) const {
        std::vector<std::string> words = {"take",      bench.path("job"),
                                          visit,       position,
                                          "--device",  "room",
                                          "--level",   "-12",
                                          "--seconds", "3",
                                          "--format",  "json",
                                          "--rate",    std::to_string(static_cast<int>(truth.rate_hz))};
        words.insert(words.end(), more.begin(), more.end());
        return words;
    }

    Ran run(const std::vector<std::string>& words, double seconds = 60) const {
        const auto child = begin(words);
        const int code = child->wait(seconds);
        return {code, bench.read("out.txt"), bench.read("err.txt")};
    }

    AnalysedJob job() const { return AnalysedJob(bench.path("job"), Access::read); }
};

json object_of(const Ran& ran) {
    INFO(ran.err);
    REQUIRE(!ran.out.empty());
    return json::parse(ran.out)["takes"][0];
}

json check_named(const json& take, const std::string& name) {
    INFO(take.dump());
    for (const json& check : take["checks"])
        if (check["name"] == name)
            return check;
    FAIL("no check ", name);
    return {};
}

/// Energy of what the take's response has more or less than the truth, from 20 Hz to the sweep's end, in dB
/// below the truth, at the best delay.
double error_db(const AnalysedJob& job, const Take& take, const Signal& truth) {
    const Signal response = job.response_of(take).response;
    const std::size_t size = fast_fft_size(response.size() + truth.size());
    RealFft fft(size);
    const auto found = fft.forward(response.samples), wanted = fft.forward(truth.samples);
    std::vector<Complex> cross(found.size());
    for (std::size_t k = 0; k < cross.size(); ++k)
        cross[k] = found[k] * std::conj(wanted[k]);
    const auto correlation = fft.inverse(cross);
    const auto peak =
        static_cast<double>(std::max_element(correlation.begin(), correlation.end()) - correlation.begin());
    const double step_hz = response.rate_hz / static_cast<double>(size);
    const double to_hz = std::min(20000.0, 0.45 * response.rate_hz);
    const auto error_at = [&](double delay) {
        double error = 0, energy = 0;
        for (auto k = static_cast<std::size_t>(20 / step_hz); k < static_cast<std::size_t>(to_hz / step_hz);
             ++k) {
            const double turn =
                -2 * std::numbers::pi * static_cast<double>(k) * delay / static_cast<double>(size);
            error += std::norm(found[k] - wanted[k] * std::polar(1.0, turn));
            energy += std::norm(wanted[k]);
        }
        return 10 * std::log10(error / energy);
    };
    double best = peak, step = 0.5;
    while (step > 1e-6) {
        const double here = error_at(best);
        if (error_at(best + step) < here)
            best += step;
        else if (error_at(best - step) < here)
            best -= step;
        else
            step /= 2;
    }
    return error_at(best);
}

void pause(double seconds) {
    std::this_thread::sleep_for(std::chrono::duration<double>(seconds));
}

/// A fault in the middle of a take leaves a rejected take and an intact job behind, within 3 s.
void check_left_behind(const Site& site, const Ran& ran, std::size_t takes) {
    INFO(ran.err);
    const AnalysedJob job = site.job();
    REQUIRE(job.takes().size() == takes);
    CHECK(!job.takes().back().accepted);
    CHECK(site.bench.run({"verify", site.bench.path("job")}).code == 0);
}

} // namespace

TEST_CASE("the sound server's room is listed, and the drivers keep quiet") {
    if (!can_run())
        return;
    const Site site({});
    const Ran ran = site.run({"devices", "--format", "json"});
    CHECK(ran.code == 0);
    CHECK(ran.err == "");
    bool listed = false;
    const json found = json::parse(ran.out);
    for (const json& device : found["devices"])
        listed |= device["name"] == "room" && device["inputs"] == 1 && device["outputs"] == 1;
    INFO(ran.out);
    CHECK(listed);
    const Ran other = site.run(site.take({"--rate", "44100"}));
    CHECK(other.code != 0);
}

TEST_CASE("a take recovers the room's response") {
    if (!can_run())
        return;
    // Source: property, the room's own response. 60 dB: what is left is the 24-bit file and the sweep's ends.
    for (int run = 0; run < runs(); ++run) {
        Site site({"freewheel"});
        const Ran ran = site.run(site.take());
        CHECK(ran.code == 0);
        CHECK(object_of(ran)["accepted"] == true);
        const AnalysedJob job = site.job();
        REQUIRE(job.takes().size() == 1);
        const double error = error_db(job, job.takes()[0], site.truth);
        MESSAGE("run ", run + 1, ": error ", error, " dB");
        CHECK(error < -60);
        CHECK(!job.simulated());
    }
}

TEST_CASE("a take recovers the room's response at other rates") {
    if (!can_run())
        return;
    for (const int rate_hz : {44100, 96000, 176400, 192000}) {
        CAPTURE(rate_hz);
        Site site({"freewheel"}, rate_hz);
        CHECK(site.run(site.take()).code == 0);
        const AnalysedJob job = site.job();
        REQUIRE(job.takes().size() == 1);
        const double error = error_db(job, job.takes()[0], site.truth);
        MESSAGE(rate_hz, " Hz: error ", error, " dB");
        CHECK(error < -60);
    }
}

TEST_CASE("a rate that the server does not run at is refused with the mend") {
    if (!can_run())
        return;
    const Site site({});
    auto words = site.take();
    words.back() = "44100";
    const Ran ran = site.run(words);
    CHECK(ran.code == 4);
    CHECK(ran.err.find("--rate 48000") != std::string::npos);
}

TEST_CASE("two clocks, noise, clipping and a lost block are named") {
    if (!can_run())
        return;
    const auto with = [](const std::vector<std::string>& words, const auto& check) {
        Site site(words);
        const Ran ran = site.run(site.take());
        check(site, ran, object_of(ran));
    };
    with({"freewheel", "ppm", "100"}, [](const Site& site, const Ran&, const json& take) {
        // Source: property, the room's clock. The take corrects it: nothing to reject.
        CHECK(std::abs(take["drift_ppm"].get<double>() - 100) < 0.1);
        CHECK(take["accepted"] == true);
        CHECK(error_db(site.job(), site.job().takes()[0], site.truth) < -60);
    });
    with({"freewheel", "noise", "0.1"}, [](const Site&, const Ran&, const json& take) {
        CHECK(check_named(take, "decay range")["held"] == false);
    });
    with({"freewheel", "gain", "30"}, [](const Site&, const Ran& ran, const json& take) {
        CHECK(ran.code == 5);
        CHECK(check_named(take, "clipping")["held"] == false);
    });
    with({"freewheel", "lose", "2.5"}, [](const Site&, const Ran& ran, const json& take) {
        CHECK(ran.code == 5);
        CHECK(check_named(take, "lost samples")["held"] == false);
    });
}

namespace {

/// `level` on the job of a site, at the pace of a sound card: a server that runs free often answers nobody
/// when the second of its streams opens. Tried again where a busy machine lost samples, which level says.
Ran find_level(Site& site, const std::vector<std::string>& words) {
    Ran ran{5, {}, {}};
    for (int attempt = 0; attempt < 3 && (ran.code == 4 || ran.code == 5); ++attempt) {
        site.start(words);
        ran = site.run(
            {"level", site.bench.path("job"), "--device", "room", "--limit", "-6", "--format", "json"}, 150);
    }
    return ran;
}

} // namespace

TEST_CASE("level finds what the gain allows, and no take is louder") {
    if (!can_run())
        return;
    double before_dbfs = 0;
    for (const std::string gain : {"1", "0.1"}) {
        CAPTURE(gain);
        Site site({});
        const Ran ran = find_level(site, {"noise", "0.0005", "gain", gain});
        INFO(ran.err);
        CHECK(ran.err.find("hearing protection") != std::string::npos);
        REQUIRE(ran.code == 0);
        const Ran louder =
            site.run({"take", site.bench.path("job"), "before", "S1-M1", "--device", "room", "--level", "0"});
        INFO(louder.err);
        CHECK(louder.code == 2);
        CHECK(site.job().takes().empty());
        const double found_dbfs = json::parse(ran.out)["level_dbfs"];
        if (gain == "1")
            before_dbfs = found_dbfs;
        else // 20 dB less come back: about 20 dB more are played, in steps of 6
            CHECK(std::abs(found_dbfs - before_dbfs - 18) < 6.1);
    }
}

TEST_CASE("take plays nothing on an output or loudspeaker whose level was not found") {
    if (!can_run())
        return;
    Site site({});
    const std::string job = site.bench.path("job");
    site.bench.write("job/job.toml", std::string(job_text) + "[[source]]\nid = \"S2\"\n"
                                                             "at = [\"3.4 m\", \"1.1 m\", \"1.2 m\"]\n");
    const std::vector<std::string> take = {"take", job, "before"};
    const auto refused = [&](std::vector<std::string> words, const std::string& command) {
        words.insert(words.begin(), take.begin(), take.end());
        const Ran ran = site.run(words);
        INFO(ran.err);
        CHECK(ran.code == 3);
        CHECK(ran.err.find(command) != std::string::npos);
    };
    refused({"S1-M1", "--device", "room"}, "ebbmark level " + job + " --source S1 --device room");
    REQUIRE(find_level(site, {}).code == 0);
    refused({"S2-M1", "--device", "room"}, "ebbmark level " + job + " --source S2 --device room");
    refused({"S1-M1", "--output", "system", "--input", "room", "--level", "-40"},
            "ebbmark level " + job + " --source S1 --input room --output system");
    // Of an earlier version, without what it holds for.
    site.bench.write("job/level.toml", "[level]\ndevice = \"JACK Audio Connection Kit: room\"\nsimulated = "
                                       "false\nfound_at = \"2001-02-03T14:05:00+01:00\"\n\n[sweep]\n"
                                       "start_hz = 20\nstop_hz = 20000\nseconds = 10\n");
    refused({"S1-M1", "--device", "room", "--level", "-40"}, "ebbmark level " + job + " --source S1");
    CHECK(site.job().takes().empty());
}

TEST_CASE("what changed under the visits is told when they are compared") {
    if (!can_run())
        return;
    Site site({"freewheel"});
    int seed = 0;
    const auto measure = [&](const char* visit, const std::string& noise, const std::string& delay,
                             const std::vector<std::string>& gains) {
        // A server that ran free loses samples of the next stream, so each take has its own.
        for (std::size_t i = 0; i < gains.size(); ++i) {
            site.start({"freewheel", "noise", noise, "delay", delay, "gain", gains[i], "seed",
                        std::to_string(++seed)});
            const Ran ran = site.run(site.take_at(visit, "S1-M" + std::to_string(i + 1)));
            INFO(ran.out);
            INFO(ran.err);
            CHECK(ran.code == 0);
        }
    };
    // The two places differ by as little as keeps their recordings apart.
    measure("before", "0.0001", "0", {"1", "1.01"});
    // The room answers 12 dB lower, with ten times the noise, 20 ms later.
    measure("after", "0.001", "0.02", {"0.25", "0.2525"});
    const Ran compared = site.bench.run(
        {"compare", site.bench.path("job"), "--from", "500", "--to", "4000", "--format", "json"});
    INFO(compared.err);
    REQUIRE(compared.code == 0);
    const json result = json::parse(compared.out);
    int told = 0;
    for (const json& condition : result["conditions"])
        if (condition["what"] == "level" || condition["what"] == "noise" || condition["what"] == "delay") {
            CAPTURE(condition.dump());
            CHECK(condition["effect"].get<std::string>().find("differs") != std::string::npos);
            ++told;
        }
    CHECK(told == 3);
    // Source: property, the room's own delay.
    for (const json& condition : result["conditions"])
        if (condition["what"] == "delay") {
            const auto number = [&](const char* side) {
                return std::stod(condition[side].get<std::string>());
            };
            // Each stream starts within a few of the server's blocks.
            CHECK(std::abs(number("after") - number("before") - 20) < 6);
        } else if (condition["what"] == "sweep" || condition["what"] == "calibration") {
            CHECK(condition["effect"] == "the same");
        }
    // Nothing was built. Each comparison runs a risk of 5 % of some false finding; a level or a noise that
    // was taken for a decay would show in most of the ten bands.
    int changed = 0;
    for (const json& band : result["bands"])
        changed += band["finding"] == "shorter" || band["finding"] == "longer";
    CHECK(changed <= 2);
}

TEST_CASE("a server that dies leaves a rejected take, and the program does not hang") {
    if (!can_run())
        return;
    for (int run = 0; run < runs(); ++run) {
        CAPTURE(run);
        Site site({});
        const auto child = site.begin(site.take());
        pause(2.5);
        site.sound->server().send(run % 2 == 0 ? SIGKILL : SIGTERM);
        const int code = child->wait(6);
        CHECK(code == 4);
        const Ran ran{code, site.bench.read("out.txt"), site.bench.read("err.txt")};
        CHECK(object_of(ran)["accepted"] == false);
        check_left_behind(site, ran, 1);
    }
}

TEST_CASE("a server that stands still for a moment does not harm a take") {
    if (!can_run())
        return;
    for (int run = 0; run < runs(); ++run) {
        CAPTURE(run);
        Site site({});
        const auto child = site.begin(site.take());
        pause(2.5);
        site.sound->server().send(SIGSTOP);
        pause(0.3);
        site.sound->server().send(SIGCONT);
        CHECK(child->wait(60) == 0);
        const AnalysedJob job = site.job();
        REQUIRE(job.takes().size() == 1);
        CHECK(error_db(job, job.takes()[0], site.truth) < -60);
    }
}

TEST_CASE("a room that dies in the middle is named") {
    if (!can_run())
        return;
    for (int run = 0; run < runs(); ++run) {
        CAPTURE(run);
        Site site({});
        const auto child = site.begin(site.take());
        pause(2.5);
        site.sound->room().send(SIGKILL);
        const int code = child->wait(60);
        // Silence from there on, or a stream that its server ended: both name it.
        CHECK((code == 5 || code == 4));
        check_left_behind(site, {code, site.bench.read("out.txt"), site.bench.read("err.txt")}, 1);
    }
}

TEST_CASE("Ctrl-C ends the sound and keeps what was recorded") {
    if (!can_run())
        return;
    Site site({});
    const auto child = site.begin(site.take());
    pause(2.5);
    child->send(SIGINT);
    const auto asked = std::chrono::steady_clock::now();
    const int code = child->wait(6);
    CHECK(code == 130);
    CHECK(std::chrono::steady_clock::now() - asked < std::chrono::seconds(3));
    check_left_behind(site, {code, site.bench.read("out.txt"), site.bench.read("err.txt")}, 1);
}

TEST_CASE("a server killed at any moment, the end above all, changes neither recording nor exit code") {
    if (!can_run())
        return;
    // EBBMARK_STREAM_KILLS=200: 100 moments within 0.5 s of the end, 100 from the program's start to 2 s
    // after.
    const char* asked = std::getenv("EBBMARK_STREAM_KILLS");
    const int kills = asked == nullptr ? 6 : std::max(2, std::atoi(asked));
    constexpr double lead_s = 0.5, from_sound_to_end_s = 1 + 2; // of a sweep of 1 s
    std::map<int, int> codes;
    int lost = 0, failures = 0, unheard = 0;
    Random random(20);
    for (int n = 0; n < kills; ++n) {
        forget_killed_servers();
        Site site({});
        const bool near_end = n % 2 == 0;
        const double share = (static_cast<double>(n / 2) + random.uniform()) / (0.5 * kills);
        const auto child = site.begin({"take", site.bench.path("job"), "before", "S1-M1", "--device", "room",
                                       "--level", "-12", "--seconds", "1", "--repeats", "1"});
        bool heard = false;
        if (near_end) {
            heard = site.sound->sounds_within(20);
            pause(from_sound_to_end_s - 0.5 + share);
        } else
            pause(share * (0.5 + lead_s + from_sound_to_end_s + 2));
        heard = heard || site.sound->sounds_within(0);
        site.sound->server().send(SIGKILL);
        const int code = child->wait(20);
        const AnalysedJob job = site.job();
        ++codes[code];
        unheard += !heard;
        lost += (heard || code == 0) && job.takes().size() != 1;
        bool waits = false;
        for (const auto& entry : std::filesystem::directory_iterator(job.path()))
            waits |= entry.path().filename().string().starts_with("rescued-");
        const bool good = (code == 0 || code == 4) && !waits &&
                          (job.takes().empty() || job.takes()[0].accepted == (code == 0)) &&
                          site.bench.run({"verify", site.bench.path("job")}).code == 0;
        failures += !good;
        INFO(n, ": ", std::string(near_end ? "near the end" : "anywhere"), ", exit ", code, ", takes ",
             job.takes().size(), ", ", site.bench.read("err.txt"));
        CHECK(good);
    }
    CHECK(lost == 0);
    std::string told;
    for (const auto& [code, count] : codes)
        told += fmt::format("{} times exit {}, ", count, code);
    MESSAGE(kills, " kills: ", told, lost, " recordings lost, ", unheard, " before any sound, ", failures,
            " faults");
}

TEST_CASE("samples that are no sound make a rejected take, and the device is named as the fault") {
    if (!can_run())
        return;
    for (const char* value : {"1e38", "inf", "nan"}) {
        CAPTURE(value);
        Site site({"freewheel", "garbage", value});
        const Ran ran = site.run(site.take());
        CHECK(ran.code == 4);
        const json check = check_named(object_of(ran), "lost samples");
        CHECK(check["held"] == false);
        CHECK(check["advice"].get<std::string>().find("choose another input") != std::string::npos);
        check_left_behind(site, ran, 1);
    }
}

namespace {

/// The command that an error's text ends with, run as a person would.
int run_advised(const Site& site, const std::string& text) {
    const auto from = text.find("bring it in with: ");
    REQUIRE(from != std::string::npos);
    std::string command = text.substr(from + 18);
    command.replace(command.find("ebbmark import"), 7, EBBMARK_PROGRAM);
    const Child shell({"sh", "-c", command}, site.bench.path("shell.txt"),
                      site.bench.path("shell-errors.txt"));
    const int code = const_cast<Child&>(shell).wait(60);
    INFO(command);
    INFO(site.bench.read("shell-errors.txt"));
    CHECK(code == 0);
    return code;
}

void check_brought_in(const Site& site) {
    const AnalysedJob job = site.job();
    REQUIRE(job.takes().size() == 1);
    CHECK(job.takes()[0].accepted);
    CHECK(error_db(job, job.takes()[0], site.truth) < -60);
}

} // namespace

TEST_CASE("a limit on the length of files is an error with the mend, and the recording is brought in after") {
    if (!can_run())
        return;
    Site site({"freewheel"});
    auto words = site.take();
    words.insert(words.begin(), {"-c", "ulimit -f 64; exec \"$@\"", "bash", EBBMARK_PROGRAM});
    words.insert(words.begin(), "bash");
    Child child(words, site.bench.path("out.txt"), site.bench.path("err.txt"));
    CHECK(child.wait(60) == 3);
    const std::string err = site.bench.read("err.txt");
    INFO(err);
    CHECK(err.find("ulimit -f") != std::string::npos);
    CHECK(site.job().takes().empty());
    run_advised(site, err);
    check_brought_in(site);
}

TEST_CASE("a full disk in mid-take loses no recording and leaves the job intact") {
    if (!can_run())
        return;
    Site site({"freewheel"});
    const std::string job = site.bench.path("job");
    if (mount("tmpfs", job.c_str(), "tmpfs", 0, "size=256k") != 0) {
        MESSAGE("left out: no right to mount a small disk");
        return;
    }
    CHECK(site.bench.run({"new", job}).code == 0);
    site.bench.write("job/job.toml", job_text);
    const Ran ran = site.run(site.take());
    CHECK(ran.code == 3);
    INFO(ran.err);
    CHECK(ran.err.find("disk is full") != std::string::npos);
    CHECK(site.job().takes().empty());
    CHECK(site.bench.run({"verify", job}).code == 0);
    CHECK(mount("tmpfs", job.c_str(), "tmpfs", MS_REMOUNT, "size=64m") == 0);
    run_advised(site, ran.err);
    check_brought_in(site);
    umount(job.c_str());
    for (const auto& entry : std::filesystem::directory_iterator(std::filesystem::temp_directory_path()))
        if (const auto name = entry.path().filename().string();
            name.starts_with("rescued-before-S1-M1-") && ran.err.find(name) != std::string::npos)
            std::filesystem::remove(entry.path());
}
