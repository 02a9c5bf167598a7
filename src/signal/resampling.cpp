// SPDX-License-Identifier: GPL-3.0-or-later
#include "signal/resampling.hpp"

#include <soxr.h>

#include <cassert>
#include <cmath>
#include <new>

namespace ebbmark {

std::vector<double> resampled(std::span<const double> samples, double step) {
    assert(step >= 0.01 && step <= 100);
    const double length = static_cast<double>(samples.size()) / step;
    std::vector<double> result(static_cast<std::size_t>(std::ceil(length)));
    if (result.empty())
        return result;
    const auto format = soxr_io_spec(SOXR_FLOAT64_I, SOXR_FLOAT64_I);
    const auto quality = soxr_quality_spec(SOXR_VHQ, 0);
    const auto threads = soxr_runtime_spec(1);
    std::size_t read = 0, written = 0;
    const auto error = soxr_oneshot(step, 1, 1, samples.data(), samples.size(), &read, result.data(),
                                    result.size(), &written, &format, &quality, &threads);
    if (error != nullptr)
        throw std::bad_alloc();
    result.resize(written);
    return result;
}

} // namespace ebbmark
