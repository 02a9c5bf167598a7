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

template <class Value>
bool holds(const std::vector<Value>& all, const Value& one) {
    return std::find(all.begin(), all.end(), one) != all.end();
}

template <class Kind, class Value>
bool holds_a(const std::vector<Value>& all) {
    return std::any_of(all.begin(), all.end(),
                       [](const Value& one) { return std::holds_alternative<Kind>(one); });
}

std::vector<Position> at(std::initializer_list<const char*> names) {
    std::vector<Position> positions;
    for (const char* name : names)
        positions.push_back(parse_position(name));
    return positions;
}

} // namespace

TEST_CASE("a new job is to be filled in, and what is blank is named") {
    JobState state;
    state.path = "room";
    state.description = job_description(job_template(), "job.toml");
    const NextSteps steps = next_steps(state);
    CHECK(steps.stage == "plan");
    CHECK(steps.missing ==
          std::vector<Lack>{PlanItem::title, PlanItem::room_size, PlanItem::source, PlanItem::microphone});
    CHECK(steps.now == std::vector<Step>{FillInPlan{"room"}});
    CHECK_FALSE(steps.safe_to_leave);
}

TEST_CASE("a planned job is to be measured, at all its positions") {
    const NextSteps steps = next_steps(planned());
    CHECK(steps.stage == "measure");
    CHECK(steps.missing == std::vector<Lack>{VisitBeforeMissing{at({"S1-M1", "S1-M2", "S1-M3"})}});
    CHECK(steps.now == std::vector<Step>{MeasureBefore{"room", {"S1", "M1"}}});
    CHECK(steps.notes == std::vector<JobNote>{FewPositions{3, 6}});
}

TEST_CASE("one place alone, and what looks mistaken in the plan, are said where something is foretold") {
    JobState state = planned();
    state.description.microphones.resize(1);
    state.description.doubts = {"job.toml, line 3"};
    const std::vector<JobNote> both = {PlanDoubt{"job.toml, line 3"}, OnePlaceAlone{"S1-M1", 6}};
    CHECK(next_steps(state).notes == both);
    CHECK(plan_notes(state.description) == both);
    CHECK(plan_notes(state.description, at({"S1-M1", "S1-M2"})).size() == 1);
}

TEST_CASE("the state of every patch of the room is asked for") {
    JobState state = planned();
    state.description.room.patches = {{"door", RoomPatch::Kind::door, {Wall::left, {3, 0}, {3.9, 2}}}};
    add_take(state, "before", "S1-M1");
    const auto blank = lacking(state, "before");
    CHECK(std::find(blank.begin(), blank.end(), Lack(ProtocolBlank{"before", {"room.patches.door"}})) !=
          blank.end());
    state.visits["before"].patches["door"] = "closed";
    const auto filled = lacking(state, "before");
    CHECK(std::none_of(filled.begin(), filled.end(),
                       [](const Lack& lack) { return std::holds_alternative<ProtocolBlank>(lack); }));
}

TEST_CASE("during a visit one may not leave before positions, return and protocol are complete") {
    JobState state = planned();
    add_take(state, "before", "S1-M2");
    state.visits["before"].doors.clear();
    const NextSteps steps = next_steps(state);
    CHECK(steps.safe_to_leave == false);
    CHECK(steps.missing == std::vector<Lack>{NotMeasured{at({"S1-M1", "S1-M3"})}, ReturnMissing{{"S1", "M2"}},
                                             ProtocolBlank{"before", {"room.doors"}}});
    REQUIRE(steps.now.size() == 3);
    CHECK(steps.now[1] == Step(NotYet{steps.missing[1]}));
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
    const Band band = bands_between(BandWidth::third, 50, 50).front();
    CHECK(steps.now[0] == Step(NotYet{RangeTooShort{{"S1", "M3"}, 31, band, 35, 6}}));
    state.decays["before/S1-M3-01"] = with_range(50, 20); // 63 sweeps
    CHECK(next_steps(state).missing == std::vector<Lack>{RangeTooShort{{"S1", "M3"}, 20, band, 35, {}}});
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
    CHECK(holds<Lack>(steps.missing, TakeRejected{{"S1", "M2"}, {{CheckName::clipping, "lower the level"}}}));
    add_take(state, "before", "S1-M2");
    CHECK(next_steps(state).safe_to_leave == true);
}

TEST_CASE("after a complete visit: copy, check the copy, build, measure the same positions") {
    JobState state = planned();
    add_whole_visit(state, "before");
    NextSteps steps = next_steps(state);
    CHECK(steps.safe_to_leave == true);
    CHECK(steps.now == std::vector<Step>{CopyJob{"room", state.digest}, KeepPrediction{"room"},
                                         MakePromise{"room"}, BuildAndMeasure{"room", {"S1", "M1"}}});
    CHECK(steps.missing == std::vector<Lack>{VisitAfterMissing{}});
    CHECK(holds<JobNote>(steps.notes, BuiltToEnter{{"rear wall"}}));
    CHECK_FALSE(holds_a<NotTheDayOfBuild>(steps.notes));
    state.today = "2026-12-03";
    CHECK(holds<JobNote>(next_steps(state).notes, NotTheDayOfBuild{"before", "2026-11-25"}));
}

TEST_CASE("after the build the positions of the first visit are asked for, then the comparison") {
    JobState state = planned();
    add_whole_visit(state, "before");
    state.description.microphones.push_back({"M4", {1, 1, 1}, {}, "", false});
    add_take(state, "after", "S1-M1");
    CHECK(holds<Lack>(next_steps(state).missing, NotMeasured{at({"S1-M2", "S1-M3"})}));
    add_take(state, "after", "S1-M2");
    add_take(state, "after", "S1-M3");
    add_take(state, "after", "S1-M1", true);
    const NextSteps steps = next_steps(state);
    CHECK(steps.stage == "compare");
    CHECK(steps.safe_to_leave == true);
    CHECK(holds<Step>(steps.now, CompareVisits{"room", "after"}));
    CHECK(holds<Step>(steps.now, MakeProof{"room"}));
    CHECK_FALSE(holds_a<ForecastAsBuilt>(steps.now));
    state.description.traps[0].built = BuiltTrap{};
    CHECK_FALSE(holds_a<ForecastAsBuilt>(next_steps(state).now)); // as planned
    state.description.traps[0].built->wool_mass_kg = 4;
    CHECK(holds<Step>(next_steps(state).now, ForecastAsBuilt{"room", {"rear wall"}}));
    StoredPrediction built;
    built.original_name = computed_as_built;
    state.predictions = {built};
    CHECK_FALSE(holds_a<ForecastAsBuilt>(next_steps(state).now));
}

TEST_CASE("a position whose only take was left out counts as not measured") {
    JobState state = planned();
    add_whole_visit(state, "before");
    state.takes[2].excluded_because = "a lorry passed";
    CHECK(holds<Lack>(next_steps(state).missing, NotMeasured{at({"S1-M3"})}));
}

TEST_CASE("an after visit alone asks for what it is to be compared with") {
    JobState state = planned();
    add_whole_visit(state, "after");
    CHECK(holds<Lack>(next_steps(state).missing, VisitBeforeMissing{}));
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
    CHECK(holds<JobNote>(
        next_steps(state).notes,
        PlanDiffers{{{PlanPart::question, ""}, {PlanPart::acceptance, ""}}, "2026-11-26", "", true, "room"}));
}

TEST_CASE("a plan that is not the promised one is named, before the build with the way out") {
    JobState state = planned();
    add_whole_visit(state, "before");
    StoredPromise promise;
    promise.file = "promises/001.toml";
    promise.made_at = "2026-11-25T12:00:00+01:00";
    promise.job = state.description;
    state.promises = {promise};
    CHECK_FALSE(holds_a<PlanDiffers>(next_steps(state).notes));
    *state.description.traps[0].layers[1].thickness_m += 0.01;
    state.description.microphones[0].listening = false;
    state.description.microphones[1].photo = "other.jpg"; // no part of the plan
    PlanDiffers differs{{{PlanPart::microphone, "M1"}, {PlanPart::trap, "rear wall"}},
                        "2026-11-25",
                        promise.file,
                        false,
                        "room"};
    CHECK(holds<JobNote>(next_steps(state).notes, differs));
    state.fixed_question =
        FixedQuestion{promise.job.question, promise.job.acceptance, promise.made_at, promise.file};
    differs.fixed = true;
    CHECK(holds<JobNote>(next_steps(state).notes, differs));
}
