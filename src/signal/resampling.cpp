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

void Resampler::Close::operator()(void* state) const {
    soxr_delete(static_cast<soxr_t>(state));
}

Resampler::Resampler(double step) : step_(step) {
    assert(step >= 0.01 && step <= 100);
    const auto format = soxr_io_spec(SOXR_FLOAT64_I, SOXR_FLOAT64_I);
    const auto quality = soxr_quality_spec(SOXR_VHQ, 0);
    const auto threads = soxr_runtime_spec(1);
    soxr_error_t error = nullptr;
    state_.reset(soxr_create(step, 1, 1, &error, &format, &quality, &threads));
    if (error != nullptr || !state_)
        throw std::bad_alloc();
}

void Resampler::process(const double* samples, std::size_t count, std::vector<double>& result) {
    std::size_t read = 0, written = 0;
    do {
        const std::size_t had = result.size();
        const std::size_t room = 1024 + static_cast<std::size_t>(static_cast<double>(count - read) / step_);
        result.resize(had + room);
        std::size_t read_now = 0;
        const double* from = samples == nullptr ? nullptr : samples + read;
        const auto error = soxr_process(static_cast<soxr_t>(state_.get()), from, count - read, &read_now,
                                        result.data() + had, room, &written);
        if (error != nullptr)
            throw std::bad_alloc();
        read += read_now;
        result.resize(had + written);
    } while (read < count || (samples == nullptr && written > 0));
}

void Resampler::add(std::span<const double> samples, std::vector<double>& result) {
    if (!samples.empty())
        process(samples.data(), samples.size(), result);
}

void Resampler::finish(std::vector<double>& result) {
    process(nullptr, 0, result);
}

} // namespace ebbmark
