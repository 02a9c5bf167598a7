// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/words/forecast_notes.hpp"

#include <fmt/format.h>

namespace ebbmark {

namespace {

struct Words {
    std::string operator()(const ModesMayBeMissing& note) const {
        return fmt::format("Of the {} modes of the bare room below {:.0f} Hz, {} were found {}: strongly "
                           "damped ones may be missing.",
                           note.expected, note.below_hz, note.found,
                           note.traps == TrapsInside::no ? "before" : "after");
    }
};

} // namespace

std::string sentence(const ForecastNote& note) {
    return std::visit(Words{}, note);
}

} // namespace ebbmark
