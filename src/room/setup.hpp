// SPDX-License-Identifier: GPL-3.0-or-later
// Whether loudspeaker and microphone places suit ISO 3382-2:2008: numbers (table 1) and distances
// (clause 4.3). All limits are from memory of the standard; none was seen in it while this was written, and
// whoever prints them says so.
#pragma once

#include "base/bands.hpp"
#include "room/geometry.hpp"
#include "room/notes.hpp"

#include <optional>
#include <string>
#include <vector>

namespace ebbmark {

/// "none", "survey", "engineering" or "precision".
std::string name(Grade grade);

/// Nominal accuracy of a grade in per cent; nothing where the standard gives none.
std::optional<double> nominal_accuracy_percent(Grade grade, BandWidth width);

/// One measured source-microphone pair.
struct SetupPair {
    std::string source;     ///< "S1"
    std::string microphone; ///< "M1"
    std::optional<Point> source_at_m;
    std::optional<Point> microphone_at_m;
    std::optional<double> nearest_surface_m; ///< of the microphone, floor and ceiling included
};

/// What the set-up is judged by.
struct SetupConditions {
    std::optional<double> volume_m3;
    std::optional<double> decay_s; ///< at middle frequencies
    double speed_of_sound = 343.2;
    BandWidth width = BandWidth::third;
    std::vector<Band> bands_with_decay; ///< bands in which the mean has a decay time
};

/// One distance: either against a least distance, or the frequency from which it is long enough.
struct DistanceCheck {
    std::string what;  ///< "source to microphone", "between microphones", "microphone to surface"
    std::string where; ///< "S1-M2", "M2 and M3", "M2": where it is least
    double distance_m = 0;
    std::optional<double> wanted_m;
    std::optional<double> holds_from_hz;
};

struct SetupFinding {
    Grade grade = Grade::none;
    int pairs = 0; ///< that count: not those closer than the least distance
    int sources = 0;
    int microphones = 0;
    /// Below it microphones stand too close together or to a surface; infinite where they touch.
    std::optional<double> from_hz;
    std::vector<DistanceCheck> distances;
    std::vector<SetupNote> why_not_more; ///< what the next grade wants, and what limits this one
};

/// 2 √(V/(c T)): closer than this the direct sound rules.
double least_source_distance_m(double volume_m3, double decay_s, double speed_of_sound);

/// Frequency from which `distance_m` is half a wavelength (between microphones) or a quarter of one (to a
/// surface).
double half_wave_hz(double distance_m, double speed_of_sound);
double quarter_wave_hz(double distance_m, double speed_of_sound);

SetupFinding check_setup(const std::vector<SetupPair>& pairs, const SetupConditions& conditions);

} // namespace ebbmark
