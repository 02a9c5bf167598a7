// SPDX-License-Identifier: GPL-3.0-or-later
// Recordings with a known truth; rates over many cases: tests/bench, recording_scenarios.
#include "../bench/simulated_recording.hpp"
#include "base/error.hpp"
#include "signal/direct_sound.hpp"
#include "signal/position.hpp"
#include "signal/recording.hpp"
#include "signal/takes.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>

using namespace ebbmark;
using namespace ebbmark::bench;

namespace {

constexpr double rate_hz = 48000;
constexpr double pi = std::numbers::pi;

Sweep sweep_of(int repeats, double seconds = 2) {
    Sweep sweep;
    sweep.seconds = seconds;
    sweep.repeats = repeats;
    sweep.repeat_period_s = seconds + 1.5;
    return sweep;
}

/// 60 dB above a steady noise, in a room of 0.3 s.
Signal recorded(const Signal& sound, std::uint64_t seed = 1) {
    Dice dice(seed);
    Signal recording{convolved(sound.samples, invented_room(0.3, rate_hz, dice)), rate_hz};
    add_noise(recording.samples, 1e-3 * level(recording, 1, 2), dice);
    return recording;
}

const QualityCheck* check_of(const Recovered& recovered, CheckName name) {
    for (const QualityCheck& check : recovered.checks)
        if (check.name == name)
            return &check;
    return nullptr;
}

bool holds(const Recovered& recovered, CheckName name) {
    const auto* check = check_of(recovered, name);
    REQUIRE(check != nullptr);
    CHECK(check->held() == check->advice.empty());
    return check->held();
}

} // namespace

TEST_CASE("a faultless recording passes every check, whatever the clock") {
    // Source: closed form. The second recorder's clock is 80 ppm fast, so 80 ppm it must say.
    const Sweep sweep = sweep_of(2);
    for (const double ppm : {0.0, 80.0, -250.0}) {
        Signal recording = recorded(played(sweep, 0.01, 0.005));
        recording.samples = with_clock(recording.samples, ppm);
        const auto recovered = recover(recording, excitation_of(sweep));
        for (const QualityCheck& check : recovered.checks) {
            CAPTURE(code(check.name));
            CAPTURE(check.advice);
            CHECK(check.held());
        }
        CHECK(recovered.accepted());
        REQUIRE(recovered.found.drift_ppm);
        CHECK(std::abs(*recovered.found.drift_ppm - ppm) < 0.01);
        CHECK(recovered.found.sweeps_used == 2);
        CHECK(*recovered.found.variation_db < -40);
    }
}

TEST_CASE("one sweep shows a clock difference to a ppm where the direct sound rules") {
    const Sweep sweep = sweep_of(1, 6);
    for (const double ppm : {-120.0, 30.0}) {
        Signal recording = recorded(played(sweep));
        recording.samples = with_clock(recording.samples, ppm);
        const auto found = deconvolve(recording, excitation_of(sweep));
        REQUIRE(found.drift_ppm);
        CHECK(found.clock == Clock::single_sweep);
        CHECK(std::abs(*found.drift_ppm - ppm) < 1);
    }
    // No direct sound, only a decay: no value, or a right one, by a reflection that happens to rule.
    for (std::uint64_t seed = 1; seed <= 5; ++seed) {
        Dice dice(seed);
        std::vector<double> diffuse(15000);
        for (std::size_t n = 0; n < diffuse.size(); ++n)
            diffuse[n] = dice.normal() * std::exp(-static_cast<double>(n) / 2000);
        const Signal recording{with_clock(convolved(played(sweep).samples, diffuse), 100), rate_hz};
        CHECK_FALSE(deconvolve(recording, excitation_of(sweep)).drift_ppm);
    }
}

TEST_CASE("the loudspeaker's harmonics are read from the sweep, in spite of the room") {
    // Source: closed form. 2 % and 1 % of every tone were put in; 0.5 dB is 6 %.
    const Sweep sweep = sweep_of(1, 10);
    const auto found = deconvolve(recorded(played(sweep, 0.02, 0.01)), excitation_of(sweep));
    int bands = 0;
    for (const BandDistortion& band : found.distortion) {
        if (band.band.nominal_hz < 40 || band.band.nominal_hz > 5000)
            continue;
        CAPTURE(band.band.nominal_hz);
        REQUIRE(band.percent[0]);
        REQUIRE(band.percent[1]);
        CHECK(std::abs(*band.percent[0] / 2 - 1) < 0.06);
        CHECK(std::abs(*band.percent[1] - 1) < 0.06);
        CHECK(std::abs(*band.total_percent / std::sqrt(5.0) - 1) < 0.06);
        ++bands;
    }
    CHECK(bands == 22);
}

TEST_CASE("harmonics that run into one another in a short sweep are left empty, not guessed") {
    // Source: closed form. 3 % of second and third harmonics; the room of 0.6 s rings from one into the next.
    Dice dice(3);
    const Sweep sweep = sweep_of(1, 3);
    Signal recording{convolved(played(sweep, 0.03, 0.03).samples, invented_room(0.6, rate_hz, dice)),
                     rate_hz};
    add_noise(recording.samples, 3e-4 * level(recording, 1, 2), dice);
    int given = 0, empty = 0;
    for (const BandDistortion& band : deconvolve(recording, excitation_of(sweep)).distortion) {
        if (band.band.nominal_hz > 5000)
            continue;
        CAPTURE(band.band.nominal_hz);
        CHECK(band.rough_percent);
        for (const int order : {2, 3}) {
            const auto& percent = band.percent[static_cast<std::size_t>(order) - 2];
            (percent ? given : empty) += 1;
            if (percent)
                CHECK(std::abs(20 * std::log10(*percent / 3)) < 0.5);
        }
    }
    CHECK(given > 20);
    CHECK(empty > 5);
}

TEST_CASE("a disturbed sweep is named and left out, and the rest is as if it were never there") {
    const Sweep sweep = sweep_of(4);
    Signal recording = recorded(played(sweep));
    Dice dice(5);
    const auto voice = noise_burst(800, 0.3, 0.01, rate_hz, dice);
    for (std::size_t n = 0; n < voice.size(); ++n)
        recording.samples[static_cast<std::size_t>(8.5 * rate_hz) + n] +=
            voice[n]; // in the third, 7.5 to 9.5 s
    const auto recovered = recover(recording, excitation_of(sweep));
    CHECK(recovered.found.used == std::vector<std::size_t>{0, 1, 3});
    REQUIRE(recovered.found.disturbances.size() == 1);
    const Disturbance& voiced = recovered.found.disturbances.front();
    CHECK(voiced.sweep == 2);
    CHECK(std::abs(voiced.from_s - 8.5) < 0.15);
    CHECK(voiced.from_hz < 800);
    CHECK(voiced.to_hz > 800);
    CHECK(holds(recovered, CheckName::disturbance)); // nothing of it is in the response
    CHECK(recovered.notes.size() == 2);
    CHECK(recovered.notes.front() == RecordingNote(SweepsLeftOut{3, 4}));
}

TEST_CASE("of two sweeps the louder one is disturbed") {
    const Sweep sweep = sweep_of(2);
    for (const std::size_t disturbed : {std::size_t{0}, std::size_t{1}}) {
        Signal recording = recorded(played(sweep));
        Dice dice(7);
        const auto thud = noise_burst(120, 0.3, 0.02, rate_hz, dice);
        const auto at = static_cast<std::size_t>((2.0 + 3.5 * static_cast<double>(disturbed)) * rate_hz);
        for (std::size_t n = 0; n < thud.size(); ++n)
            recording.samples[at + n] += thud[n];
        CHECK(recover(recording, excitation_of(sweep)).found.used == std::vector<std::size_t>{1 - disturbed});
    }
}

TEST_CASE("repeats that are not the same response are not averaged") {
    // The second sweep through another room: the microphone was moved.
    Sweep sweep = sweep_of(2);
    Dice dice(9);
    const auto here = invented_room(0.3, rate_hz, dice), there = invented_room(0.3, rate_hz, dice);
    const auto sound = played(sweep).samples;
    const auto half =
        static_cast<std::ptrdiff_t>((sweep.lead_silence_s + sweep.repeat_period_s) * rate_hz) - 100;
    std::vector<double> first(sound.begin(), sound.begin() + half), second(sound.size());
    std::copy(sound.begin() + half, sound.end(), second.begin() + half);
    first.resize(sound.size());
    Signal recording{convolved(first, here), rate_hz};
    const auto other = convolved(second, there);
    for (std::size_t n = 0; n < std::min(recording.size(), other.size()); ++n)
        recording.samples[n] += other[n];
    add_noise(recording.samples, 1e-4, dice);
    const auto recovered = recover(recording, excitation_of(sweep));
    CHECK(recovered.found.sweeps_used == 1);
    CHECK((!recovered.found.variation_db || !holds(recovered, CheckName::variation)));
}

TEST_CASE("lost samples reject a single sweep and cost one of two") {
    for (const int repeats : {1, 2}) {
        const Sweep sweep = sweep_of(repeats);
        Signal recording = recorded(played(sweep));
        const auto at = recording.samples.begin() + static_cast<std::ptrdiff_t>(1.7 * rate_hz);
        recording.samples.erase(at, at + 64);
        const auto recovered = recover(recording, excitation_of(sweep));
        CHECK(recovered.accepted() == (repeats == 2));
        CHECK(holds(recovered, CheckName::lost_samples) == (repeats == 2));
        if (repeats == 2)
            CHECK(recovered.found.used == std::vector<std::size_t>{1});
    }
}

TEST_CASE("hum is taken out, and what cannot be is flagged") {
    // Source: closed form. Without sweep noise the response with hum must be the one without.
    const Sweep sweep = sweep_of(1, 6);
    const Signal clean = recorded(played(sweep));
    Signal humming = clean;
    for (std::size_t n = 0; n < humming.size(); ++n)
        humming.samples[n] += 0.02 * std::sin(2 * pi * 50.03 * static_cast<double>(n) / rate_hz + 1) +
                              0.005 * std::sin(2 * pi * 150.09 * static_cast<double>(n) / rate_hz);
    const auto excitation = excitation_of(sweep);
    const auto with = deconvolve(humming, excitation), without = deconvolve(clean, excitation);
    CHECK(without.hum.lines.empty());
    CHECK(with.hum.mains_hz == 50);
    REQUIRE(with.hum.lines.size() == 2);
    CHECK(std::abs(with.hum.lines[0].hz - 50.03) < 0.005);
    CHECK(std::abs(with.hum.lines[0].amplitude - 0.02) < 0.001);
    CHECK(std::abs(with.hum.lines[1].hz - 150.09) < 0.005);
    double difference = 0, whole = 0;
    for (std::size_t n = 0; n < without.response.size(); ++n) {
        difference += std::pow(with.response.samples[n] - without.response.samples[n], 2);
        whole += without.response.samples[n] * without.response.samples[n];
    }
    CHECK(10 * std::log10(difference / whole) < -60);
    // Loud and swelling in the moment the sweep passes: nothing can be sure.
    for (std::size_t n = 0; n < humming.size(); ++n) {
        const double time_s = static_cast<double>(n) / rate_hz;
        humming.samples[n] += 0.2 * std::tanh(3 * (time_s - 1.5)) * std::sin(2 * pi * 50.03 * time_s);
    }
    CHECK_FALSE(holds(recover(humming, excitation), CheckName::hum));
}

TEST_CASE("several takes in one file are told apart, in their order, without each other's sweeps") {
    const Sweep sweep = sweep_of(2);
    const auto excitation = excitation_of(sweep);
    Signal tape{std::vector<double>(static_cast<std::size_t>(4 * rate_hz)), rate_hz};
    std::vector<double> starts_s;
    for (const double gain : {1.0, 0.1, 0.4}) {
        Signal take = recorded(played(sweep), static_cast<std::uint64_t>(100 * gain));
        for (double& x : take.samples)
            x *= gain;
        starts_s.push_back(tape.duration_s() + sweep.lead_silence_s);
        tape.samples.insert(tape.samples.end(), take.samples.begin(), take.samples.end());
        tape.samples.resize(tape.size() + static_cast<std::size_t>(5 * rate_hz));
    }
    Dice dice(1);
    add_noise(tape.samples, 1e-5, dice);
    const auto parts = takes_in(tape.samples, excitation, 3);
    REQUIRE(parts.size() == 3);
    for (std::size_t k = 0; k < 3; ++k) {
        CHECK(parts[k].sweeps == 2);
        const auto first = tape.samples.begin() + static_cast<std::ptrdiff_t>(parts[k].first);
        const Signal part{{first, first + static_cast<std::ptrdiff_t>(parts[k].count)}, rate_hz};
        const auto found = deconvolve(part, excitation);
        CHECK(found.sweeps_found == 2);
        CHECK(std::abs(static_cast<double>(parts[k].first) / rate_hz + found.delay_s - starts_s[k]) < 0.001);
    }
    std::string message;
    try {
        takes_in(tape.samples, excitation, 2);
    } catch (const Error& error) {
        message = error.what();
    }
    CHECK(message.find("3 takes") != std::string::npos);
    CHECK(message.find("2 positions") != std::string::npos);
}

TEST_CASE("a sweep somewhere in a long recording is found, with its time in that recording") {
    const Sweep sweep = sweep_of(1);
    Signal recording = recorded(played(sweep));
    recording.samples.insert(recording.samples.begin(), static_cast<std::size_t>(40 * rate_hz), 0.0);
    recording.samples.resize(static_cast<std::size_t>(70 * rate_hz));
    Dice dice(2);
    add_noise(recording.samples, 1e-5, dice);
    const auto recovered = recover(recording, excitation_of(sweep));
    CHECK(std::abs(recovered.found.delay_s - 40.5) < 0.001);
    CHECK(recovered.accepted());
}

TEST_CASE("polarity, an early reflection and a wrong distance are noted but do not reject") {
    const Sweep sweep = sweep_of(1);
    Dice dice(11);
    auto room = invented_room(0.3, rate_hz, dice);
    room[0] = -0.45;
    room[700] = 1;
    room.insert(room.begin(), 280, 0.0); // 280 samples are 2.0 m
    Signal recording{convolved(played(sweep).samples, room), rate_hz};
    Signal loopback{played(sweep).samples, rate_hz};
    loopback.samples.resize(recording.size());
    add_noise(recording.samples, 1e-4, dice);
    add_noise(loopback.samples, 1e-5, dice);
    RecordingOptions options;
    options.distance_m = 2.0;
    const auto excitation = excitation_of(sweep);
    const auto right = recover(recording, excitation, loopback, options);
    CHECK(holds(right, CheckName::delay));
    CHECK_FALSE(holds(right, CheckName::polarity));
    CHECK_FALSE(holds(right, CheckName::direct_sound));
    CHECK(right.accepted());
    options.distance_m = 3.5;
    CHECK_FALSE(holds(recover(recording, excitation, loopback, options), CheckName::delay));
}

TEST_CASE("a response with another position's reflections is noticed, and that position named") {
    std::vector<EarlierPlace> earlier;
    for (std::uint64_t seed = 1; seed <= 4; ++seed) {
        Dice dice(seed);
        auto room = invented_room(0.4, rate_hz, dice);
        room.insert(room.begin(), 500, 0.0);
        earlier.push_back({"S1-M" + std::to_string(seed), {room, rate_hz}});
    }
    // The same place with traps: the late part is gone, the early one a little different.
    Signal after = earlier[2].response;
    Dice dice(50);
    for (std::size_t n = 0; n < after.size(); ++n)
        after.samples[n] =
            after.samples[n] * std::exp(-static_cast<double>(n) / 4000) + 0.002 * dice.normal();
    const auto right = position_check(after, earlier, 2), wrong = position_check(after, earlier, 1);
    REQUIRE(right);
    REQUIRE(wrong);
    CHECK(right->held());
    CHECK(right->figure > 0.8);
    CHECK(wrong->outcome == CheckOutcome::noted);
    CHECK(wrong->effect == "if it is S1-M3, all bands and modes compare two places");
    CHECK(wrong->finding.find("those of S1-M3") != std::string::npos);
    CHECK_FALSE(position_check(after, {}, 0));
    SUBCASE("what is like no earlier place is not taken for another one") {
        Dice other(77);
        const Signal changed{invented_room(0.4, rate_hz, other), rate_hz};
        for (std::size_t claimed = 0; claimed < earlier.size(); ++claimed)
            CHECK(position_check(changed, earlier, claimed)->held());
    }
    SUBCASE("places that are mirror images of each other are not accused") {
        earlier[1].response = earlier[2].response;
        CHECK(position_check(after, earlier, 1)->held());
        CHECK_FALSE(position_check(after, earlier, 0)->held());
    }
}

TEST_CASE("a reflection that is gone with a trap does not count") {
    // Source: closed form. A direct sound and four reflections; the strongest comes off the treated wall.
    const auto with = [](const std::vector<std::pair<double, double>>& lags_ms) {
        Signal response{std::vector<double>(4800), rate_hz};
        response.samples[500] = 1;
        for (const auto& [ms, height] : lags_ms)
            response.samples[500 + static_cast<std::size_t>(ms * 48)] = height;
        return response;
    };
    const Signal bare = with({{3, 0.4}, {7, 0.8}, {11, 0.3}, {16, 0.3}});
    const Signal treated = with({{3, 0.4}, {5.5, 0.3}, {11, 0.3}, {16, 0.3}});
    CHECK(likeness_of_reflections(bare, treated, {0.007}) > likeness_of_reflections(bare, treated) + 0.2);
    CHECK(likeness_of_reflections(bare, treated, {0.007}) > 0.9);
}

TEST_CASE("a sweep's own side lobes are no other sound, down to noise 90 dB under it") {
    Sweep sweep = sweep_of(1, 20);
    sweep.start_hz = 10;
    sweep.stop_hz = 22000;
    for (const double under_db : {60.0, 90.0}) {
        Dice dice(9);
        Signal recording{convolved(played(sweep).samples, invented_room(0.9, rate_hz, dice)), rate_hz};
        add_noise(recording.samples, std::pow(10, -under_db / 20) * level(recording, 2, 18), dice);
        CHECK(holds(recover(recording, excitation_of(sweep)), CheckName::disturbance));
    }
}

TEST_CASE(
    "a rattle goes with the sweep and is named with its frequency, a burst at the same time is a sound") {
    const Sweep sweep = sweep_of(1, 12);
    const double constant_s = sweep.rate_constant_s();
    Dice dice(4);
    const auto room = invented_room(0.3, rate_hz, dice);
    Signal clean = played(sweep), rattling = clean;
    // Once each period, while the tone goes from 80 to 90 Hz, something clicks at 3 kHz.
    for (double turn = std::ceil(80 * constant_s) - 16 * constant_s; turn < (90 - 16) * constant_s; ++turn) {
        const double after_s = constant_s * std::log1p(turn / (16 * constant_s));
        const auto at = static_cast<std::size_t>((sweep.lead_silence_s + after_s) * rate_hz);
        for (std::size_t n = 0; n < 150; ++n)
            rattling.samples[at + n] += 0.05 * std::exp(-static_cast<double>(n) / 20) *
                                        std::sin(2 * pi * 3000 * static_cast<double>(n) / rate_hz);
    }
    const auto heard = [&](const Signal& sound) {
        Dice noise(5);
        Signal recording{convolved(sound.samples, room), rate_hz};
        add_noise(recording.samples, 1e-3 * level(recording, 1, 2), noise);
        return recover(recording, excitation_of(sweep));
    };
    const auto rattles = heard(rattling);
    CHECK(holds(rattles, CheckName::disturbance));
    const auto* check = check_of(rattles, CheckName::distortion);
    REQUIRE(check != nullptr);
    CHECK(check->outcome == CheckOutcome::noted);
    CHECK(check->effect == no_effect);
    REQUIRE(check->finding.starts_with("rattle at "));
    const double named_hz = std::stod(check->finding.substr(10));
    CHECK(named_hz > 78);
    CHECK(named_hz < 92);
    const auto burst = noise_burst(3000, 0.3, 0.02, rate_hz, dice);
    Signal disturbed = clean;
    const double at_s = sweep.lead_silence_s + sweep.time_of_s(85);
    for (std::size_t n = 0; n < burst.size(); ++n)
        disturbed.samples[static_cast<std::size_t>(at_s * rate_hz) + n] += burst[n];
    const auto other = heard(disturbed);
    CHECK_FALSE(holds(other, CheckName::disturbance));
    CHECK_FALSE(check_of(other, CheckName::disturbance)->effect.empty());
}

TEST_CASE("a knock costs the bands in whose decay it lies, and none that the sweep has yet to reach") {
    const Sweep sweep = sweep_of(1, 8);
    Dice dice(6), noise(7), burst_dice(8);
    const auto room = invented_room(0.4, rate_hz, dice);
    Signal sound = played(sweep);
    const auto at = static_cast<std::size_t>((sweep.lead_silence_s + sweep.time_of_s(500) + 0.15) * rate_hz);
    // Heard above the sweep and below it.
    for (std::size_t n = 0; n < 4800; ++n)
        sound.samples[at + n] += 4 * burst_dice.normal() * std::exp(-static_cast<double>(n) / 1000);
    Signal recording{convolved(sound.samples, room), rate_hz};
    add_noise(recording.samples, 1e-4 * level(recording, 1, 2), noise);
    const auto early = recover(recording, excitation_of(sweep));
    const auto* check = check_of(early, CheckName::disturbance);
    REQUIRE(check != nullptr);
    CHECK(check->outcome == CheckOutcome::widened);
    CHECK(check->effect.find("left out of this take") != std::string::npos);
    // By how much T20 is bent there: tests/decay.
    for (const double hz : {158., 200., 251., 316., 398., 501.})
        CHECK(std::any_of(early.disturbed_hz.begin(), early.disturbed_hz.end(),
                          [&](double disturbed) { return std::abs(disturbed / hz - 1) < 0.01; }));
    for (const double hz : early.disturbed_hz)
        CHECK(hz < 800);
}

TEST_CASE("what a recording goes on with after the decay is not taken into the response") {
    // Source: closed form. The recorder runs for 8 s more, from 2.2 s after the sweep on with noise.
    Sweep sweep = sweep_of(1, 4);
    sweep.tail_silence_s = 8;
    Dice dice(3);
    Signal recording{convolved(played(sweep).samples, invented_room(0.4, rate_hz, dice)), rate_hz};
    const double loud = level(recording, 1, 4);
    add_noise(recording.samples, 1e-3 * loud, dice);
    const auto quiet = deconvolve(recording, excitation_of(sweep));
    CHECK(quiet.response.duration_s() > 7);
    const auto from = static_cast<std::size_t>((sweep.lead_silence_s + 4 + 2.2) * rate_hz);
    for (std::size_t n = from; n < recording.size(); ++n)
        recording.samples[n] += 0.05 * loud * dice.normal();
    const auto found = deconvolve(recording, excitation_of(sweep));
    CHECK(found.response.duration_s() - found.lead_s > 1.99);
    CHECK(found.response.duration_s() - found.lead_s < 2.3);
}

TEST_CASE("the direct sound's spectrum shows what the loudspeaker's settings do, not its distance") {
    // Source: closed form. A first-order shelf of 6 dB at 4 kHz, and half the level.
    Signal plain{std::vector<double>(9600), rate_hz};
    plain.samples[1000] = 0.5;
    Signal shelved = plain;
    double state = 0;
    for (double& x : shelved.samples) {
        state += 0.4 * (x - state); // low-pass at 4 kHz
        x = 0.25 * (x + state);
    }
    const auto before = direct_sound_levels_db(plain), after = direct_sound_levels_db(shelved);
    const auto bands = direct_sound_bands();
    REQUIRE(before.size() == bands.size());
    REQUIRE(after.size() == bands.size());
    CHECK(bands.front().nominal_hz == 1600);
    CHECK(after.front() - before.front() > 1);
    CHECK(after.back() - before.back() < -1);
    Signal nearer = plain;
    for (double& x : nearer.samples)
        x *= 3;
    CHECK(direct_sound_levels_db(nearer).front() - before.front() < 1e-9);
    CHECK(direct_sound_levels_db({std::vector<double>(100), rate_hz}).empty());
}

TEST_CASE("a take in changing air is no disturbance, keeps all sweeps, and says so") {
    // Source: closed form. The second sweep finds the air 0.1 °C colder: all delays 171 ppm longer.
    Dice dice(7);
    const Sweep sweep = sweep_of(2, 5);
    const auto room = invented_room(0.4, rate_hz, dice);
    const auto colder = with_clock(room, 171);
    const Signal one = one_sweep(sweep);
    Signal take{std::vector<double>(whole_signal(sweep).size() + 2 * room.size()), rate_hz};
    for (const bool second : {false, true}) {
        const auto heard = convolved(one.samples, second ? colder : room);
        const auto start =
            static_cast<std::size_t>((sweep.lead_silence_s + (second ? sweep.repeat_period_s : 0)) * rate_hz);
        for (std::size_t n = 0; n < heard.size() && start + n < take.size(); ++n)
            take.samples[start + n] += heard[n];
    }
    add_noise(take.samples, 1e-3 * level(take, 1, 5), dice);
    const Recovered recovered = recover(take, excitation_of(sweep));
    CHECK(recovered.found.sweeps_used == 2);
    CHECK(holds(recovered, CheckName::disturbance));
    CHECK(holds(recovered, CheckName::variation));
    REQUIRE(recovered.found.stretch.size() == 2);
    CHECK(std::abs(1e6 * recovered.found.stretch[1] - 171) < 5);
    const auto told = std::find_if(recovered.notes.begin(), recovered.notes.end(),
                                   [](const auto& note) { return std::holds_alternative<AirChanged>(note); });
    REQUIRE(told != recovered.notes.end());
    CHECK(std::abs(std::get<AirChanged>(*told).percent - 0.0171) < 5e-4);
    CHECK(std::abs(std::get<AirChanged>(*told).kelvin - 0.1) < 3e-3);
}
