// SPDX-License-Identifier: GPL-3.0-or-later
#include "room/setup.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <set>

namespace ebbmark {

namespace {

/// ISO 3382-2:2008 table 1, from memory: decays per position do not matter with impulse responses.
struct GradeLimits {
    Grade grade;
    int pairs, sources, microphones;
};
constexpr std::array<GradeLimits, 3> table_1 = {
    {{Grade::survey, 2, 1, 2}, {Grade::engineering, 6, 2, 2}, {Grade::precision, 12, 2, 3}}};

/// Bands that a grade wants at least, from memory: survey 250 Hz to 2 kHz, else 125 Hz to 4 kHz in octaves or
/// 100 Hz to 5 kHz in thirds.
std::vector<Band> wanted_bands(Grade grade, BandWidth width) {
    if (grade == Grade::survey)
        return width == BandWidth::octave ? bands_between(width, 250, 2000) : bands_between(width, 200, 2500);
    return width == BandWidth::octave ? bands_between(width, 125, 4000) : bands_between(width, 100, 5000);
}

bool reaches(const SetupFinding& found, const GradeLimits& limits) {
    return found.pairs >= limits.pairs && found.sources >= limits.sources &&
           found.microphones >= limits.microphones;
}

/// Keeps the least of several distances.
void keep_least(std::optional<DistanceCheck>& least, DistanceCheck check) {
    if (!least || check.distance_m < least->distance_m)
        least = std::move(check);
}

std::vector<SetupPair> one_per_microphone(const std::vector<SetupPair>& pairs) {
    std::vector<SetupPair> microphones;
    std::set<std::string> seen;
    for (const SetupPair& pair : pairs)
        if (seen.insert(pair.microphone).second)
            microphones.push_back(pair);
    return microphones;
}

std::optional<DistanceCheck> nearest_source(const std::vector<SetupPair>& pairs,
                                            std::optional<double> wanted_m) {
    std::optional<DistanceCheck> least;
    for (const SetupPair& pair : pairs)
        if (pair.source_at_m && pair.microphone_at_m)
            keep_least(least, {"source to microphone",
                               pair.source + "-" + pair.microphone,
                               distance_m(*pair.source_at_m, *pair.microphone_at_m),
                               wanted_m,
                               {}});
    return least;
}

std::optional<DistanceCheck> nearest_microphones(const std::vector<SetupPair>& microphones, double c) {
    std::optional<DistanceCheck> least;
    for (std::size_t i = 0; i < microphones.size(); ++i)
        for (std::size_t j = i + 1; j < microphones.size(); ++j)
            if (microphones[i].microphone_at_m && microphones[j].microphone_at_m) {
                const double apart =
                    distance_m(*microphones[i].microphone_at_m, *microphones[j].microphone_at_m);
                keep_least(least, {"between microphones",
                                   microphones[i].microphone + " and " + microphones[j].microphone,
                                   apart,
                                   {},
                                   half_wave_hz(apart, c)});
            }
    return least;
}

std::optional<DistanceCheck> nearest_surface(const std::vector<SetupPair>& microphones, double c) {
    std::optional<DistanceCheck> least;
    for (const SetupPair& pair : microphones)
        if (pair.nearest_surface_m)
            keep_least(least, {"microphone to surface",
                               pair.microphone,
                               *pair.nearest_surface_m,
                               {},
                               quarter_wave_hz(*pair.nearest_surface_m, c)});
    return least;
}

void check_distances(SetupFinding& found, const std::vector<SetupPair>& pairs,
                     const SetupConditions& conditions, std::optional<double> wanted_m) {
    const auto microphones = one_per_microphone(pairs);
    for (const auto& check :
         {nearest_source(pairs, wanted_m), nearest_microphones(microphones, conditions.speed_of_sound),
          nearest_surface(microphones, conditions.speed_of_sound)}) {
        if (!check)
            continue;
        found.distances.push_back(*check);
        if (check->holds_from_hz)
            found.from_hz = std::max(found.from_hz.value_or(0), *check->holds_from_hz);
    }
}

void count(SetupFinding& found, const std::vector<SetupPair>& pairs, std::optional<double> wanted_m) {
    std::set<std::string> sources, microphones;
    for (const SetupPair& pair : pairs) {
        if (wanted_m && pair.source_at_m && pair.microphone_at_m &&
            distance_m(*pair.source_at_m, *pair.microphone_at_m) < *wanted_m) {
            found.why_not_more.push_back(PairTooClose{pair.source, pair.microphone,
                                                      distance_m(*pair.source_at_m, *pair.microphone_at_m),
                                                      *wanted_m});
            continue;
        }
        ++found.pairs;
        sources.insert(pair.source);
        microphones.insert(pair.microphone);
    }
    found.sources = static_cast<int>(sources.size());
    found.microphones = static_cast<int>(microphones.size());
}

void say_what_next_wants(SetupFinding& found, const GradeLimits& next) {
    const auto say = [&](int has, int wanted, Counted what) {
        if (has < wanted)
            found.why_not_more.push_back(GradeWantsMore{next.grade, wanted, what, has});
    };
    say(found.pairs, next.pairs, Counted::pairs);
    say(found.sources, next.sources, Counted::sources);
    say(found.microphones, next.microphones, Counted::microphones);
}

void say_limits(SetupFinding& found, const SetupConditions& conditions, bool distances_known) {
    if (found.from_hz && !std::isfinite(*found.from_hz))
        found.why_not_more.push_back(PlacesTouch{});
    else if (found.from_hz)
        found.why_not_more.push_back(NoGradeBelow{*found.from_hz});
    if (!distances_known)
        found.why_not_more.push_back(DistancesUnknown{});
    if (found.grade == Grade::none)
        return;
    GradeWantsBands missing{found.grade, {}};
    for (const Band& band : wanted_bands(found.grade, conditions.width))
        if (std::find(conditions.bands_with_decay.begin(), conditions.bands_with_decay.end(), band) ==
            conditions.bands_with_decay.end())
            missing.without_decay.push_back(band);
    if (!missing.without_decay.empty())
        found.why_not_more.push_back(missing);
}

} // namespace

std::string name(Grade grade) {
    switch (grade) {
    case Grade::survey:
        return "survey";
    case Grade::engineering:
        return "engineering";
    case Grade::precision:
        return "precision";
    case Grade::none:
        break;
    }
    return "none";
}

std::optional<double> nominal_accuracy_percent(Grade grade, BandWidth width) {
    const bool octave = width == BandWidth::octave;
    switch (grade) {
    case Grade::survey:
        return octave ? std::optional(10.0) : std::nullopt;
    case Grade::engineering:
        return octave ? 5.0 : 10.0;
    case Grade::precision:
        return octave ? 2.5 : 5.0;
    case Grade::none:
        break;
    }
    return std::nullopt;
}

double least_source_distance_m(double volume_m3, double decay_s, double speed_of_sound) {
    return 2 * std::sqrt(volume_m3 / (speed_of_sound * decay_s));
}

double half_wave_hz(double distance_m, double speed_of_sound) {
    return speed_of_sound / (2 * distance_m);
}

double quarter_wave_hz(double distance_m, double speed_of_sound) {
    return speed_of_sound / (4 * distance_m);
}

SetupFinding check_setup(const std::vector<SetupPair>& pairs, const SetupConditions& conditions) {
    SetupFinding found;
    std::optional<double> wanted_m;
    if (conditions.volume_m3 && conditions.decay_s)
        wanted_m =
            least_source_distance_m(*conditions.volume_m3, *conditions.decay_s, conditions.speed_of_sound);
    count(found, pairs, wanted_m);
    check_distances(found, pairs, conditions, wanted_m);
    const auto first_missed = std::find_if_not(
        table_1.begin(), table_1.end(), [&](const GradeLimits& limits) { return reaches(found, limits); });
    if (first_missed != table_1.begin())
        found.grade = (first_missed - 1)->grade;
    if (first_missed != table_1.end())
        say_what_next_wants(found, *first_missed);
    const bool known = wanted_m && std::all_of(pairs.begin(), pairs.end(), [](const SetupPair& pair) {
                           return pair.source_at_m && pair.microphone_at_m && pair.nearest_surface_m;
                       });
    say_limits(found, conditions, known);
    return found;
}

} // namespace ebbmark
