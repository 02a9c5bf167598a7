// SPDX-License-Identifier: GPL-3.0-or-later
// Comparisons of measured rooms in which nothing changed, drawn from the series in a data folder.
#pragma once

#include "base/signal.hpp"

#include <filesystem>
#include <map>
#include <string>
#include <vector>

namespace ebbmark::tests {

/// One comparison in which nothing changed. Responses are named by their files.
struct NullComparison {
    std::string room; ///< with its state, such as "panel 100"
    std::string kind; ///< such as "halves of 6"
    std::vector<std::filesystem::path> before, after;
    bool paired = false;
};

/// Draws of one kind in one room.
struct NullCounts {
    int draws = 8;
    unsigned seed = 1;
};

/// All null comparisons of the series that lie in `data`: halves of 6, 10, 14 positions, unpaired; pairs of
/// microphones 5 cm apart, paired; repeats of one place; loudspeakers against loudspeakers. In the order of
/// the rooms. The same seed gives the same draws.
std::vector<NullComparison> null_comparisons(const std::filesystem::path& data, const NullCounts& counts);

/// Rooms on which constants may be chosen while the others are reported, and the other way round.
bool is_first_group(const std::string& room);

/// Reads each response once.
class MeasuredResponses {
  public:
    const Signal& at(const std::filesystem::path& file);
    std::vector<Signal> of(const std::vector<std::filesystem::path>& files);

  private:
    std::map<std::filesystem::path, Signal> read_;
};

} // namespace ebbmark::tests
