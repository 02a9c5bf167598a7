// SPDX-License-Identifier: GPL-3.0-or-later
// What may be remarked on measured modes, as kinds and numbers. Their words stand in proof/words.
#pragma once

#include <variant>
#include <vector>

namespace ebbmark {

/// Not listed: poles so broad that they may be the loudspeaker's own roll-off.
struct MaybeLoudspeaker {
    double below_q = 0;
    std::vector<double> hz;
    bool operator==(const MaybeLoudspeaker&) const = default;
};

using RingingNote = std::variant<MaybeLoudspeaker>;

} // namespace ebbmark
