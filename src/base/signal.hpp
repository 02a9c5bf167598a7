// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <vector>

namespace ebbmark {

/// Samples of one channel with their rate, so that the rate cannot get lost. Full scale of a file is ±1.
struct Signal {
    std::vector<double> samples;
    double rate_hz = 0;

    std::size_t size() const { return samples.size(); }
    double duration_s() const { return static_cast<double>(samples.size()) / rate_hz; }
};

} // namespace ebbmark
