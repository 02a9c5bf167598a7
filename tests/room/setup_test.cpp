// SPDX-License-Identifier: GPL-3.0-or-later
#include "relative.hpp"
#include "room/setup.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

using namespace ebbmark;

namespace {

/// Sources × microphones, all far from each other and 1 m from every surface.
std::vector<SetupPair> grid(int sources, int microphones) {
    std::vector<SetupPair> pairs;
    for (int s = 1; s <= sources; ++s)
        for (int m = 1; m <= microphones; ++m)
            pairs.push_back({"S" + std::to_string(s), "M" + std::to_string(m), Point{0.5, 1.0 * s, 1.0},
                             Point{3.0 + 2.0 * m, 1.5, 1.2}, 1.0});
    return pairs;
}

SetupConditions conditions(BandWidth width = BandWidth::third) {
    return {100.0, 0.5, 343.2, width, bands_between(width, 50, 5000)};
}

bool says(const SetupFinding& found, const SetupNote& note) {
    return std::find(found.why_not_more.begin(), found.why_not_more.end(), note) != found.why_not_more.end();
}

template <class Kind>
bool says_a(const SetupFinding& found) {
    return std::any_of(found.why_not_more.begin(), found.why_not_more.end(),
                       [](const SetupNote& note) { return std::holds_alternative<Kind>(note); });
}

} // namespace

TEST_CASE("least distances follow from wavelength, volume and decay time") {
    // Source: closed form of the clause, which is from memory. 2 √(50 / (343 · 0.8)) = 0.854 m.
    CHECK(least_source_distance_m(50, 0.8, 343) == relative(0.8538).epsilon(1e-3));
    // The rounded figures that go with it, 2 m and 1 m (from memory), are those of about 86 Hz.
    CHECK(half_wave_hz(2, 343.2) == relative(85.8));
    CHECK(quarter_wave_hz(1, 343.2) == relative(85.8));
}

TEST_CASE("the grade follows the numbers of table 1") {
    // Source: ISO 3382-2:2008 table 1, from memory: pairs 2, 6, 12; sources 1, 2, 2; microphones 2, 2, 3.
    CHECK(check_setup(grid(1, 1), conditions()).grade == Grade::none);
    CHECK(check_setup(grid(1, 2), conditions()).grade == Grade::survey);
    CHECK(check_setup(grid(1, 12), conditions()).grade == Grade::survey);
    CHECK(check_setup(grid(2, 3), conditions()).grade == Grade::engineering);
    CHECK(check_setup(grid(6, 2), conditions()).grade == Grade::engineering);
    CHECK(check_setup(grid(2, 6), conditions()).grade == Grade::precision);
    CHECK(check_setup({}, conditions()).grade == Grade::none);
}

TEST_CASE("why not more names what the next grade wants") {
    const SetupFinding survey = check_setup(grid(1, 4), conditions());
    CHECK(says(survey, GradeWantsMore{Grade::engineering, 6, Counted::pairs, 4}));
    CHECK(says(survey, GradeWantsMore{Grade::engineering, 2, Counted::sources, 1}));
    CHECK(std::count_if(survey.why_not_more.begin(), survey.why_not_more.end(), [](const SetupNote& note) {
              return std::holds_alternative<GradeWantsMore>(note);
          }) == 2); // microphones are enough
    CHECK_FALSE(says_a<GradeWantsMore>(check_setup(grid(2, 6), conditions())));
}

TEST_CASE("a microphone in the direct sound does not count") {
    auto pairs = grid(2, 3);
    pairs[0].source_at_m = Point{4.0, 1.5, 1.2}; // 1 m from M1; 2 √(100 / (343.2 · 0.5)) = 1.53 m are needed
    const SetupFinding found = check_setup(pairs, conditions());
    CHECK(found.pairs == 5);
    CHECK(found.grade == Grade::survey);
    REQUIRE(found.distances.size() == 3);
    CHECK(found.distances[0].distance_m == relative(1.0));
    CHECK(*found.distances[0].wanted_m == relative(1.527).epsilon(1e-3));
    CHECK(says(found, PairTooClose{"S1", "M1", found.distances[0].distance_m, *found.distances[0].wanted_m}));
}

TEST_CASE("short distances limit the grade to the frequencies where they are long enough") {
    auto pairs = grid(2, 3);
    const SetupFinding wide = check_setup(pairs, conditions());
    CHECK(*wide.from_hz == relative(85.8)); // 2 m apart, 1 m from surfaces
    for (SetupPair& pair : pairs)
        if (pair.microphone == "M2")
            pair.nearest_surface_m = 0.5;
    const SetupFinding found = check_setup(pairs, conditions());
    CHECK(*found.from_hz == relative(171.6));
    CHECK(found.grade == Grade::engineering);
    CHECK(says(found, NoGradeBelow{*found.from_hz}));
    pairs[1].nearest_surface_m = 0;
    const SetupFinding touching = check_setup(pairs, conditions());
    CHECK(std::isinf(*touching.from_hz));
    CHECK(says(touching, PlacesTouch{}));
}

TEST_CASE("one microphone at two sources is one place, never too close to itself") {
    const SetupFinding found = check_setup(grid(2, 1), conditions());
    CHECK(found.microphones == 1);
    for (const DistanceCheck& check : found.distances)
        CHECK(check.what != "between microphones");
}

TEST_CASE("bands without a decay time and unknown places are said") {
    SetupConditions few = conditions();
    few.bands_with_decay = bands_between(BandWidth::third, 125, 5000);
    CHECK(says(check_setup(grid(2, 3), few),
               GradeWantsBands{Grade::engineering, bands_between(BandWidth::third, 100, 100)}));
    CHECK_FALSE(says_a<GradeWantsBands>(check_setup(grid(1, 2), few)));
    few.volume_m3.reset();
    CHECK(says(check_setup(grid(2, 3), few), DistancesUnknown{}));
    auto pairs = grid(2, 3);
    pairs[0].source_at_m.reset();
    CHECK(says(check_setup(pairs, conditions()), DistancesUnknown{}));
    CHECK_FALSE(says(check_setup(grid(2, 3), conditions()), DistancesUnknown{}));
}

TEST_CASE("accuracies are those of octaves and thirds") {
    // Source: ISO 3382-2:2008, from memory.
    CHECK(*nominal_accuracy_percent(Grade::survey, BandWidth::octave) == 10);
    CHECK_FALSE(nominal_accuracy_percent(Grade::survey, BandWidth::third));
    CHECK(*nominal_accuracy_percent(Grade::engineering, BandWidth::third) == 10);
    CHECK(*nominal_accuracy_percent(Grade::precision, BandWidth::octave) == 2.5);
    CHECK_FALSE(nominal_accuracy_percent(Grade::none, BandWidth::octave));
}
