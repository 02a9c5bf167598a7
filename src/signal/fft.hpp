// SPDX-License-Identifier: GPL-3.0-or-later
// Discrete Fourier transforms. The only place that knows FFTW; plans are made with FFTW_ESTIMATE, so that
// the same input gives the same bytes on every run.
#pragma once

#include <complex>
#include <cstddef>
#include <memory>
#include <span>
#include <vector>

namespace ebbmark {

using Complex = std::complex<double>;

/// The smallest size ≥ n without prime factors above 5, even; n ≥ 1.
std::size_t fast_fft_size(std::size_t n);

/// Transform of real data of one even size. Forward unscaled: X[k] = Σ x[n] exp(−j 2π k n / N), k = 0 … N/2.
/// Inverse scaled by 1/N, so that inverse(forward(x)) = x. Not safe for use by two threads at once.
class RealFft {
  public:
    explicit RealFft(std::size_t size);
    ~RealFft();
    RealFft(RealFft&&) noexcept;
    RealFft& operator=(RealFft&&) noexcept;

    std::size_t size() const;
    std::size_t bins() const { return size() / 2 + 1; }

    /// `samples` may be shorter than the size: zeros follow.
    std::vector<Complex> forward(std::span<const double> samples);
    /// `spectrum` has bins() entries.
    std::vector<double> inverse(std::span<const Complex> spectrum);

  private:
    struct Plan;
    std::unique_ptr<Plan> plan_;
};

/// Inverse transform of complex data of one size, scaled by 1/N: x[n] = (1/N) Σ X[k] exp(+j 2π k n / N).
class ComplexInverseFft {
  public:
    explicit ComplexInverseFft(std::size_t size);
    ~ComplexInverseFft();
    ComplexInverseFft(ComplexInverseFft&&) noexcept;
    ComplexInverseFft& operator=(ComplexInverseFft&&) noexcept;

    std::size_t size() const;
    /// The input buffer, size() entries, to be filled before transform().
    std::span<Complex> spectrum();
    /// Transforms spectrum(); the result is valid until the next call.
    std::span<const Complex> transform();

  private:
    struct Plan;
    std::unique_ptr<Plan> plan_;
};

} // namespace ebbmark
