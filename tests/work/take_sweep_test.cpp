// SPDX-License-Identifier: GPL-3.0-or-later
// How loud and how low a take may be.
#include "../job/sample.hpp"
#include "base/error.hpp"
#include "job/job_toml.hpp"
#include "work/take_sweep.hpp"

#include <doctest/doctest.h>

using namespace ebbmark;

namespace {

JobDescription described() {
    return job_description(sample::job_toml, "job.toml"); // S1 bears 35 Hz and more
}

SweepPlace at(const std::string& output, int channel = 1, const std::string& source = "S1",
              double rate_hz = 48000) {
    return {{output, channel, source, rate_hz}, false, "ebbmark level JOB"};
}

/// −20 dBFS from 30 Hz, found on output "amplifier".
KeptLevels found() {
    Sweep sweep;
    sweep.level_dbfs = -20;
    sweep.start_hz = 30;
    return {{{sweep, at("amplifier").place, "amplifier", false, "2026-11-25T09:30:00+01:00"}}, false};
}

} // namespace

TEST_CASE("a take is as loud as was found, or less, never louder") {
    CHECK(sweep_of_take(described(), found(), at("amplifier"), {}).level_dbfs == -20);
    CHECK(sweep_of_take(described(), found(), at("amplifier"), {-30, {}, {}}).level_dbfs == -30);
    try {
        sweep_of_take(described(), found(), at("amplifier"), {-19, {}, {}});
        FAIL("louder than was found");
    } catch (const Error& error) {
        CHECK(error.kind() == ErrorKind::usage);
        CHECK(contains(error.what(), "louder than the -20 dBFS"));
    }
}

TEST_CASE("a level holds for its output, channel, loudspeaker and rate alone") {
    for (const SweepPlace& other :
         {at("headphones"), at("amplifier", 2), at("amplifier", 1, "S2"), at("amplifier", 1, "S1", 44100)}) {
        // A level that is typed does not stand in for it where one was found somewhere.
        const std::string said = refusal([&] { sweep_of_take(described(), found(), other, {-60, {}, {}}); });
        CAPTURE(said);
        CHECK(contains(said, "no level was found"));
        CHECK(contains(said, "ebbmark level JOB"));
    }
}

TEST_CASE("without any level found one that is typed counts, and nothing else") {
    CHECK(sweep_of_take(described(), {}, at("amplifier"), {-40, {}, {}}).level_dbfs == -40);
    CHECK(contains(refusal([&] { sweep_of_take(described(), {}, at("amplifier"), {}); }),
                   "give a low one yourself"));
    SweepPlace room = at("virtual room");
    room.simulated = true;
    CHECK(sweep_of_take(described(), {}, room, {}).level_dbfs == Sweep{}.level_dbfs);
    CHECK(contains(refusal([&] {
                       sweep_of_take(described(), {{}, true}, at("amplifier"), {-40, {}, {}});
                   }),
                   "of an earlier version"));
}

TEST_CASE("no sweep starts below what the loudspeaker bears, whatever was found earlier") {
    CHECK(sweep_of_take(described(), found(), at("amplifier"), {}).start_hz == 35);
    KeptLevels higher = found();
    higher.settings[0].sweep.start_hz = 60;
    CHECK(sweep_of_take(described(), higher, at("amplifier"), {}).start_hz == 60);
    CHECK(sweep_of_take(described(), {}, at("amplifier"), {-40, {}, {}}).start_hz == 35);
}
