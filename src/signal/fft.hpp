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

    /// `samples` may be shorter than the size: zeros follow. Valid until the next call of any member.
    std::span<const Complex> spectrum_of(std::span<const double> samples);
    /// The same as a copy.
    std::vector<Complex> forward(std::span<const double> samples);
    /// `spectrum` has bins() entries.
    std::vector<double> inverse(std::span<const Complex> spectrum);

  private:
    struct Plan;
    std::unique_ptr<Plan> plan_;
};

/// Inverse transforms of complex data of several sizes in one pair of buffers, unscaled:
/// x[n] = Σ X[k] exp(+j 2π k n / N). Not safe for use by two threads at once.
class ComplexInverseFft {
  public:
    explicit ComplexInverseFft(std::size_t largest);
    ~ComplexInverseFft();
    ComplexInverseFft(ComplexInverseFft&&) noexcept;
    ComplexInverseFft& operator=(ComplexInverseFft&&) noexcept;

    /// The input buffer, 1 ≤ size ≤ largest; every entry must be filled before transform().
    std::span<Complex> spectrum(std::size_t size);
    /// Transforms spectrum(size); the result is valid until the next call.
    std::span<const Complex> transform(std::size_t size);

  private:
    struct Buffers;
    std::unique_ptr<Buffers> buffers_;
};

} // namespace ebbmark
