// SPDX-License-Identifier: GPL-3.0-or-later
#include "../files/folder.hpp"
#include "job/take.hpp"
#include "sample.hpp"

#include <doctest/doctest.h>

#include <string>
#include <vector>

using namespace ebbmark;

namespace {

Take full_take() {
    Take take;
    take.visit = "after";
    take.position = {"S1", "M2"};
    take.number = 12;
    take.is_return = true;
    take.made_at = "2026-11-25T09:30:00+01:00";
    take.program = "ebbmark 0.1.0";
    take.device = "file";
    take.simulated = true;
    take.accepted = false;
    take.checks = {{CheckName::clipping, 3, 0, "samples", CheckOutcome::rejected, "lower the level by 6 dB",
                    "nothing of this take is used", "3 clipped samples"},
                   {CheckName::drift, -18.4, 100, "ppm"}};
    take.calibrations = {
        {CalibrationKind::calibrator, "calibrations/aa.wav", std::string(64, 'b'), "2026-11-25", 12.5},
        {CalibrationKind::microphone_curve, "calibrations/bb.txt", std::string(64, 'c'), "", {}}};
    take.sound = "visits/after/sounds/003.wav";
    take.sound_sha256 = std::string(64, 'a');
    take.original_name = "räc \"7\".wav";
    take.recorded = "Recorded 2026-11-25 14:03:11, \"kitchen\" (as the recorder wrote it).";
    take.channel = 2;
    take.loopback_channel = 1;
    take.segment = Segment{1.0 / 3, 30};
    take.sweep = Sweep{20, 20000, 10, 48000, -12, 0, 0.1, 0.005, 0.5, 2, 14, 2};
    take.room.box = Box{{4.1, 3.3, 2.6}};
    take.source = {"S1", {0.6, 1.1, 1.2}, {}, "", 35};
    take.microphone = {"M2", {3.2, 2.44, 1.2}, {{Wall::rear, 0.9}}, "m2.jpg", true};
    return take;
}

} // namespace

TEST_CASE("a take is named after its position and counted, a return is named so") {
    Take take = full_take();
    CHECK(take.id() == "after/S1-M2-return-12");
    take.is_return = false;
    take.number = 1;
    CHECK(take.id() == "after/S1-M2-01");
}

TEST_CASE("everything of a take comes back from its file") {
    const Take take = full_take();
    const Take read = take_from_toml(to_toml(take), "take.toml");
    CHECK(to_toml(read) == to_toml(take));
    CHECK(read.id() == take.id());
    CHECK(read.simulated);
    CHECK_FALSE(read.accepted);
    CHECK(read.checks == take.checks);
    CHECK(read.checks[0].advice == "lower the level by 6 dB");
    CHECK(read.original_name == take.original_name);
    CHECK(read.recorded == take.recorded);
    CHECK(read.calibrations == take.calibrations);
    CHECK(read.segment == take.segment);
    CHECK(read.sweep == take.sweep);
    CHECK(read.microphone.listening);
    CHECK(read.microphone.distances[0].second == 0.9);
    CHECK(read.source.lowest_hz == 35);
    CHECK(read.room.box->edges_m[0] == 4.1);
}

TEST_CASE("every check is read back by its word, and one that nobody knows is refused with those there are") {
    // Source: the list of machine-readable names; the last four are of a calibrator's tone.
    const std::vector<std::string> words = {
        "sweep found", "clipping",     "lost samples", "disturbance", "hum",   "variation",
        "distortion",  "direct sound", "polarity",     "delay",       "drift", "position",
        "decay range", "frequency",    "level",        "stability",   "purity"};
    Take take = full_take();
    for (std::size_t n = 0; n < words.size(); ++n) {
        const auto name = static_cast<CheckName>(n);
        CHECK(code(name) == words[n]);
        take.checks = {{name, 3, 0, ""}};
        const std::string text = to_toml(take);
        CHECK(contains(text, "name = \"" + words[n] + "\""));
        CHECK(take_from_toml(text, "take.toml").checks[0].name == name);
    }
    std::string other = to_toml(take);
    other.replace(other.find("purity"), 6, "parity");
    const std::string said = refusal([&] { (void)take_from_toml(other, "take.toml"); });
    for (const char* part : {"take.toml", "parity", "is no check", "sweep found, clipping"})
        CHECK_MESSAGE(contains(said, part), part);
}

TEST_CASE("a take from before checks had outcomes opens, and says what is not known of them") {
    // Source: own output, of a version that kept no outcomes.
    Take take = full_take();
    take.checks = {{CheckName::clipping, 3, 0, "samples", CheckOutcome::rejected, "lower the level"},
                   {CheckName::polarity, -1, 1, "", CheckOutcome::noted, "swap the wires"},
                   {CheckName::decay_range, 20, 35, "dB", CheckOutcome::noted, "stop fans"}};
    const auto old = [](std::string text) {
        for (const char* outcome : {"noted", "rejected"})
            for (const std::string line = std::string("outcome = \"") + outcome + "\"\n";
                 text.find(line) != std::string::npos;)
                text.erase(text.find(line), line.size());
        return text;
    };
    Take read = take_from_toml(old(to_toml(take)), "take.toml");
    CHECK(read.checks[0].outcome == CheckOutcome::rejected);
    CHECK(read.checks[1].outcome == CheckOutcome::noted);
    CHECK(read.checks[2].outcome == CheckOutcome::noted);
    CHECK(read.checks[1].effect == "not stated by the version of the program that kept the take");
    take.checks.erase(take.checks.begin());
    read = take_from_toml(old(to_toml(take)), "take.toml");
    CHECK(read.checks[1].outcome == CheckOutcome::rejected); // nothing else can have
    std::string wrong = to_toml(take);
    wrong.replace(wrong.find("held = false"), 12, "held = true ");
    CHECK_THROWS_AS((void)take_from_toml(wrong, "take.toml"), Error);
}

TEST_CASE("a take is in use when accepted and not left out") {
    Take take;
    CHECK(take.in_use());
    take.excluded_because = "door slammed";
    CHECK_FALSE(take.in_use());
    take.excluded_because.clear();
    take.accepted = false;
    CHECK_FALSE(take.in_use());
}

TEST_CASE("the reason for leaving out comes back") {
    CHECK(exclusion_reason(exclusion_toml("lorry \"passed\"\nby", "2026-11-25T10:00:00Z"), "x") ==
          "lorry \"passed\"\nby");
    CHECK(contains(refusal([] { exclusion_reason("[excluded]\nat = \"x\"\n", "x.toml"); }),
                   "because is missing"));
}

TEST_CASE("a visit begins where its first sound was kept, not at the first name") {
    Take a = full_take(), b = full_take();
    a.is_return = b.is_return = false;
    a.position = {"S1", "M1"};
    a.sound = "visits/after/sounds/002.wav";
    b.sound = "visits/after/sounds/001.wav";
    CHECK(first_position({a, b}, "after") == b.position);
    CHECK_FALSE(first_position({a, b}, "before"));
}
