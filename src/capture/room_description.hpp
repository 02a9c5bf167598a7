// SPDX-License-Identifier: GPL-3.0-or-later
// Everything that a virtual room is made from.
#pragma once

#include "job/description.hpp"
#include "room/surfaces.hpp"

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace ebbmark {

/// One state of the room.
struct RoomVisit {
    std::string name;
    bool traps = false;
    double celsius = 20;
    double humidity_percent = 50;
    double drift_kelvin = 0; ///< the air's change from one take to the next
};

/// The source. Sound pressure levels are of a full-scale sine.
struct VirtualLoudspeaker {
    double lowest_hz = 35; ///< 24 dB per octave below: fourth-order high-pass, a vented box
    double highest_hz = 20000;
    double level_at_1m_db = 96;
    double second_harmonic_percent = 0; ///< at full scale, of what lies below 2 kHz
    double third_harmonic_percent = 0;
};

struct VirtualRecorder {
    double full_scale_db = 110; ///< sound pressure level of the sine that just fits
    int bits = 24;
    double clock_ppm = 0; ///< positive: the recorder's clock runs fast
    double latency_s = 0.05;
    bool loopback = false;
};

/// Steady noise of the room.
struct VirtualNoise {
    double level_db = 25;            ///< 20 Hz to 20 kHz, unweighted
    double slope_db_per_octave = -5; ///< of octave-band levels
    std::optional<double> hum_db;    ///< of the fundamental
    double hum_hz = 50;
};

/// A door falls shut somewhere in the house.
struct DoorSlam {
    std::string visit;
    int take = 1;
    double at_s = 0; ///< after the recording's start
    double peak_db = 75;
};

struct RoomDescription {
    std::string title;
    std::uint64_t seed = 1;
    JobRoom room;                        ///< always a box
    std::array<OctaveValues, 6> walls{}; ///< absorption coefficients, in the order of all_walls
    OctaveValues furniture_m2{};         ///< absorption area of what stands in the room
    std::vector<SourcePlace> sources;
    std::vector<MicrophonePlace> microphones;
    std::vector<JobTrap> traps;
    std::vector<RoomVisit> visits;
    double put_back_m = 0.02; ///< how far from its place a microphone comes to stand when put back
    VirtualLoudspeaker loudspeaker;
    VirtualRecorder recorder;
    VirtualNoise noise;
    std::vector<DoorSlam> slams;

    const Box& box() const { return *room.box; }
    /// Throws Error(unusable) naming those that are there.
    const RoomVisit& visit(std::string_view name) const;
};

} // namespace ebbmark
