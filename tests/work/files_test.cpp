// SPDX-License-Identifier: GPL-3.0-or-later
// Files outside of any job: responses compared, recordings divided by their sweep and brought into a job.
#include "../bench/simulated_recording.hpp"
#include "files/hash.hpp"
#include "files/response_comment.hpp"
#include "files/sweep_file.hpp"
#include "response_job.hpp"
#include "work/bring_in.hpp"
#include "work/compared_files.hpp"
#include "work/deconvolved_file.hpp"
#include "work/excitation_file.hpp"
#include "work/kept_prediction.hpp"
#include "work/ringing_states.hpp"
#include "work/waterfalls.hpp"

#include <doctest/doctest.h>

using namespace ebbmark;

namespace {

/// The kind and words of the error that `call` throws.
template <class Call>
std::pair<ErrorKind, std::string> failure(Call&& call) {
    try {
        call();
    } catch (const Error& error) {
        return {error.kind(), error.what()};
    }
    return {ErrorKind::bug, "no error"};
}

std::vector<double> falling_noise(double t60_s, std::uint64_t place) {
    bench::Dice dice(place);
    std::vector<double> samples(24000);
    for (std::size_t n = 0; n < samples.size(); ++n) {
        const double t_s = static_cast<double>(n) / 24000 - 0.02;
        samples[n] =
            1e-6 * dice.normal() + (t_s < 0 ? 0 : 0.1 * std::exp(-6.9078 * t_s / t60_s) * dice.normal());
    }
    return samples;
}

std::string response_file(const TestFolder& folder, const std::string& name, double t60_s,
                          std::uint64_t place, const std::string& comment = "") {
    return folder
        .write(name, wav_bytes({falling_noise(t60_s, place)}, 24000, SampleFormat::float32, comment, name))
        .string();
}

DecayOptions upper() {
    DecayOptions options;
    options.from_hz = 500; // above the modes, which take a while
    options.to_hz = 8000;
    return options;
}

Sweep short_sweep() {
    Sweep sweep;
    sweep.start_hz = 250;
    sweep.stop_hz = 10000;
    sweep.seconds = 2;
    sweep.rate_hz = 24000;
    sweep.repeats = 1;
    return sweep;
}

const char* const sweep_toml =
    "[sweep]\nkind = \"exponential\"\nstart_hz = 250\nstop_hz = 10000\nseconds = 2\n"
    "rate_hz = 24000\nrepeats = 1\n";

/// The sweep as a room of 0.4 s gives it back, with a second channel that is the sweep itself.
std::string recording(const TestFolder& folder, const std::string& name) {
    bench::Dice dice(3);
    std::vector<double> heard =
        bench::convolved(bench::played(short_sweep()).samples, bench::invented_room(0.4, 24000, dice));
    heard.resize(heard.size() + 24000);
    double peak = 0;
    for (const double sample : heard)
        peak = std::max(peak, std::abs(sample));
    for (double& sample : heard)
        sample *= 0.5 / peak;
    bench::add_noise(heard, 1e-5, dice);
    std::vector<double> loopback = bench::played(short_sweep()).samples;
    loopback.resize(heard.size());
    return folder.write(name, wav_bytes({heard, loopback}, 24000, SampleFormat::float32, "", name)).string();
}

} // namespace

TEST_CASE("files before and after: the change is that of their decays, and each file has its hash") {
    const TestFolder folder;
    ResponseInfo info;
    info.simulated = true;
    info.source_from_hz = 20, info.source_to_hz = 11000;
    FilesToCompare files;
    for (std::uint64_t place : {1U, 2U, 3U}) {
        files.before.push_back(
            response_file(folder, "b" + std::to_string(place) + ".wav", 0.8, place, to_comment(info)));
        files.after.push_back(response_file(folder, "a" + std::to_string(place) + ".wav", 0.4, place + 10));
    }
    Unwatched unwatched;
    const CompareReport report = compare_files(files, upper(), unwatched);
    CHECK(report.simulated); // one of them is
    REQUIRE(report.before_files.size() == 3);
    CHECK(report.before_files[0].sha256 == sha256_of_file(files.before[0]));
    REQUIRE(!report.comparison.bands.empty());
    for (const BandFinding& band : report.comparison.bands)
        if (band.band.nominal_hz >= 1000) {
            CAPTURE(band.band.nominal_hz);
            // Source: closed form, halved. Three places scatter by a tenth at most above 1 kHz.
            REQUIRE(band.change_percent);
            CHECK(*band.change_percent == doctest::Approx(-50).epsilon(0.2));
        }
    files.after.pop_back();
    const auto [kind, words] = failure([&] { compare_files(files, upper(), unwatched); });
    CHECK(kind == ErrorKind::usage);
    CHECK(contains(words, "3 responses before and 2 after do not pair"));
    files.paired = false;
    CHECK_NOTHROW(compare_files(files, upper(), unwatched));
}

TEST_CASE("a waterfall of a file or a take, and what has none is refused with its place") {
    const TestFolder folder;
    const std::string file = response_file(folder, "one.wav", 0.6, 1);
    WaterfallReport report;
    add_waterfall_of_file(report, file, {}, {});
    REQUIRE(report.entries.size() == 1);
    CHECK(report.entries[0].name == file);
    const auto two = folder.write("two.wav", wav_bytes({falling_noise(0.5, 1), falling_noise(0.5, 2)}, 24000,
                                                       SampleFormat::float32, "", "two.wav"));
    CHECK(failure([&] { add_waterfall_of_file(report, two.string(), {}, {}); }).first == ErrorKind::usage);
    add_waterfall_of_file(report, two.string(), 2, {});
    CHECK(report.entries.size() == 2);
    ResponseJob job;
    job.measure("before", {"S1-M1"}, 0.6, "2026-11-25T10:00:00+01:00");
    add_waterfall_of_take(report, job.open(), "before", "S1-M1", {});
    CHECK(report.entries.back().name == "before S1-M1-01");
    CHECK(contains(refusal([&] { add_waterfall_of_take(report, job.open(), "before", "S1-M2", {}); }),
                   "no usable take at S1-M2"));
}

TEST_CASE("the modes of two visits are those of the positions that both have, with the air's speed between") {
    ResponseJob job;
    job.measure("before", {"S1-M1", "S1-M2"}, 0.6, "2026-11-25T10:00:00+01:00");
    job.measure("after", {"S1-M2", "S1-M3"}, 0.4, "2026-12-02T10:00:00+01:00");
    for (const auto& [visit, celsius] : {std::pair{"before", "20"}, {"after", "10"}})
        std::ofstream(job.path() / "visits" / visit / "visit.toml")
            << "[visit]\ndate = \"2026-11-25\"\n[air]\ntemperature_start = " << celsius
            << "\ntemperature_end = " << celsius << "\n";
    const RingingStates states = ringing_states(job.open(), "before", "after");
    CHECK(states.before.responses.size() == 1);
    REQUIRE(states.after);
    CHECK(states.after->responses.size() == 1);
    // Source: closed form, √(283.15 K / 293.15 K) for dry air; what the humidity adds is below 0.2 %.
    CHECK(states.pairing.speed_ratio == doctest::Approx(0.9828).epsilon(0.002));
    CHECK(ringing_states(job.open(), "before").before.responses.size() == 2);
    job.measure("later", {"S1-M3"}, 0.4, "2026-12-03T10:00:00+01:00");
    CHECK(contains(refusal([&] { ringing_states(job.open(), "before", "later"); }), "share no position"));
}

TEST_CASE("what was played is found by its description, beside its sound, or by its samples") {
    const TestFolder folder;
    const auto description = folder.write("sweep.toml", sweep_toml);
    CHECK(described_sweep(description.string())->start_hz == 250);
    CHECK(contains(refusal([&] { read_excitation(description.string(), 16000); }), "stops at 10000 Hz"));
    const auto sound = folder.write("other.wav", wav_bytes({bench::played(short_sweep()).samples}, 24000,
                                                           SampleFormat::float32, "", "other.wav"));
    CHECK(!described_sweep(sound.string()));
    CHECK_NOTHROW(read_excitation(sound.string(), 24000));
    CHECK(
        contains(refusal([&] { read_excitation(sound.string(), 48000); }), "24000 Hz, the recording 48000"));
    const std::string of_this = std::string(sweep_toml) + "sha256 = \"" + sha256_of_file(sound) + "\"\n";
    folder.write("other.toml", of_this);
    CHECK(described_sweep(sound.string())->stop_hz == 10000);
    folder.write("other.wav", bytes_of(sound) + "more");
    CHECK(!described_sweep(sound.string())); // the description is of another sound
    const auto silence = folder.write("silence.wav", wav_bytes({std::vector<double>(24000)}, 24000,
                                                               SampleFormat::float32, "", "silence.wav"));
    CHECK(contains(refusal([&] { read_excitation(silence.string(), 24000); }), "silence.wav: "));
}

TEST_CASE("a recording becomes a response outside a job, and a take in one, judged alike") {
    const TestFolder folder;
    const std::string file = recording(folder, "tape.wav"),
                      sweep = folder.write("sweep.toml", sweep_toml).string();
    const DeconvolvedFile made = deconvolve_file({file, sweep, {}, {}}, "response.wav");
    CHECK(made.report.accepted);
    CHECK(made.report.response == "response.wav");
    folder.write("response.wav", made.bytes);
    CHECK(read_audio(folder / "response.wav").rate_hz == 24000);
    CHECK(failure([&] { deconvolve_file({file, sweep, 2, 2}, "response.wav"); }).first == ErrorKind::usage);
    CHECK(deconvolve_file({file, sweep, {}, 2}, "response.wav").report.delay_s);

    ResponseJob job;
    BroughtIn wanted{"before", file, {"S1-M1"}, sweep, {}};
    {
        AnalysedJob open(job.path(), Access::write);
        const KeepReport kept = bring_in(open, wanted, {"2026-11-25T10:00:00+01:00", "ebbmark test"});
        REQUIRE(kept.takes.size() == 1);
        CHECK(kept.takes[0].take == "before/S1-M1-01");
        CHECK(kept.takes[0].report.accepted == made.report.accepted);
        REQUIRE(kept.takes[0].report.checks.size() >= made.report.checks.size());
        for (std::size_t i = 0; i < 3; ++i) {
            CHECK(kept.takes[0].report.checks[i].name == made.report.checks[i].name);
            CHECK(kept.takes[0].report.checks[i].figure == made.report.checks[i].figure);
        }
        CHECK(
            std::filesystem::exists(job.path() / "results/response-before-S1-M1-01.wav")); // what was judged
        wanted.positions = {"S1-M2", "S1-M3"};
        CHECK(contains(refusal([&] { bring_in(open, wanted, {"2026-11-25T10:01:00+01:00", "x"}); }), file));
        wanted.sweep.reset();
        CHECK(failure([&] {
                  bring_in(open, wanted, {"2026-11-25T10:02:00+01:00", "x"});
              }).first == ErrorKind::usage);
        wanted.positions = {"S1-M2"};
        CHECK(contains(refusal([&] {
                           bring_in(open, wanted, {"2026-11-25T10:02:00+01:00", "x"});
                       }),
                       "--sweep SWEEP.toml"));
    }
    CHECK(job.open().takes().size() == 1);
}

TEST_CASE("a prediction is kept with a decay to start from, and counts until the visit after the build") {
    ResponseJob job;
    const TestFolder folder;
    const std::string table = "nominal_hz,width,predicted_s\n63,third,0.6\n80,third,0.5\n";
    const auto file = folder.write("mine.csv", table);
    CHECK(contains(refusal([&] { kept_prediction(job.open()); }), "no prediction is stored"));
    ForecastReport empty;
    {
        JobFolder open(job.path(), Access::write);
        CHECK(contains(refusal([&] {
                           keep_forecast(open, empty, {}, {"2026-11-25T09:00:00+01:00", "x"});
                       }),
                       "no decay before the build"));
        store_prediction_file(open, file.string(), {"2026-11-25T09:00:00+01:00", "ebbmark test"});
    }
    CHECK(kept_prediction(job.open()).counts);
    CHECK(kept_prediction(job.open()).stored.original_name == "mine.csv");
    job.measure("before", {"S1-M1"}, 0.8, "2026-11-25T10:00:00+01:00");
    job.measure("after", {"S1-M1"}, 0.5, "2026-12-02T10:00:00+01:00");
    CHECK(kept_prediction(job.open()).counts); // it was stored before
    ForecastReport report;
    report.room.bands.resize(1);
    JobFolder open(job.path(), Access::write);
    keep_forecast(open, report, [&](const ForecastReport&) { return table + "100,third,0.4\n"; },
                  {"2026-12-02T11:00:00+01:00", "ebbmark test"});
    CHECK(report.stored == "predictions/002.csv");
    CHECK(!kept_prediction(open).counts); // too late
}
