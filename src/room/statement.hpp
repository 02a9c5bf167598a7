// SPDX-License-Identifier: GPL-3.0-or-later
// What the decay times say of the room: Schroeder frequency and absorption. Below the Schroeder frequency
// single modes ring and the absorption is a figure "as if diffuse".
#pragma once

#include "base/bands.hpp"
#include "base/measured.hpp"
#include "room/air.hpp"
#include "room/notes.hpp"

#include <optional>
#include <string>
#include <vector>

namespace ebbmark {

/// The room's decay time in one band.
struct RoomDecay {
    Band band;
    Measured decay_s;
};

struct BandAbsorption {
    Band band;
    /// Equivalent absorption area of surfaces and things without the air, ISO 354:2003 clause 8 (from
    /// memory); its interval is that of the decay time.
    Measured area_m2;
    std::optional<double> air_m2; ///< 4 m V of the air, ISO 9613-1 at the exact mid-band
    /// Area over the room's surface (Sabine's coefficient; above 1 where the area is larger).
    std::optional<double> mean_coefficient;
    bool as_if_diffuse = true; ///< below the Schroeder frequency, or where that is not known
};

struct RoomStatement {
    std::optional<double> volume_m3, surface_m2;
    Air air;
    Measured mid_decay_s; ///< mean over the bands labelled 400 Hz to 1.25 kHz that have a decay time
    std::optional<double> schroeder_hz;
    std::vector<BandAbsorption> bands;
    std::vector<RoomNote> notes; ///< why something is missing
};

/// Without a volume all areas are empty (`conditions`), without a surface the coefficients alone. Volume and
/// surface above 0 where given; bands lowest first.
RoomStatement room_statement(std::optional<double> volume_m3, std::optional<double> surface_m2,
                             const Air& air, const std::vector<RoomDecay>& decays);

} // namespace ebbmark
