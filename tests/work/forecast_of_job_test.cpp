// SPDX-License-Identifier: GPL-3.0-or-later
// From a job and its traps to a forecast. In a room that is no box: no modes to wait for.
#include "response_job.hpp"
#include "work/forecast_of_job.hpp"
#include "work/own_materials.hpp"
#include "work/room_responses.hpp"

#include <doctest/doctest.h>

#include <algorithm>

using namespace ebbmark;

namespace {

ForecastOptions quick() {
    ForecastOptions options;
    options.from_hz = 250;
    options.to_hz = 2000;
    options.draws = 100;
    return options;
}

const std::string edges = "length = \"4.1 m\"\nwidth = \"3.3 m\"\nheight = \"2.6 m\"\n";

/// The sample's room, of which only volume and surface are known.
void leave_out_box(const ResponseJob& job) {
    job.describe(sample::job_toml, edges, "volume = \"35.2 m3\"\nsurface = \"65.5 m2\"\n");
}

ForecastReport forecast_of(const ResponseJob& job, const ForecastOptions& options = quick()) {
    Unwatched unwatched;
    return forecast_job(job.open(), own_materials(), options, unwatched);
}

} // namespace

TEST_CASE("traps alone: each with its face, its layers in words, and intervals around their coefficients") {
    ResponseJob job;
    const ForecastReport report = forecast_traps(job.open().description().traps, own_materials(), quick());
    REQUIRE(report.traps.size() == 1);
    CHECK(report.traps[0].face_m2 == doctest::Approx(2.4));
    CHECK(report.traps[0].depth_m == doctest::Approx(0.15));
    REQUIRE(report.traps[0].layers.size() == 3);
    CHECK(contains(report.traps[0].layers[1], "12 cm of stone wool 45"));
    CHECK(report.traps[0].layers[2] == "cloth");
    for (const TrapBand& band : report.traps[0].bands) {
        CHECK(band.alpha_low <= band.alpha_random);
        CHECK(band.alpha_random <= band.alpha_high);
        CHECK(band.alpha_low > 0);
    }
}

TEST_CASE("a room without a visit has areas but no decay, and no change of the plan is judged") {
    ResponseJob job;
    const ForecastReport report = forecast_of(job);
    CHECK(report.visit.empty());
    CHECK(report.room.bands.empty());
    CHECK(!report.variants.empty());
    for (const ForecastVariant& variant : report.variants) {
        CHECK(!variant.question_percent);
        CHECK(!variant.meets);
    }
    job.describe(sample::job_toml, sample::job_toml.substr(sample::job_toml.find("[[trap]]")), "");
    CHECK(contains(refusal([&] { forecast_of(job); }), "plans no trap"));
}

TEST_CASE("where a visit is measured the traps shorten its decay, and every interval holds its value") {
    ResponseJob job;
    leave_out_box(job);
    job.measure("before", {"S1-M1", "S1-M2", "S1-M3"}, 0.6, "2026-11-25T10:00:00+01:00");
    const ForecastReport report = forecast_of(job);
    CHECK(report.visit == "before");
    CHECK(!report.modal);
    CHECK(report.no_modes == ForecastNote(NoBox{}));
    std::size_t predicted = 0;
    for (const ForecastBand& band : report.room.bands) {
        if (!band.predicted_s)
            continue;
        ++predicted;
        CAPTURE(band.band.nominal_hz);
        CHECK(*band.predicted_s < *band.before_s);
        CHECK(*band.predicted_s.low < *band.predicted_s);
        CHECK(*band.predicted_s < *band.predicted_s.high);
        CHECK(*band.added_absorption_m2 > 0);
        // Source: property. 2.4 m² of face and 0.96 m² of open sides; a finite face takes in up to about
        // twice its own area (Thomasson 1980, from memory).
        CHECK(*band.added_absorption_m2 < 2 * (2.4 + 0.96));
    }
    CHECK(predicted >= 5);
    CHECK(std::is_sorted(report.variants.begin(), report.variants.end(), [](const auto& a, const auto& b) {
        return a.question_percent && b.question_percent && *a.question_percent < *b.question_percent;
    }));
}

TEST_CASE("a forecast from one place alone says so") {
    const auto alone = [](const ForecastReport& report) {
        return std::find(report.notes.begin(), report.notes.end(), JobNote(OnePlaceAlone{"S1-M2", 6})) !=
               report.notes.end();
    };
    ResponseJob job;
    leave_out_box(job);
    CHECK(forecast_of(job).notes.empty()); // three are planned
    job.measure("before", {"S1-M2"}, 0.6, "2026-11-25T10:00:00+01:00");
    CHECK(alone(forecast_of(job)));
    job.measure("before", {"S1-M3"}, 0.6, "2026-11-25T10:00:00+01:00");
    CHECK_FALSE(alone(forecast_of(job)));
}

TEST_CASE("in a hall with too many modes none is predicted, and bands are by statistics alone") {
    ResponseJob job;
    std::string text = sample::job_toml;
    const std::string taped = "distances = { rear = \"0.9 m\", right = \"0.86 m\", floor = \"1.2 m\" }\n";
    text.erase(text.find(taped), taped.size()); // of the small room
    job.describe(text, edges, "length = \"60 m\"\nwidth = \"40 m\"\nheight = \"15 m\"\n");
    job.measure("before", {"S1-M1", "S1-M2", "S1-M3"}, 1.2, "2026-11-25T10:00:00+01:00");
    const ForecastReport report = forecast_of(job);
    CHECK(!report.modal);
    // Source: closed form. 101 by volume, 47 by surface, 5 by edges.
    REQUIRE(report.no_modes);
    CHECK(std::get<TooManyModes>(*report.no_modes).modes == doctest::Approx(153).epsilon(0.02));
    CHECK(std::get<TooManyModes>(*report.no_modes).below_hz == 30);
    CHECK(std::any_of(report.room.bands.begin(), report.room.bands.end(),
                      [](const ForecastBand& band) { return band.predicted_s.value.has_value(); }));
}

TEST_CASE("what was built otherwise than planned is forecast as it was built") {
    ResponseJob job;
    job.describe(sample::job_toml, "open_sides = true\n",
                 "open_sides = true\n[trap.built]\nwool_mass = \"5.76 kg\"\n");
    ForecastOptions options = quick();
    const auto wool_of = [&] { return forecast_of(job, options).traps[0].layers[1]; };
    const std::string planned = wool_of();
    options.as_built = true;
    // Source: closed form. 5.76 kg in 1.2 m · 2.0 m · 0.12 m are 20 kg/m³.
    CHECK(contains(wool_of(), "(20 kg/m³)"));
    CHECK(planned != wool_of());
}

TEST_CASE("a file of two channels needs to be told which one is the response, or gives both in order") {
    const TestFolder folder;
    const std::string path = (folder / "two.wav").string();
    std::ofstream(path, std::ios::binary)
        << wav_bytes({{0.1, 0.2, 0.3}, {0.4, 0.5, 0.6}}, 48000, SampleFormat::float32, "", "two.wav");
    CHECK(contains(refusal([&] { read_responses({path}, {}); }), "--channel"));
    CHECK(read_responses({path}, 2).responses.at(0).samples[1] == doctest::Approx(0.5));
    const RoomResponses both = read_every_channel({path}, {});
    REQUIRE(both.responses.size() == 2);
    CHECK(both.responses[0].samples[0] == doctest::Approx(0.1));
    CHECK(both.responses[1].samples[0] == doctest::Approx(0.4));
    CHECK(read_every_channel({path}, 1).responses.size() == 1);
}
