// SPDX-License-Identifier: GPL-3.0-or-later
// Recordings made elsewhere, from the file to the figures.
#include "../bench/simulated_recording.hpp"
#include "files/audio_file.hpp"
#include "job/job_folder.hpp"
#include "relative.hpp"
#include "signal/direct_sound.hpp"
#include "work/heard_conditions.hpp"
#include "workbench.hpp"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <array>
#include <cmath>
#include <numbers>
#include <set>

using namespace ebbmark;
using namespace ebbmark::bench;
using nlohmann::json;

namespace {

constexpr double rate_hz = 24000;

const char* const three_places = R"([job]
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

const char* const sweep_toml = R"([sweep]
kind = "exponential"
start_hz = 40
stop_hz = 10000
seconds = 2
rate_hz = 24000
repeats = 2
repeat_period_s = 4
)";

Sweep short_sweep() {
    Sweep sweep;
    sweep.start_hz = 40;
    sweep.stop_hz = 10000;
    sweep.seconds = 2;
    sweep.rate_hz = rate_hz;
    sweep.repeats = 2;
    sweep.repeat_period_s = 4;
    return sweep;
}

/// The takes of some places one after the other, with `pause_s` between them, as a recorder left running
/// hears them. `noise` tells one such tape from another.
std::string tape(const std::vector<std::uint64_t>& places, double pause_s, std::uint64_t noise = 1) {
    std::vector<double> samples(static_cast<std::size_t>(pause_s * rate_hz));
    for (const std::uint64_t place : places) {
        Dice dice(place);
        const auto heard = convolved(played(short_sweep()).samples, invented_room(0.4, rate_hz, dice));
        samples.insert(samples.end(), heard.begin(), heard.end());
        samples.resize(samples.size() + static_cast<std::size_t>(pause_s * rate_hz));
    }
    double peak = 0;
    for (const double x : samples)
        peak = std::max(peak, std::abs(x));
    for (double& x : samples)
        x *= 0.5 / peak;
    Dice dice(noise);
    add_noise(samples, 1e-5, dice);
    return wav_bytes({samples}, rate_hz, SampleFormat::pcm24, "", "tape.wav");
}

json import(const Workbench& bench, const std::string& visit, const std::string& file,
            const std::vector<std::string>& positions, int code = 0) {
    std::vector<std::string> words = {"import", bench.path("job"), visit, file};
    words.insert(words.end(), positions.begin(), positions.end());
    words.insert(words.end(), {"--sweep", bench.path("sweep.toml"), "--format", "json"});
    const auto ran = bench.run(words);
    CAPTURE(ran.err);
    REQUIRE(ran.code == code);
    return json::parse(ran.out)["takes"];
}

json check_of(const json& take, const std::string& name) {
    for (const json& check : take["checks"])
        if (check["name"] == name)
            return check;
    return nullptr;
}

struct Job : Workbench {
    Job() {
        REQUIRE(run({"new", path("job")}).code == 0);
        write("job/job.toml", three_places);
        write("sweep.toml", sweep_toml);
    }
};

} // namespace

TEST_CASE("several takes in one file go to the positions in the order given") {
    const Job bench;
    const auto file = bench.write("tape.wav", tape({1, 2, 3}, 6));
    const json takes = import(bench, "before", file, {"S1-M1", "S1-M3", "S1-M2"});
    REQUIRE(takes.size() == 3);
    const std::vector<std::string> order = {"S1-M1", "S1-M3", "S1-M2"};
    // Source: closed form. 6 s of pause, then each take of 0.5 + 4 + 2 + 2 s and its room.
    double start_s = 6 + 0.5;
    for (std::size_t n = 0; n < 3; ++n) {
        CHECK(takes[n]["position"] == order[n]);
        CHECK(takes[n]["accepted"] == true);
        CHECK(takes[n]["delay_s"].get<double>() == relative(start_s).epsilon(0.05));
        start_s = takes[n]["delay_s"].get<double>() + 8.5 + 6 + 0.4;
        CHECK(check_of(takes[n], "sweep found")["held"] == true);
    }
    const auto decay =
        bench.run({"decay", bench.path("job"), "--visit", "before", "--from", "500", "--format", "json"});
    CAPTURE(decay.err);
    REQUIRE(decay.code == 0);
    const json visit = json::parse(decay.out);
    CHECK(visit["responses"].size() == 3);
    for (const json& band : visit["average"]["bands"])
        CHECK(band["t20_s"].get<double>() == relative(0.4).epsilon(0.1));

    SUBCASE("and another number of positions is refused, with when the takes are") {
        const auto other = bench.write("other.wav", tape({1, 2, 3}, 6, 2));
        const auto ran = bench.run({"import", bench.path("job"), "before", other, "S1-M1", "S1-M2", "--sweep",
                                    bench.path("sweep.toml")});
        CHECK(ran.code == 3);
        CHECK(ran.err.find("3 takes were found") != std::string::npos);
        CHECK(ran.err.find("2 positions were given") != std::string::npos);
    }
    SUBCASE("and the same file counts once") {
        CHECK(bench
                  .run({"import", bench.path("job"), "before", file, "S1-M1", "S1-M3", "S1-M2", "--sweep",
                        bench.path("sweep.toml")})
                  .code == 3);
    }
}

TEST_CASE("a tape whose gaps hold noise gives what the same sounds give one by one") {
    const Job bench;
    bench.write(
        "sweep.toml",
        std::string(sweep_toml).replace(std::string(sweep_toml).find("repeats = 2"), 11, "repeats = 1"));
    Sweep sweep = short_sweep();
    sweep.repeats = 1;
    std::vector<double> whole;
    const std::vector<std::string> places = {"S1-M1", "S1-M2", "S1-M3"};
    for (std::uint64_t place = 1; place <= 3; ++place) {
        Dice dice(place);
        auto take = convolved(played(sweep).samples, invented_room(0.4, rate_hz, dice));
        for (double& x : take)
            x *= 0.1;
        add_noise(take, 1e-5, dice);
        import(bench, "one-by-one",
               bench.write("take" + std::to_string(place) + ".wav",
                           wav_bytes({take}, rate_hz, SampleFormat::pcm24, "", "take.wav")),
               {places[place - 1]});
        whole.insert(whole.end(), take.begin(), take.end());
        std::vector<double> gap(static_cast<std::size_t>(9 * rate_hz));
        add_noise(gap, 3e-3, dice);
        whole.insert(whole.end(), gap.begin(), gap.end());
    }
    import(bench, "tape",
           bench.write("tape.wav", wav_bytes({whole}, rate_hz, SampleFormat::pcm24, "", "tape.wav")), places);
    const auto measured = [&](const char* visit) {
        const auto ran = bench.run({"decay", bench.path("job"), "--visit", visit, "--from", "100", "--to",
                                    "4000", "--bands", "octave", "--format", "json"});
        CAPTURE(ran.err);
        REQUIRE(ran.code == 0);
        return json::parse(ran.out)["average"]["bands"];
    };
    const json alone = measured("one-by-one"), together = measured("tape");
    REQUIRE(alone.size() == together.size());
    for (std::size_t n = 0; n < alone.size(); ++n)
        if (!alone[n]["t20_s"].is_null())
            CHECK(together[n]["t20_s"].get<double>() ==
                  relative(alone[n]["t20_s"].get<double>()).epsilon(0.005));
    for (const std::string& place : places) {
        const auto response = [&](const std::string& visit) {
            return read_audio(bench.path("job/results/response-" + visit + "-" + place + "-01.wav"))
                .channel(1);
        };
        const Signal one = response("one-by-one"), other = response("tape");
        CHECK(other.duration_s() < one.duration_s() + 0.2);
        // Levels, 0.5 dB wanted; the direct sounds stand at the same place.
        double difference = 0, all = 0;
        for (std::size_t n = 0; n < std::min(one.size(), other.size()); ++n) {
            difference += (one.samples[n] - other.samples[n]) * (one.samples[n] - other.samples[n]);
            all += one.samples[n] * one.samples[n];
        }
        CHECK(10 * std::log10(difference / all) < -30);
    }
}

TEST_CASE("a loudspeaker that was set otherwise shows in the direct sound, one place that differs does not") {
    // Source: closed form. Five places that scatter by 0.3 dB; 2.5 dB more at 4 kHz, less 0.3 dB elsewhere.
    const std::size_t bands = direct_sound_bands().size();
    std::vector<std::vector<double>> before, set, moved;
    for (int place = 0; place < 5; ++place) {
        before.emplace_back(bands, 0.1 * place);
        set.emplace_back(bands, 0.1 * place - 0.3 + 0.1 * (place % 2));
        set.back()[4] += 2.8;
        moved.emplace_back(bands, 0.1 * place);
    }
    moved[2][1] += 8;
    const auto changes = direct_sound_changes(before, set);
    REQUIRE(changes.size() == bands);
    for (std::size_t b = 0; b < bands; ++b)
        CHECK(changes[b].is_changed == (b == 4));
    CHECK(changes[4].band.nominal_hz == 4000);
    for (const auto& change : direct_sound_changes(before, moved))
        CHECK_FALSE(change.is_changed);
    before.resize(2), set.resize(2);
    CHECK(direct_sound_changes(before, set).empty());
}

TEST_CASE("a position that was mixed up is told by the earlier visit") {
    const Job bench;
    import(bench, "before", bench.write("before.wav", tape({1, 2, 3}, 6)), {"S1-M1", "S1-M2", "S1-M3"});
    const json takes =
        import(bench, "after", bench.write("after.wav", tape({1, 3, 2}, 6, 2)), {"S1-M1", "S1-M2", "S1-M3"});
    CHECK(check_of(takes[0], "position")["held"] == true);
    for (const std::size_t mixed : {1u, 2u}) {
        CHECK(check_of(takes[mixed], "position")["held"] == false);
        CHECK(check_of(takes[mixed], "position")["advice"].get<std::string>().find("position's name") !=
              std::string::npos);
        CHECK(check_of(takes[mixed], "position")["outcome"] == "noted");
        CHECK(check_of(takes[mixed], "position")["effect"] == std::string("if it is ") +
                                                                  (mixed == 1 ? "S1-M3" : "S1-M2") +
                                                                  ", all bands and modes compare two places");
        CHECK(takes[mixed]["accepted"] == true); // with notes: the builder may know better
    }
}

TEST_CASE("one take in a file of minutes is found, and its time counts from the file's start") {
    const Job bench;
    const auto file = bench.write("long.wav", tape({1}, 40));
    const auto ran = bench.run({"deconvolve", file, "--sweep", bench.path("sweep.toml"), "--response",
                                bench.path("ir.wav"), "--format", "json"});
    CAPTURE(ran.err);
    REQUIRE(ran.code == 0);
    const json report = json::parse(ran.out);
    CHECK(report["delay_s"].get<double>() == relative(40.5).epsilon(1e-4));
    CHECK(report["drift_ppm"].get<double>() > -0.1);
    CHECK(report["drift_ppm"].get<double>() < 0.1);
    const json takes = import(bench, "before", file, {"S1-M2"});
    CHECK(takes[0]["delay_s"].get<double>() == relative(40.5).epsilon(1e-4));
}

TEST_CASE("bands with hum left in them are empty, in the report and in every later analysis") {
    const Job bench;
    Dice dice(1);
    Signal sound{convolved(played(short_sweep()).samples, invented_room(0.4, rate_hz, dice)), rate_hz};
    for (std::size_t n = 0; n < sound.size(); ++n)
        sound.samples[n] +=
            0.2 * std::sin(2 * std::numbers::pi * 150.1 * static_cast<double>(n) / rate_hz +
                           3 * std::sin(static_cast<double>(n) / rate_hz)); // restless: no steady line
    add_noise(sound.samples, 1e-5, dice);
    for (double& x : sound.samples)
        x *= 0.3;
    const auto file =
        bench.write("hum.wav", wav_bytes({sound.samples}, rate_hz, SampleFormat::pcm24, "", "hum.wav"));
    const auto ran = bench.run({"deconvolve", file, "--sweep", bench.path("sweep.toml"), "--response",
                                bench.path("ir.wav"), "--format", "json"});
    CAPTURE(ran.err);
    const json report = json::parse(ran.out);
    CAPTURE(report.dump(1));
    CHECK(check_of(report, "hum")["held"] == false);
    const auto decay = bench.run({"decay", bench.path("ir.wav"), "--format", "json"});
    REQUIRE(decay.code == 0);
    const json analysed = json::parse(decay.out);
    const json& bands = analysed["responses"][0]["bands"];
    std::set<double> empty;
    for (const json& band : bands)
        if (band["t20_s"].is_null() && band["empty"]["t20_s"] == "disturbed")
            empty.insert(band["nominal_hz"].get<double>());
    CHECK(empty.count(160) == 1);
    CHECK(empty.count(1000) == 0);
    // What is left of the line would ring like a mode.
    const auto ringing =
        bench.run({"ringing", bench.path("ir.wav"), "--from", "100", "--to", "200", "--format", "json"});
    // Exit 5: the invented room has no modes that could be told there.
    const json modes = json::parse(ringing.out);
    bool told = false;
    for (const json& range : modes["unresolved"])
        told |= range["empty"] == "disturbed" && range["from_hz"] < 150.1 && range["to_hz"] > 150.1;
    for (const json& mode : modes["modes"])
        CHECK(std::abs(mode["hz"].get<double>() - 150.1) > 0.9);
    CAPTURE(ringing.out);
    CHECK(told);
    CHECK(bench.run({"waterfall", bench.path("ir.wav")}).err.find("hum") != std::string::npos);
}

TEST_CASE("a calibrator and a curve make the levels of noise absolute, and are kept with the take") {
    const Job bench;
    const auto file = bench.write("tape.wav", tape({1}, 6));
    // A calibrator of 94 dB recorded with amplitude 0.05: 26 dB below full scale.
    std::vector<double> tone(static_cast<std::size_t>(4 * rate_hz));
    for (std::size_t n = 0; n < tone.size(); ++n)
        tone[n] = 0.05 * std::sin(2 * std::numbers::pi * 1000 * static_cast<double>(n) / rate_hz);
    const auto calibrator =
        bench.write("tone.wav", wav_bytes({tone}, rate_hz, SampleFormat::pcm24, "", "tone.wav"));
    const auto curve = bench.write("mic.txt", "* calibrated 2026-03-01\n100 0\n500 0\n1000 3,0\n2000 3,0\n");
    const auto ran =
        bench.run({"import", bench.path("job"), "before", file, "S1-M1", "--sweep", bench.path("sweep.toml"),
                   "--calibrator", calibrator, "--curve", curve, "--format", "json"});
    CAPTURE(ran.err);
    REQUIRE(ran.code == 0);
    const json take = json::parse(ran.out)["takes"][0];
    CHECK(take["noise_reference"] == "20 uPa");
    REQUIRE(take["calibration"].size() == 2);
    CHECK(take["calibration"][0]["date"] == "2026-03-01");
    // Source: closed form. Effective value 0.05/√2 is 1.0024 Pa (94 dB re 20 µPa).
    CHECK(take["calibration"][1]["pascal_per_unit"].get<double>() == relative(28.35).epsilon(1e-3));
    // Source: closed form. White noise of 1e-5 over the band, 20 lg(0.05) below full scale is 94 dB. A level
    // over 6 s of a third scatters by 0.3 dB at 125 Hz and 0.1 dB at 1 kHz.
    const std::vector<std::array<double, 3>> expected = {{125, 29.2, 0}, {1000, 231.6, 3}, {2000, 463, 3}};
    for (const auto& row : expected) {
        const double hz = row[0], bandwidth_hz = row[1], response_db = row[2];
        for (const json& band : take["bands"])
            if (band["nominal_hz"] == hz) {
                const double below_db = 10 * std::log10(2 * 1e-10 * bandwidth_hz / (rate_hz / 2));
                const double noise_db = below_db - 20 * std::log10(0.05) + 94 - response_db;
                CAPTURE(hz);
                CHECK(std::abs(band["noise_db"].get<double>() - noise_db) < 1);
            }
    }
    CHECK(ran.out.find("curve does not reach") != std::string::npos);
    CHECK(bench.read("job/evidence.sha256").find("calibrations/") != std::string::npos);
    CHECK(bench.read("job/visits/before/takes/S1-M1-01.toml").find("pascal_per_unit") != std::string::npos);
    CHECK(bench.run({"verify", bench.path("job")}).code == 0);

    SUBCASE("a tone that is not the calibrator's is refused") {
        for (double& x : tone)
            x *= std::sin(0.001 * static_cast<double>(&x - tone.data()));
        const auto wrong =
            bench.write("wrong.wav", wav_bytes({tone}, rate_hz, SampleFormat::pcm24, "", "wrong.wav"));
        const auto refused = bench.run({"deconvolve", file, "--sweep", bench.path("sweep.toml"), "--response",
                                        bench.path("ir.wav"), "--calibrator", wrong});
        CHECK(refused.code == 3);
        CHECK(refused.err.find("wrong.wav") != std::string::npos);
    }
}

TEST_CASE("a stored loopback takes the sound device out of every later take, and is kept once") {
    const Job bench;
    // A device that lets 2 kHz through 20 dB less than 500 Hz: what is left of it shows in the response.
    std::vector<double> card(400);
    for (std::size_t n = 0; n < card.size(); ++n)
        card[n] = 0.08 * std::pow(0.92, static_cast<double>(n));
    const auto loop = bench.write("loop.wav", wav_bytes({convolved(played(short_sweep()).samples, card)},
                                                        rate_hz, SampleFormat::float32, "", "loop.wav"));
    for (const std::uint64_t place : {std::uint64_t{1}, std::uint64_t{2}}) {
        Dice dice(place);
        auto heard =
            convolved(convolved(played(short_sweep()).samples, invented_room(0.4, rate_hz, dice)), card);
        heard.insert(heard.begin(), 12000, 0.0);
        for (double& x : heard)
            x *= 0.5;
        add_noise(heard, 1e-6, dice);
        const auto file =
            bench.write("take.wav", wav_bytes({heard}, rate_hz, SampleFormat::float32, "", "take.wav"));
        const auto ran =
            bench.run({"import", bench.path("job"), "before", file, "S1-M" + std::to_string(place), "--sweep",
                       bench.path("sweep.toml"), "--stored-loopback", loop, "--format", "json"});
        CAPTURE(ran.err);
        REQUIRE(ran.code == 0);
        CHECK(json::parse(ran.out)["takes"][0]["calibration"][0]["kind"] == "loopback");
        CHECK(bench
                  .run({"import", bench.path("job"), "before", file, "S1-M3", "--sweep",
                        bench.path("sweep.toml"), "--stored-loopback", loop, "--loopback", "2"})
                  .code == 2);
    }
    int kept = 0;
    for (const auto& entry : std::filesystem::directory_iterator(bench.path("job/calibrations")))
        kept += entry.is_regular_file();
    CHECK(kept == 1);
    REQUIRE(bench.run({"decay", bench.path("job"), "--visit", "before"}).code == 0);
    // Source: closed form. Without the device the response is the room's: a direct sound of height 1, sharp.
    const AudioFile response = read_audio(bench.path("job/results/response-before-S1-M1-01.wav"));
    const auto& h = response.channel(1).samples;
    const auto top = std::max_element(h.begin(), h.end());
    CHECK(*top > 0.37); // half of 1, and of the band from 40 Hz to 10 kHz of 12 kHz
    CHECK(std::abs(*(top - 2)) < 0.3 * *top);
    CHECK(bench.run({"verify", bench.path("job")}).code == 0);
}

TEST_CASE("without a calibrator levels are relative and say so") {
    const Job bench;
    const auto ran = bench.run({"deconvolve", bench.write("tape.wav", tape({1}, 6)), "--sweep",
                                bench.path("sweep.toml"), "--response", bench.path("ir.wav")});
    CAPTURE(ran.err);
    REQUIRE(ran.code == 0);
    CHECK(ran.out.find("dBFS") != std::string::npos);
    CHECK(ran.out.find("relative to full scale") != std::string::npos);
}

TEST_CASE("several positions need a recording with sweeps") {
    const Job bench;
    const auto file = bench.write("ir.wav", float_wav(decaying_noise(0.4, 1.5, 1, 48000), 1, 48000));
    CHECK(bench.run({"import", bench.path("job"), "before", file, "S1-M1", "S1-M2"}).code == 2);
}

TEST_CASE("the recording of a sweep is no response, for no command") {
    const Workbench bench;
    bench.run({"new", bench.path("job")});
    bench.write("job/job.toml", three_places);
    const std::string sweep = bench.write("sweep.toml", sweep_toml);
    const std::string file = bench.write("tape.wav", tape({1}, 1));
    const auto refused = [&](const std::vector<std::string>& words, const std::string& mend) {
        const Ran ran = bench.run(words);
        INFO(ran.err);
        CHECK(ran.code == 3);
        CHECK(ran.err.find("no impulse response") != std::string::npos);
        CHECK(ran.err.find(mend) != std::string::npos);
    };
    const std::string deconvolve = "ebbmark deconvolve " + file + " --sweep";
    refused({"decay", file}, deconvolve);
    refused({"ringing", file}, deconvolve);
    refused({"waterfall", file}, deconvolve);
    refused({"compare", "--before", file, "--after", file}, deconvolve);
    const std::string job = bench.path("job");
    refused({"import", job, "before", file, "S1-M1"},
            "ebbmark import " + job + " before " + file + " S1-M1 --sweep");
    CHECK(JobFolder(job, Access::read).takes().empty());

    // A job may hold such a take from an earlier version.
    NewSound sound;
    sound.kind = SoundKind::response;
    sound.bytes = bench.read("tape.wav");
    sound.original_name = "tape.wav";
    sound.takes.resize(1);
    sound.takes[0].position = "S1-M1";
    JobFolder(job, Access::write).keep("before", sound, {"2001-02-03T14:05:00+01:00", "ebbmark"});
    refused({"decay", job, "--visit", "before"}, "ebbmark exclude " + job + " before/S1-M1-01");
    CHECK(bench.run({"exclude", job, "before/S1-M1-01", "--because", "no response"}).code == 0);
    CHECK(bench.run({"import", job, "before", file, "S1-M1", "--sweep", sweep}).code == 0);
    CHECK(bench.run({"decay", job, "--visit", "before", "--from", "500", "--to", "4000"}).code == 0);
}
