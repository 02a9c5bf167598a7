// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/job_toml.hpp"
#include "job/next.hpp"
#include "sample.hpp"

#include <doctest/doctest.h>

#include <algorithm>

using namespace ebbmark;

namespace {

constexpr const char* today = "2026-11-25";

JobState planned() {
    JobState state;
    state.path = "room";
    state.description = job_description(sample::job_toml, "job.toml");
    state.today = today;
    state.digest = std::string(64, 'd');
    return state;
}

void add_take(JobState& state, const std::string& visit, const std::string& position,
              bool is_return = false) {
    Take take;
    take.visit = visit;
    take.position = parse_position(position);
    take.is_return = is_return;
    take.number = 1;
    take.made_at = "2026-11-25T10:00:" + std::to_string(10 + state.takes.size());
    take.sound = "visits/" + visit + "/sounds/" + std::to_string(100 + state.takes.size()) + ".wav";
    take.sweep = Sweep{20, 20000, 10, 48000, -12, 0, 0.1, 0.005, 0.5, 2, 14, 2};
    state.takes.push_back(take);
    state.visits.try_emplace(visit, visit_protocol(sample::filled_protocol(today), "visit.toml"));
}

void add_whole_visit(JobState& state, const std::string& visit) {
    for (const char* position : {"S1-M1", "S1-M2", "S1-M3"})
        add_take(state, visit, position);
    add_take(state, visit, "S1-M1", true);
}

ResponseDecay with_range(double hz, double decay_range_db) {
    ResponseDecay decay;
    for (const Band& band : bands_between(BandWidth::third, 20, 400)) {
        BandDecay b;
        b.band = band;
        b.decay_range_db = Measured::of(band.nominal_hz == hz ? decay_range_db : 60);
        decay.bands.push_back(b);
    }
    return decay;
}

} // namespace

TEST_CASE("a new job is to be filled in, and what is blank is named") {
    JobState state;
    state.path = "room";
    state.description = job_description(job_template(), "job.toml");
    const NextSteps steps = next_steps(state);
    CHECK(steps.stage == "plan");
    CHECK(steps.missing.size() == 4);
    CHECK(any_contains(steps.missing, "job.title"));
    CHECK(any_contains(steps.missing, "length, width and height"));
    CHECK(any_contains(steps.now, "fill in room/job.toml"));
    CHECK_FALSE(steps.safe_to_leave);
}

TEST_CASE("a planned job is to be measured, at all its positions") {
    const NextSteps steps = next_steps(planned());
    CHECK(steps.stage == "measure");
    CHECK(any_contains(steps.missing, "S1-M1, S1-M2, S1-M3"));
    CHECK(any_contains(steps.now, "ebbmark import room before RECORDING S1-M1 --sweep SWEEP.toml"));
    CHECK(any_contains(steps.notes, "job.toml has 3 positions; with 6 or more"));
}

TEST_CASE("during a visit one may not leave before positions, return and protocol are complete") {
    JobState state = planned();
    add_take(state, "before", "S1-M2");
    state.visits["before"].doors.clear();
    const NextSteps steps = next_steps(state);
    CHECK(steps.safe_to_leave == false);
    CHECK(any_contains(steps.now, "not yet: positions not measured: S1-M1, S1-M3"));
    CHECK(any_contains(steps.now, "not yet: the return: move the microphone away, back to S1-M2"));
    CHECK(any_contains(steps.now, "not yet: in visits/before/visit.toml: room.doors"));
}

TEST_CASE(
    "too little decay range in a band of the question keeps one in the room, with the number of sweeps") {
    JobState state = planned();
    add_whole_visit(state, "before");
    // Source: closed form. n equal sweeps lower the noise by 10 lg n: 4 dB need 2.51 times two sweeps.
    state.decays["before/S1-M3-01"] = with_range(50, 31);
    NextSteps steps = next_steps(state);
    CHECK(steps.safe_to_leave == false);
    REQUIRE(steps.now.size() == 1);
    CHECK(steps.now[0] == "not yet: S1-M3 has 31 dB of decay range at 50 Hz, 35 are needed for T20: "
                          "repeat with 6 sweeps, or louder");
    state.decays["before/S1-M3-01"] = with_range(50, 20);
    CHECK(any_contains(next_steps(state).now, "play louder or wait until the room is quieter"));
    state.decays["before/S1-M3-01"] = with_range(315, 20); // not asked for
    CHECK(next_steps(state).safe_to_leave == true);
    state.decays["before/S1-M3-01"] = with_range(50, 35);
    CHECK(next_steps(state).safe_to_leave == true);
}

TEST_CASE("a rejected take is named with its failed check until a better one is there") {
    JobState state = planned();
    add_whole_visit(state, "before");
    state.takes[1].accepted = false;
    state.takes[1].checks = {
        {CheckName::clipping, 12, 0, "samples", CheckOutcome::rejected, "lower the level"}};
    const NextSteps steps = next_steps(state);
    CHECK(steps.safe_to_leave == false);
    CHECK(any_contains(steps.now,
                       "S1-M2 was rejected by its own checks (clipping: lower the level): repeat it"));
    add_take(state, "before", "S1-M2");
    CHECK(next_steps(state).safe_to_leave == true);
}

TEST_CASE("after a complete visit: copy, check the copy, build, measure the same positions") {
    JobState state = planned();
    add_whole_visit(state, "before");
    NextSteps steps = next_steps(state);
    CHECK(steps.safe_to_leave == true);
    CHECK(any_contains(steps.now,
                       "copy room to a second disk and check the copy there: ebbmark verify COPY --digest " +
                           state.digest));
    CHECK(any_contains(steps.now, "ebbmark import room after RECORDING S1-M1"));
    CHECK(any_contains(steps.notes, "[trap.built] what really stands there: rear wall"));
    CHECK_FALSE(any_contains(steps.notes, "before-2"));
    state.today = "2026-12-03";
    CHECK(any_contains(next_steps(state).notes, "the visit \"before\" was on 2026-11-25: measure once more"));
}

TEST_CASE("after the build the positions of the first visit are asked for, then the comparison") {
    JobState state = planned();
    add_whole_visit(state, "before");
    state.description.microphones.push_back({"M4", {1, 1, 1}, {}, "", false});
    add_take(state, "after", "S1-M1");
    CHECK(any_contains(next_steps(state).now, "not yet: positions not measured: S1-M2, S1-M3"));
    add_take(state, "after", "S1-M2");
    add_take(state, "after", "S1-M3");
    add_take(state, "after", "S1-M1", true);
    const NextSteps steps = next_steps(state);
    CHECK(steps.stage == "compare");
    CHECK(steps.safe_to_leave == true);
    CHECK(any_contains(steps.now, "ebbmark compare room"));
}

TEST_CASE("a position whose only take was left out counts as not measured") {
    JobState state = planned();
    add_whole_visit(state, "before");
    state.takes[2].excluded_because = "a lorry passed";
    CHECK(any_contains(next_steps(state).now, "positions not measured: S1-M3"));
}

TEST_CASE("an after visit alone asks for what it is to be compared with") {
    JobState state = planned();
    add_whole_visit(state, "after");
    CHECK(any_contains(next_steps(state).missing, "a visit before the build"));
}

TEST_CASE("modes asked for judge their own bands, and a question changed after the build is named") {
    JobState state = planned();
    add_whole_visit(state, "before");
    state.description.question = {JobQuestion::Kind::modes, 40, 200, {41.8}};
    state.decays["before/S1-M3-01"] = with_range(50, 20);
    CHECK(next_steps(state).safe_to_leave == true);
    state.decays["before/S1-M3-01"] = with_range(40, 20);
    CHECK(next_steps(state).safe_to_leave == false);
    state.fixed_question =
        FixedQuestion{{JobQuestion::Kind::bands, 63, 200, {}}, {}, "2026-11-26T10:00:00Z", ""};
    CHECK(next_steps(state).safe_to_leave == true);
    CHECK(any_contains(
        next_steps(state).notes,
        "otherwise now than what was fixed on 2026-11-26: the question, the acceptance; what was "
        "fixed counts"));
}

TEST_CASE("a plan that is not the promised one is named, before the build with the way out") {
    JobState state = planned();
    add_whole_visit(state, "before");
    StoredPromise promise;
    promise.file = "promises/001.toml";
    promise.made_at = "2026-11-25T12:00:00+01:00";
    promise.job = state.description;
    state.promises = {promise};
    CHECK_FALSE(any_contains(next_steps(state).notes, "promised"));
    *state.description.traps[0].layers[1].thickness_m += 0.01;
    state.description.microphones[0].listening = false;
    state.description.microphones[1].photo = "other.jpg"; // no part of the plan
    CHECK(
        any_contains(next_steps(state).notes,
                     "what was promised on 2026-11-25 (promises/001.toml): the microphone place M1, the trap "
                     "\"rear wall\"; make a new promise"));
    state.fixed_question =
        FixedQuestion{promise.job.question, promise.job.acceptance, promise.made_at, promise.file};
    CHECK(any_contains(next_steps(state).notes, "what was fixed counts, and the proof shows both"));
}
