// SPDX-License-Identifier: GPL-3.0-or-later
// What a forecast gives: of a room with its traps, or of traps alone.
#pragma once

#include "forecast/modal_forecast.hpp"
#include "forecast/room_forecast.hpp"
#include "job/notes.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace ebbmark {

/// What `ForecastVariant::what` is of the plan itself.
inline constexpr std::string_view plan_itself = "the plan as it is";

struct ForecastTrap {
    std::string name;
    double face_m2 = 0, depth_m = 0;
    std::string model;
    std::vector<std::string> layers; ///< in words, from the wall outwards
    std::vector<TrapBand> bands;
    OpenSides open_sides = {};
};

/// A change of the plan, worked out anew, and what it would bring.
struct ForecastVariant {
    std::string what;
    double question_m2 = 0; ///< absorption area more than planned, mean over the bands asked about
    double more_wool_m3 = 0;
    std::optional<double>
        question_percent;      ///< change of the decay asked about, see question_change_percent()
    std::optional<bool> meets; ///< what was agreed and recommended, where that can be told
};

struct ForecastReport {
    bool simulated = false;
    std::string job;   ///< empty for a trap alone
    std::string visit; ///< that the decay before comes from; empty where there is none yet
    bool as_built = false;
    std::vector<std::string> places; ///< that decay before and bands after are means over
    std::string stored;              ///< the file in the job that keeps it; empty: not kept
    RoomForecast room;
    std::optional<ModalForecast> modal;   ///< of a box-shaped room with a visit before
    std::optional<ForecastNote> no_modes; ///< why there is none
    std::vector<JobNote> notes;           ///< on the plan, and on what it rests on
    std::vector<ForecastTrap> traps;
    std::optional<bool> plan_meets;        ///< as ForecastVariant::meets, of the plan itself
    std::vector<ForecastVariant> variants; ///< the most useful first
    std::size_t variants_not_tried = 0;    ///< because somebody ended the search
    double question_from_hz = 0, question_to_hz = 0;
};

} // namespace ebbmark
