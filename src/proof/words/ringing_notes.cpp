// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/words/ringing_notes.hpp"

#include <fmt/format.h>

namespace ebbmark {

namespace {

struct Words {
    std::string operator()(const MaybeLoudspeaker& note) const {
        std::string places;
        for (const double hz : note.hz)
            places += fmt::format("{}{:.0f} Hz", places.empty() ? "" : ", ", hz);
        return fmt::format("Not listed: what rings so briefly (Q below {:.0f}) that it may be the "
                           "loudspeaker's own roll-off: {}.",
                           note.below_q, places);
    }
};

} // namespace

std::string sentence(const RingingNote& note) {
    return std::visit(Words{}, note);
}

} // namespace ebbmark
