// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/mode_pairs.hpp"

namespace ebbmark {

std::vector<ModePair> mode_pairs(const Ringing& before, const Ringing& after,
                                 const std::vector<PairedMode>& pairs) {
    std::vector<ModePair> made;
    for (const PairedMode& pair : pairs) {
        if (!pair.before)
            continue;
        const MeasuredMode& first = before.modes[*pair.before];
        ModePair mode;
        mode.before_hz = *first.hz;
        mode.before_t60_s = first.t60_s;
        mode.pairing = pair.assurance;
        mode.after_t60_s = Measured::none(Empty::overlap);
        if (pair.after) {
            mode.after_hz = after.modes[*pair.after].hz.value;
            mode.after_t60_s = after.modes[*pair.after].t60_s;
        }
        mode.after_t60_at_most_s = pair.after_at_most_s;
        made.push_back(mode);
    }
    return made;
}

std::vector<std::size_t> new_modes(const std::vector<PairedMode>& pairs) {
    std::vector<std::size_t> made;
    for (const PairedMode& pair : pairs)
        if (!pair.before)
            made.push_back(*pair.after);
    return made;
}

} // namespace ebbmark
