// SPDX-License-Identifier: GPL-3.0-or-later
// Where the responses of a visit were taken, and what needs all of them together.
#include "files/response_comment.hpp"
#include "response_job.hpp"
#include "work/measures.hpp"
#include "work/next_of_job.hpp"
#include "work/place_checks.hpp"
#include "work/room_responses.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace ebbmark;

namespace {

constexpr const char* morning = "2026-11-25T10:00:00+01:00";

/// A click, and one reflection that comes `lag_s` later.
Signal click(double lag_s) {
    Signal response{std::vector<double>(48000, 0.0), 48000};
    response.samples[960] = 1;
    response.samples[960 + static_cast<std::size_t>(std::lround(48000 * lag_s))] += 0.5;
    return response;
}

void keep_click(ResponseJob& job, const std::string& visit, const std::string& position, double lag_s,
                double from_hz = 20) {
    const ResponseInfo info{from_hz, 20000};
    Signal response = click(lag_s);
    response.samples.resize(48000 + job.open().takes().size()); // the same sound would count once
    job.keep(visit, position,
             wav_bytes({response.samples}, 48000, SampleFormat::float32, to_comment(info), "response.wav"),
             morning);
}

} // namespace

TEST_CASE("the places of a visit are job.toml's, and its positions those with a usable take") {
    ResponseJob job;
    job.measure("before", {"S1-M2", "S1-M1"}, 0.5, "2026-11-25T10:00:00+01:00");
    const AnalysedJob opened = job.open();
    const auto positions = positions_of(opened, "before");
    REQUIRE(positions.size() == 2);
    CHECK(positions[0].name() == "S1-M1");
    const auto places = places_of(opened, "before", positions);
    CHECK(places[0].first == Point{0.6, 1.1, 1.2});
    CHECK(places[0].second == Point{2.4, 1.65, 1.2});
    CHECK(refusal([&] { positions_of(opened, "after"); }) != "no error");
    const RoomResponses room = visit_responses(opened, "before", positions);
    CHECK(room.responses.size() == 2);
    CHECK(room.rate_hz == 24000);
    CHECK(!room.simulated);
    CHECK(expected_room(opened, "before", positions, 20).has_value());
}

TEST_CASE("a take knows beforehand how far and how fast its sound travels") {
    ResponseJob job;
    std::filesystem::create_directories(job.path() / "visits/before");
    std::ofstream(job.path() / "visits/before/visit.toml") << sample::filled_protocol("2026-11-25");
    const AnalysedJob opened = job.open();
    const RecordingOptions options = PlaceChecks(opened, "before").options(parse_position("S1-M1"));
    // Source: closed form. From (0.6, 1.1, 1.2) to (2.4, 1.65, 1.2) m; 331.3 sqrt(1 + 21.25/273.15) m/s
    // where the air is dry; humidity adds up to 0.3 % there.
    CHECK(*options.distance_m == doctest::Approx(std::hypot(1.8, 0.55)));
    CHECK(options.speed_of_sound_m_s ==
          doctest::Approx(331.3 * std::sqrt(1 + 21.25 / 273.15)).epsilon(0.003));
    CHECK(!PlaceChecks(opened, "before").options(parse_position("S9-M1")).distance_m);
}

TEST_CASE("without an earlier visit no position can be mixed up with another") {
    ResponseJob job;
    job.measure("before", {"S1-M1"}, 0.5, "2026-11-25T10:00:00+01:00");
    const AnalysedJob opened = job.open();
    PlaceChecks checks(opened, "before");
    CHECK(!checks.mixed_up(parse_position("S1-M1"), click(0.01)));
}

// Source: closed form. |1 + 0.5 exp(−iωτ)| has its first dip at 1/(2τ), and its peaks at 0 and 1/τ.
TEST_CASE("the bass response is that of the listening places, where there are any") {
    ResponseJob job;
    keep_click(job, "before", "S1-M1", 0.01);
    keep_click(job, "before", "S1-M2", 0.004);
    keep_click(job, "after", "S1-M1", 0);
    keep_click(job, "after", "S1-M2", 0.004);
    const AnalysedJob opened = job.open();
    const SamePositions visits{"before", "after", positions_of(opened, "before")};
    const auto listening = bass_response_of(opened, visits, {true, false});
    REQUIRE(listening);
    CHECK(listening->listening);
    CHECK(listening->positions == std::vector<std::string>{"S1-M1"});
    CHECK(listening->change.before[0].dip.hz == doctest::Approx(50).epsilon(0.06));
    CHECK(listening->change.after[0].unevenness_db < 0.01); // a click alone is even
    CHECK(*listening->change.unevenness_change_db < -1);
    const auto all = bass_response_of(opened, visits, {false, false});
    REQUIRE(all);
    CHECK(!all->listening);
    CHECK(all->positions.size() == 2);
}

TEST_CASE("a source that reaches too little of the bass gives no bass response") {
    ResponseJob job;
    for (const char* visit : {"before", "after"})
        keep_click(job, visit, "S1-M1", 0.01, 190);
    const AnalysedJob opened = job.open();
    CHECK(!bass_response_of(opened, {"before", "after", positions_of(opened, "before")}, {false}));
}

TEST_CASE("next names a recording that waits") {
    ResponseJob job;
    job.measure("before", {"S1-M1"}, 0.5, "2026-11-25T10:00:00+01:00");
    std::ofstream(job.path() / "rescued-before-S1-M2-0123456789ab.toml") << "# invented\n";
    Unwatched unwatched;
    AnalysedJob opened = job.open();
    const NextReport report = next_report(opened, "my job", {"2026-11-25T18:00:00+01:00", "test"},
                                          DigitsShown::at_end_of_visit, unwatched);
    CHECK(report.command == "next");
    CHECK(!report.simulated);
    CHECK(report.notes == std::vector<Note>{RecordingWaits{"rescued-before-S1-M2-0123456789ab.toml"}});
}
