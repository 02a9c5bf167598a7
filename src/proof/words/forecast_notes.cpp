// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/words/forecast_notes.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <string>
#include <vector>

namespace ebbmark {

namespace {

struct Words {
    std::string operator()(const ModesMayBeMissing& note) const {
        const char* when = note.traps == TrapsInside::no ? "without traps" : "with the traps";
        if (note.found > note.expected)
            return fmt::format("Below {:.0f} Hz the bare room has {} modes, and {} were computed {}: {}.",
                               note.below_hz, note.expected, note.found, when,
                               note.traps == TrapsInside::no
                                   ? "some may be counted twice"
                                   : "what the traps hold rings too, or some are counted twice");
        return fmt::format("Of the {} modes of the bare room below {:.0f} Hz, {} were computed {}: strongly "
                           "damped ones may be missing.",
                           note.expected, note.below_hz, note.found, when);
    }
    std::string operator()(const NoExactBox& note) const {
        std::vector<std::string> modes;
        for (const ModeOffBox& mode : note.modes)
            modes.push_back(fmt::format("{} {} {} at {:.1f} Hz in place of {:.1f} Hz", mode.order[0],
                                        mode.order[1], mode.order[2], mode.hz, mode.box_hz));
        return fmt::format(
            "The room is not quite as described: modes lie more than {:g} % off ({}). A part "
            "that is not in job.toml, a slope or a wall out of square moves them, or a wall that "
            "resonates; single modes are {:.0f} % less sure for it (one standard deviation).",
            note.beyond_percent, fmt::join(modes, ", "), note.deviation_percent);
    }
    std::string operator()(const DampingUnexplained& note) const {
        std::vector<std::string> modes;
        for (const double hz : note.modes_hz)
            modes.push_back(fmt::format("{:.1f}", hz));
        return fmt::format(
            "More than half of the damping before is not that of plain walls at {} Hz: a wall, "
            "a door or a window resonates there. What becomes of it when a trap stands before it "
            "is not modelled.",
            fmt::join(modes, ", "));
    }
    std::string operator()(const NoBox&) const {
        return "Modes are predicted in box-shaped rooms alone: job.toml gives no length, width and height.";
    }
    std::string operator()(const TooManyModes& note) const {
        return fmt::format("The room is too large for a prediction mode by mode: about {:.0f} modes lie "
                           "below {:g} Hz alone.",
                           note.modes, note.below_hz);
    }
    std::string operator()(const ModesUntold& note) const {
        return "The modes of the visit before cannot be told: " + note.because;
    }
};

} // namespace

std::string sentence(const ForecastNote& note) {
    return std::visit(Words{}, note);
}

} // namespace ebbmark
