// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

namespace ebbmark {

/// One quality check of a recording. `name` is one of those in the list of machine-readable names, such as
/// "clipping".
struct QualityCheck {
    std::string name;
    double figure = 0;
    double limit = 0;
    std::string unit;
    bool held = true;
    std::string advice; ///< what to do where it failed

    friend bool operator==(const QualityCheck&, const QualityCheck&) = default;
};

} // namespace ebbmark
