// SPDX-License-Identifier: GPL-3.0-or-later
// A visit with a person whose answers the test gives.
#include "../job/sample.hpp"
#include "base/error.hpp"
#include "echo_device.hpp"
#include "work/level_of_job.hpp"
#include "work/measuring_day.hpp"

#include <doctest/doctest.h>

#include <deque>

using namespace ebbmark;

namespace {

/// Gives these answers in turn, then ends; notes what it was shown.
class Scripted : public Person {
  public:
    explicit Scripted(std::deque<Answer> answers) : answers_(std::move(answers)) {}

    Answer ask(const Prompt& prompt) override {
        if (const auto* here = std::get_if<StandHere>(&prompt))
            asked.push_back(here->take.position.name() + (here->take.is_return ? " return" : ""));
        else
            asked.push_back("sound grows");
        if (answers_.empty())
            return Answer::end;
        const Answer next = answers_.front();
        answers_.pop_front();
        return next;
    }
    void leave_room() override { ++left; }
    Watch watch() override {
        return [](const Meter&) { return true; };
    }
    void stop_if_interrupted() override {}
    void left_for_later(const std::string& source, const std::string& why) override {
        asked.push_back("left " + source + ": " + why);
    }
    void kept(const KeptTake& take) override { takes.push_back(take.take); }

    std::vector<std::string> asked, takes;
    int left = 0;

  private:
    std::deque<Answer> answers_;
};

/// An echo that no two times sounds the same.
class ChangingEcho : public Echo {
  public:
    Recording play_and_record(const Signal& output, const Watch& watch) override {
        Recording recording = Echo::play_and_record(output, watch);
        recording.channels[0].samples[0] = 1e-5 * ++times_;
        return recording;
    }

  private:
    int times_ = 0;
};

struct Visit {
    TestFolder folder;
    std::filesystem::path path = sample::new_job(folder);
    ChangingEcho device;
    AnalysedJob job{path, Access::write};

    explicit Visit(int level_of_channel = 1) {
        device.is_simulated = true;
        keep_level(
            job, {brief_sweep, {"echo", level_of_channel, "S1", 48000}, "echo", true, sample::morning.time});
    }
    MeasuringDay day(Person& person) {
        return {job,
                device,
                {"before",
                 {},
                 {},
                 [](const std::string& source) { return "find " + source; },
                 [] { return sample::morning; }},
                person};
    }
};

} // namespace

TEST_CASE("a walk goes on after what was left for later, and ends where the person says so") {
    Visit visit;
    Scripted person({Answer::later, Answer::go_on, Answer::end});
    MeasuringDay day = visit.day(person);
    day.walk();
    CHECK(person.asked == std::vector<std::string>{"S1-M1", "S1-M2", "S1-M3"});
    CHECK(person.takes == std::vector<std::string>{"before/S1-M2-01"});
    CHECK(person.left == 1);
    REQUIRE(day.result().kept.size() == 1);
    CHECK(day.result().kept[0].report.accepted);
    CHECK(day.result().ending == Ending::complete);
}

TEST_CASE("a walk asks again for what was rejected, and ends when the device fails") {
    Visit visit;
    visit.device.gain = 0; // nothing is heard
    Scripted person({Answer::go_on, Answer::go_on});
    visit.day(person).walk();
    CHECK(person.asked == std::vector<std::string>{"S1-M1", "S1-M1", "S1-M1"});
    visit.device.gain = 0.3;
    visit.device.ending = Ending::failed;
    visit.device.heard = 0.5;
    Scripted other({Answer::go_on, Answer::go_on});
    MeasuringDay day = visit.day(other);
    day.walk();
    CHECK(other.asked.size() == 1);
    CHECK(day.result().ending == Ending::failed);
}

TEST_CASE("nobody is asked to move a microphone where no level was found for the output") {
    Visit visit(2);
    visit.device.is_simulated = false;
    Scripted person({Answer::go_on});
    const std::string said = refusal([&] { visit.day(person).walk(); });
    CHECK(contains(said, "find S1"));
    CHECK(person.asked.empty());
    CHECK(person.left == 0);
}

TEST_CASE("a visit that may not be called so is refused before anything is played") {
    Visit visit;
    Scripted person({});
    CHECK_THROWS_AS((MeasuringDay{visit.job, visit.device, {"../x", {}, {}, {}, {}}, person}), Error);
    CHECK(person.asked.empty());
}

TEST_CASE("the response that was judged is the one that later commands read") {
    Visit visit;
    Scripted person({});
    visit.day(person).measure({parse_position("S1-M1"), false});
    const Take& take = visit.job.take("before/S1-M1-01");
    CHECK(std::filesystem::exists(visit.path / "results" / response_file_name(take)));
    const TakeResponse judged = visit.job.response_of(take);
    REQUIRE(judged.heard);
    const TakeResponse read = AnalysedJob(visit.path, Access::read).response_of(take);
    CHECK(read.response.samples == judged.response.samples);
    CHECK(read.delay_s == judged.delay_s);
    CHECK(is_same_response(judged, as_kept(response_from_recording(visit.job, take))));
}

TEST_CASE("a real loudspeaker is not driven without a person's word") {
    Visit visit;
    visit.device.is_simulated = false;
    Scripted person({Answer::end});
    const auto report = search_level(visit.job, visit.device, {parse_position("S1-M1"), -12}, person,
                                     [] { return sample::morning.time; });
    CHECK(!report);
    CHECK(person.asked == std::vector<std::string>{"sound grows"});
    CHECK(person.left == 0);
}
