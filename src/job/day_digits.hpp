// SPDX-License-Identifier: GPL-3.0-or-later
// The digits that are shown at the end of a visit, for the client to photograph or to write down: they stand
// for all evidence that was kept by then. days/001.toml notes that they were shown; what proves them is the
// paper.
#pragma once

#include "job/manifest.hpp"

#include <string>
#include <string_view>

namespace ebbmark {

struct DayDigits {
    std::string file;  ///< in the job folder, "days/001.toml"; empty where they could not be noted
    std::string visit; ///< the one that was measured last
    std::string shown_at;
    std::size_t lines = 0; ///< of the list of evidence, from its first one
    std::string sha256;    ///< digest_of_first of so many
};

/// The note's file.
std::string to_toml(const DayDigits& day);

/// The other way round, without `file`. Throws Error(unusable).
DayDigits day_digits_from(std::string_view toml, std::string_view name);

} // namespace ebbmark
