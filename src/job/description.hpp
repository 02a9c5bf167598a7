// SPDX-License-Identifier: GPL-3.0-or-later
// What the user says of a job in job.toml: the question, the room, the places and the traps. Lengths in
// metres, coordinates as in room/geometry.hpp.
#pragma once

#include "room/dividers.hpp"
#include "room/geometry.hpp"

#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace ebbmark {

/// What was agreed with the client.
struct Acceptance {
    double at_least_percent = 0; ///< how much shorter the decay of the question is to be
};

/// The one primary question of the job.
struct JobQuestion {
    enum class Kind { bands, modes };
    Kind kind = Kind::bands;
    double from_hz = 40; ///< of the bands
    double to_hz = 200;
    std::vector<double> modes_hz;
};

struct JobRoom {
    std::optional<Box> box;           ///< a rectangular room; absent until filled in, or where it is no box
    std::optional<double> volume_m3;  ///< of a box from its edges and parts
    std::optional<double> surface_m2; ///< of a box from its edges and parts
    std::string target;               ///< recommendation to be reached, or empty
    std::vector<RoomPart> parts = {}; ///< of a box
    std::vector<RoomPatch> patches = {};
    bool exact_box = false; ///< said to have no part, slope or skew worth a centimetre
};

using WallDistance = std::pair<Wall, double>;

struct SourcePlace {
    std::string id; ///< "S1"
    Point at_m{};
    std::vector<WallDistance> distances; ///< to surfaces, as measured on site
    std::string photo;                   ///< file name in the job's photos folder, or empty
    std::optional<double> lowest_hz;     ///< the loudspeaker's own lower limit
};

struct MicrophonePlace {
    std::string id; ///< "M1"
    Point at_m{};
    std::vector<WallDistance> distances;
    std::string photo;
    bool listening = false; ///< a listening place is reported apart from the room
};

/// One layer of a trap. What is absent is that of the named material.
struct TrapLayer {
    std::string material;
    std::optional<double> thickness_m;      ///< as built in; cloth has none
    std::optional<double> free_thickness_m; ///< before it was compressed
    std::optional<double> density_kg_m3;
    std::optional<double> flow_resistivity; ///< Pa s/m²
    std::optional<double> flow_resistance;  ///< Pa s/m, of cloth
    std::optional<Dividers> dividers = {};  ///< strips that stand in it

    friend bool operator==(const TrapLayer&, const TrapLayer&) = default;
};

/// From the wall to the face; of a trap across a corner its layers' depth.
double depth_m(const std::vector<TrapLayer>& layers);

/// What was really built, where it differs from the plan.
struct BuiltTrap {
    std::optional<TrapPlace> place;
    std::vector<TrapLayer> layers; ///< empty: as planned
    std::optional<double> wool_mass_kg;
};

struct JobTrap {
    std::string name;
    TrapPlace place;
    OpenSides open_sides;
    std::vector<TrapLayer> layers; ///< from the wall outwards, at least one
    std::optional<BuiltTrap> built;
};

struct JobDescription {
    std::string title;
    std::string client; ///< client, address and invoice are outside the digest
    std::string address;
    std::string contractor;
    std::string invoice;
    std::optional<Acceptance> acceptance;
    JobQuestion question;
    JobRoom room;
    std::vector<SourcePlace> sources;
    std::vector<MicrophonePlace> microphones;
    std::vector<JobTrap> traps;
    /// What looks mistaken in it, each with file, line, column and key.
    std::vector<std::string> doubts = {};

    /// The place with this id, or nothing.
    const SourcePlace* source(std::string_view id) const;
    const MicrophonePlace* microphone(std::string_view id) const;
};

} // namespace ebbmark
