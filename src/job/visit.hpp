// SPDX-License-Identifier: GPL-3.0-or-later
// The protocol of one visit, visit.toml: the state of the room and of the equipment, kept by hand on site.
#pragma once

#include "room/geometry.hpp"

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace ebbmark {

struct VisitProtocol {
    std::string date; ///< "2026-11-25"
    std::optional<double> temperature_start_c, temperature_end_c;
    std::optional<double> humidity_start_percent, humidity_end_percent;
    std::string loudspeaker, microphone, recorder; ///< equipment
    std::string loudspeaker_settings;              ///< volume, switches, distance to the wall
    std::optional<bool> equaliser_off;
    std::string doors, windows, ventilation, furniture; ///< as they were during the visit
    std::map<std::string, std::string> patches; ///< states by the patch's name, such as "closed"; none blank
    std::optional<int> persons;
    std::vector<std::string>
        traps; ///< of job.toml, by name, that stood in the room; needed only for several visits
    std::string notes;

    /// Mean of start and end, or the one that was noted.
    std::optional<double> temperature_c() const;
    std::optional<double> humidity_percent() const;
};

/// Throws Error(unusable) with file, line, column, key and mend. `name` stands for the file.
VisitProtocol visit_protocol(std::string_view text, std::string_view name);
/// The same where the room's patches are known: others are refused.
VisitProtocol visit_protocol(std::string_view text, std::string_view name,
                             const std::vector<RoomPatch>& patches);

/// The commented file that a visit begins with: everything but the date is blank.
std::string visit_template(std::string_view date, const std::vector<RoomPatch>& patches = {});

/// One fixed spelling of what results depend on.
std::string canonical_toml(const VisitProtocol& protocol);

/// The items of the checklist that are not filled in, by their keys, such as "air.temperature_end"; the
/// state of every patch of the room is one.
std::vector<std::string> blank_items(const VisitProtocol& protocol,
                                     const std::vector<RoomPatch>& patches = {});

} // namespace ebbmark
