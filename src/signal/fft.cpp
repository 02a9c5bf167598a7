// SPDX-License-Identifier: GPL-3.0-or-later
#include "signal/fft.hpp"

#include <fftw3.h>

#include <algorithm>
#include <cassert>
#include <mutex>
#include <new>

namespace ebbmark {

namespace {

// FFTW: only execution is safe from several threads, making and destroying plans is not.
std::mutex& planner() {
    static std::mutex mutex;
    return mutex;
}

template <class T>
struct Buffer {
    explicit Buffer(std::size_t n) : data(static_cast<T*>(fftw_malloc(sizeof(T) * n))), count(n) {
        if (!data)
            throw std::bad_alloc();
        std::fill_n(data, n, T{});
    }
    ~Buffer() { fftw_free(data); }
    Buffer(const Buffer&) = delete;
    Buffer& operator=(const Buffer&) = delete;
    T* data;
    std::size_t count;
};

fftw_complex* raw(Complex* data) {
    return reinterpret_cast<fftw_complex*>(data);
}

} // namespace

std::size_t fast_fft_size(std::size_t n) {
    n = std::max<std::size_t>(n, 2);
    std::size_t best = 2;
    while (best < n)
        best *= 2;
    for (std::size_t five = 2; five < best; five *= 5)
        for (std::size_t three = five; three < best; three *= 3) {
            std::size_t size = three;
            while (size < n)
                size *= 2;
            best = std::min(best, size);
        }
    return best;
}

/// The two plans are made when first used: each costs as much as a transform.
struct RealFft::Plan {
    explicit Plan(std::size_t n) : size(n), time(n), frequency(n / 2 + 1) { assert(n >= 2 && n % 2 == 0); }
    ~Plan() {
        const std::lock_guard lock(planner());
        fftw_destroy_plan(forward);
        fftw_destroy_plan(inverse);
    }
    Plan(const Plan&) = delete;
    Plan& operator=(const Plan&) = delete;

    void run_forward() {
        if (!forward) {
            const std::lock_guard lock(planner());
            forward =
                fftw_plan_dft_r2c_1d(static_cast<int>(size), time.data, raw(frequency.data), FFTW_ESTIMATE);
        }
        fftw_execute(forward);
    }
    void run_inverse() {
        if (!inverse) {
            const std::lock_guard lock(planner());
            inverse =
                fftw_plan_dft_c2r_1d(static_cast<int>(size), raw(frequency.data), time.data, FFTW_ESTIMATE);
        }
        fftw_execute(inverse);
    }

    std::size_t size;
    Buffer<double> time;
    Buffer<Complex> frequency;
    fftw_plan forward = nullptr;
    fftw_plan inverse = nullptr;
};

RealFft::RealFft(std::size_t size) : plan_(std::make_unique<Plan>(size)) {}
RealFft::~RealFft() = default;
RealFft::RealFft(RealFft&&) noexcept = default;
RealFft& RealFft::operator=(RealFft&&) noexcept = default;

std::size_t RealFft::size() const {
    return plan_->size;
}

std::vector<Complex> RealFft::forward(std::span<const double> samples) {
    assert(samples.size() <= size());
    const auto end = std::copy(samples.begin(), samples.end(), plan_->time.data);
    std::fill(end, plan_->time.data + size(), 0.0);
    plan_->run_forward();
    return {plan_->frequency.data, plan_->frequency.data + bins()};
}

std::vector<double> RealFft::inverse(std::span<const Complex> spectrum) {
    assert(spectrum.size() == bins());
    std::copy(spectrum.begin(), spectrum.end(), plan_->frequency.data);
    plan_->run_inverse();
    std::vector<double> samples(plan_->time.data, plan_->time.data + size());
    const double scale = 1 / static_cast<double>(size());
    for (double& sample : samples)
        sample *= scale;
    return samples;
}

struct ComplexInverseFft::Plan {
    explicit Plan(std::size_t n) : size(n), frequency(n), time(n) {
        assert(n >= 1);
        const std::lock_guard lock(planner());
        plan = fftw_plan_dft_1d(static_cast<int>(n), raw(frequency.data), raw(time.data), FFTW_BACKWARD,
                                FFTW_ESTIMATE);
    }
    ~Plan() {
        const std::lock_guard lock(planner());
        fftw_destroy_plan(plan);
    }
    Plan(const Plan&) = delete;
    Plan& operator=(const Plan&) = delete;

    std::size_t size;
    Buffer<Complex> frequency;
    Buffer<Complex> time;
    fftw_plan plan;
};

ComplexInverseFft::ComplexInverseFft(std::size_t size) : plan_(std::make_unique<Plan>(size)) {}
ComplexInverseFft::~ComplexInverseFft() = default;
ComplexInverseFft::ComplexInverseFft(ComplexInverseFft&&) noexcept = default;
ComplexInverseFft& ComplexInverseFft::operator=(ComplexInverseFft&&) noexcept = default;

std::size_t ComplexInverseFft::size() const {
    return plan_->size;
}

std::span<Complex> ComplexInverseFft::spectrum() {
    return {plan_->frequency.data, plan_->size};
}

std::span<const Complex> ComplexInverseFft::transform() {
    fftw_execute(plan_->plan);
    const double scale = 1 / static_cast<double>(size());
    for (std::size_t n = 0; n < size(); ++n)
        plan_->time.data[n] *= scale;
    return {plan_->time.data, plan_->size};
}

} // namespace ebbmark
