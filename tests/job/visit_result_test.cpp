// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/job_toml.hpp"
#include "job/visit_result.hpp"
#include "relative.hpp"
#include "sample.hpp"

#include <doctest/doctest.h>

using namespace ebbmark;

namespace {

JobDescription job() {
    JobDescription description;
    description.room.box = Box{{4.1, 3.3, 2.6}};
    description.room.volume_m3 = description.room.box->volume_m3();
    description.room.surface_m2 = description.room.box->surface_m2();
    description.room.target = "ITU-R BS.1116-3";
    description.sources = {{"S1", {0.6, 0.7, 1.2}, {}, "", {}}, {"S2", {0.5, 2.7, 0.6}, {}, "", {}}};
    description.microphones = {{"M1", {2.4, 1.65, 1.2}, {}, "", true},
                               {"M2", {1.9, 2.3, 1.35}, {}, "", false},
                               {"M3", {3.2, 0.95, 1.5}, {}, "", false}};
    return description;
}

MeasuredPosition measured(const char* position, double t20_s, double to_hz = 4000) {
    MeasuredPosition result{parse_position(position), {std::string(position) + "-01"}, 48000, {}};
    for (const Band& band : bands_between(BandWidth::octave, 63, to_hz)) {
        BandDecay decay;
        decay.band = band;
        decay.edt_s = Measured::of(t20_s * 0.9);
        decay.t20_s =
            t20_s > 0 ? Measured{t20_s, t20_s * 0.9, t20_s * 1.1, {}} : Measured::none(Empty::filter);
        decay.t30_s = Measured::none(Empty::noise);
        decay.shape = DecayShape::single;
        decay.decay_range_db = Measured::of(30 + 10 * t20_s);
        if (t20_s <= 0)
            decay.at_most_s = 0.1;
        result.decay.bands.push_back(decay);
    }
    return result;
}

VisitProtocol protocol() {
    VisitProtocol visit;
    visit.temperature_start_c = 20;
    visit.temperature_end_c = 22;
    visit.humidity_start_percent = 40;
    return visit;
}

} // namespace

TEST_CASE("listening places stay out of the room's mean and out of the grade") {
    const auto result = visit_result(
        job(), protocol(),
        {measured("S1-M1", 0.9), measured("S1-M2", 0.4), measured("S1-M3", 0.5), measured("S2-M2", 0.6)}, {});
    CHECK(result.room.positions == std::vector<std::string>{"S1-M2", "S1-M3", "S2-M2"});
    CHECK(result.listening.positions == std::vector<std::string>{"S1-M1"});
    REQUIRE(result.room.bands.size() == 7);
    CHECK(*result.room.bands[0].mean.t20_s == relative(0.5));
    CHECK(*result.room.bands[0].average.spread_percent == relative(20));
    CHECK(*result.room.bands[0].mean.edt_s == relative(0.45));
    CHECK(*result.room.bands[0].mean.decay_range_db == relative(34));
    CHECK(*result.listening.bands[0].mean.t20_s == 0.9);
    CHECK(result.setup.pairs == 3);
    CHECK(result.setup.microphones == 2);
    CHECK(result.setup.grade == Grade::survey);
}

TEST_CASE("the room statement uses the mean and the visit's air") {
    const auto result = visit_result(job(), protocol(), {measured("S1-M2", 0.4), measured("S1-M3", 0.6)}, {});
    CHECK(result.statement.air.celsius == relative(21));
    CHECK(result.statement.air.humidity_percent == relative(40));
    CHECK(result.air_noted);
    // Source: closed form. 2000 √(0.5 / 35.178) = 238.4 Hz.
    CHECK(*result.statement.schroeder_hz == relative(238.4).epsilon(1e-3));
    CHECK_FALSE(visit_result(job(), {}, {measured("S1-M2", 0.4)}, {}).air_noted);
}

TEST_CASE("a target is judged by the mean and needs the volume") {
    auto description = job();
    // Tm = 0.25 (35.178 / 100)^(1/3) = 0.176 s; 1 kHz: 0.126 to 0.226 s.
    const auto at_1000 = [&](double t20_s) {
        return visit_result(description, {}, {measured("S1-M2", t20_s)}, {}).targets.at(0).bands[4].finding;
    };
    CHECK(at_1000(0.2) == TargetFinding::inside);
    CHECK(at_1000(0.3) == TargetFinding::above);
    CHECK(at_1000(0.1) == TargetFinding::below);
    description.room.target = "a studio";
    CHECK(visit_result(description, {}, {measured("S1-M2", 0.2)}, {}).targets[0].not_judged ==
          NotJudged::unknown_target);
    description.room = {{}, {}, {}, "EBU Tech 3276"};
    const auto unknown = visit_result(description, {}, {measured("S1-M2", 0.2)}, {});
    CHECK(unknown.targets[0].bands.empty());
    CHECK(unknown.targets[0].not_judged == NotJudged::unknown_volume);
    CHECK(unknown.statement.bands[0].area_m2.empty == Empty::conditions);
    description.room.target = "";
    CHECK(visit_result(description, {}, {measured("S1-M2", 0.2)}, {}).targets.empty());
}

TEST_CASE("the return is held against the position of the same name") {
    const auto result =
        visit_result(job(), {}, {measured("S1-M2", 0.4), measured("S1-M3", 0.6)}, {measured("S1-M2", 0.42)});
    REQUIRE(result.returned);
    REQUIRE(result.returned->bands.size() == 7);
    CHECK(*result.returned->bands[0].change_percent == relative(5));
    const auto lost = visit_result(job(), {}, {measured("S1-M3", 0.6)}, {measured("S1-M2", 0.42)});
    CHECK(lost.returned->bands.empty());
    const auto empty = visit_result(job(), {}, {measured("S1-M2", 0)}, {measured("S1-M2", 0.42)});
    CHECK(empty.returned->bands[0].change_percent.empty == Empty::filter);
}

TEST_CASE("positions at different rates are averaged over the bands that all have") {
    const auto result = visit_result(job(), {}, {measured("S1-M2", 0.4), measured("S1-M3", 0.6, 1000)}, {});
    CHECK(result.room.bands.size() == 5);
    CHECK(result.positions[0].decay.bands.size() == 7);
}

TEST_CASE("a visit of listening places alone says why there is no mean") {
    const auto result = visit_result(job(), {}, {measured("S1-M1", 0.4)}, {});
    CHECK(result.room.bands.empty());
    CHECK(result.listening.bands.size() == 7);
    CHECK(result.setup.grade == Grade::none);
    CHECK(result.notes == std::vector<JobNote>{OnlyListeningPlaces{}, AirAssumed{}, NoReturnMeasured{}});
}

TEST_CASE("a decay too short for the filter keeps its upper bound in the mean") {
    const auto result = visit_result(job(), {}, {measured("S1-M2", 0), measured("S1-M3", 0)}, {});
    CHECK(*result.room.bands[0].mean.at_most_s == relative(0.1));
    CHECK(result.room.bands[0].mean.t20_s.empty == Empty::filter);
}

TEST_CASE("places of a job file reach the checks of the set-up") {
    const JobDescription description = job_description(sample::job_toml, "job.toml");
    const auto result = visit_result(description, {}, {measured("S1-M2", 0.4), measured("S1-M3", 0.5)}, {});
    // M3 stands 0.2 m from three surfaces: a quarter wavelength of about 429 Hz.
    CHECK(*result.setup.from_hz == relative(429).epsilon(0.01));
}
