// SPDX-License-Identifier: GPL-3.0-or-later
#include "signal/fft.hpp"

#include <fftw3.h>

#include <algorithm>
#include <cassert>
#include <map>
#include <mutex>
#include <new>
#include <utility>

namespace ebbmark {

namespace {

enum class Kind { forward, inverse, complex_inverse };

using SharedPlan = std::shared_ptr<fftw_plan_s>;

/// Plans that are kept because making one costs more than using it. What they compute depends on nothing but
/// kind and size. FFTW: only execution is safe from several threads, making and destroying plans is not.
struct Plans {
    std::recursive_mutex mutex; ///< recursive: forgetting plans may destroy them
    std::map<std::pair<Kind, std::size_t>, SharedPlan> kept;
};

// Some 20 MB of tables at most; the sizes of one analysis number about ten.
constexpr std::size_t most_plans_kept = 16;
constexpr std::size_t largest_plan_kept = std::size_t{1} << 18;

Plans& plans() {
    static Plans instance;
    return instance;
}

/// A plan for buffers of FFTW's own alignment; `make` is called where none is kept.
template <class Make>
SharedPlan plan_for(Kind kind, std::size_t size, Make make) {
    Plans& all = plans();
    const std::lock_guard lock(all.mutex);
    if (const auto found = all.kept.find({kind, size}); found != all.kept.end())
        return found->second;
    const SharedPlan plan(make(static_cast<int>(size)), [](fftw_plan made) {
        const std::lock_guard destroying(plans().mutex);
        fftw_destroy_plan(made);
    });
    if (size <= largest_plan_kept) {
        if (all.kept.size() >= most_plans_kept)
            all.kept.clear();
        all.kept.emplace(std::pair{kind, size}, plan);
    }
    return plan;
}

template <class T>
struct Buffer {
    explicit Buffer(std::size_t n) : data(static_cast<T*>(fftw_malloc(sizeof(T) * n))), count(n) {
        if (!data)
            throw std::bad_alloc();
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

/// Samples and spectrum share their memory: fresh pages cost as much as the transform. The two plans are
/// sought when first used.
struct RealFft::Plan {
    explicit Plan(std::size_t n)
        : size(n), frequency(n / 2 + 1), time(reinterpret_cast<double*>(frequency.data)) {
        assert(n >= 2 && n % 2 == 0);
    }

    void run_forward() {
        if (!forward)
            forward = plan_for(Kind::forward, size, [&](int n) {
                return fftw_plan_dft_r2c_1d(n, time, raw(frequency.data), FFTW_ESTIMATE);
            });
        fftw_execute_dft_r2c(forward.get(), time, raw(frequency.data));
    }
    void run_inverse() {
        if (!inverse)
            inverse = plan_for(Kind::inverse, size, [&](int n) {
                return fftw_plan_dft_c2r_1d(n, raw(frequency.data), time, FFTW_ESTIMATE);
            });
        fftw_execute_dft_c2r(inverse.get(), raw(frequency.data), time);
    }

    std::size_t size;
    Buffer<Complex> frequency;
    double* time;
    SharedPlan forward, inverse;
};

RealFft::RealFft(std::size_t size) : plan_(std::make_unique<Plan>(size)) {}
RealFft::~RealFft() = default;
RealFft::RealFft(RealFft&&) noexcept = default;
RealFft& RealFft::operator=(RealFft&&) noexcept = default;

std::size_t RealFft::size() const {
    return plan_->size;
}

std::span<const Complex> RealFft::spectrum_of(std::span<const double> samples) {
    assert(samples.size() <= size());
    const auto end = std::copy(samples.begin(), samples.end(), plan_->time);
    std::fill(end, plan_->time + size(), 0.0);
    plan_->run_forward();
    return {plan_->frequency.data, bins()};
}

std::vector<Complex> RealFft::forward(std::span<const double> samples) {
    const auto spectrum = spectrum_of(samples);
    return {spectrum.begin(), spectrum.end()};
}

std::vector<double> RealFft::inverse(std::span<const Complex> spectrum) {
    assert(spectrum.size() == bins());
    std::copy(spectrum.begin(), spectrum.end(), plan_->frequency.data);
    plan_->run_inverse();
    std::vector<double> samples(plan_->time, plan_->time + size());
    const double scale = 1 / static_cast<double>(size());
    for (double& sample : samples)
        sample *= scale;
    return samples;
}

struct ComplexInverseFft::Buffers {
    explicit Buffers(std::size_t largest) : frequency(largest), time(largest) {}
    Buffer<Complex> frequency, time; ///< two: in place these transforms take a quarter longer
    std::map<std::size_t, SharedPlan> used;
};

ComplexInverseFft::ComplexInverseFft(std::size_t largest) : buffers_(std::make_unique<Buffers>(largest)) {}
ComplexInverseFft::~ComplexInverseFft() = default;
ComplexInverseFft::ComplexInverseFft(ComplexInverseFft&&) noexcept = default;
ComplexInverseFft& ComplexInverseFft::operator=(ComplexInverseFft&&) noexcept = default;

std::span<Complex> ComplexInverseFft::spectrum(std::size_t size) {
    assert(size >= 1 && size <= buffers_->frequency.count);
    return {buffers_->frequency.data, size};
}

std::span<const Complex> ComplexInverseFft::transform(std::size_t size) {
    assert(size >= 1 && size <= buffers_->frequency.count);
    fftw_complex *const from = raw(buffers_->frequency.data), *const to = raw(buffers_->time.data);
    SharedPlan& plan = buffers_->used[size];
    if (!plan)
        plan = plan_for(Kind::complex_inverse, size,
                        [&](int n) { return fftw_plan_dft_1d(n, from, to, FFTW_BACKWARD, FFTW_ESTIMATE); });
    fftw_execute_dft(plan.get(), from, to);
    return {buffers_->time.data, size};
}

} // namespace ebbmark
