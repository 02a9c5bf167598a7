// SPDX-License-Identifier: GPL-3.0-or-later
#include "ringing/subspace.hpp"

#include "algebra/dense.hpp"
#include "signal/fft.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace ebbmark {

namespace {

using Eigen::Index;
using Eigen::MatrixXcd;

// Rows of a Hankel matrix: enough to separate as many poles as a window holds, few enough to be quick.
constexpr Index most_rows = 40;

/// The window as slow complex signals, one per position, at a rate of the window's width.
MatrixXcd slow_signals(const MatrixXcd& spectra, Index guard) {
    const Index size = spectra.rows();
    ComplexInverseFft fft(static_cast<std::size_t>(size));
    MatrixXcd made(size, spectra.cols());
    for (Index p = 0; p < spectra.cols(); ++p) {
        for (Index k = 0; k < size; ++k) {
            const double from_edge = static_cast<double>(std::min(k, size - 1 - k)) + 0.5;
            const double fade = guard > 0 ? std::min(1.0, from_edge / static_cast<double>(guard)) : 1;
            const double weight = 0.5 - 0.5 * std::cos(std::numbers::pi * fade);
            fft.spectrum(static_cast<std::size_t>(size))[static_cast<std::size_t>(k)] =
                spectra(k, p) * weight;
        }
        const auto signal = fft.transform(static_cast<std::size_t>(size));
        for (Index n = 0; n < size; ++n)
            made(n, p) = signal[static_cast<std::size_t>(n)];
    }
    return made;
}

} // namespace

std::vector<Pole> subspace_poles(const Eigen::VectorXd& hz, const MatrixXcd& spectra, double guard_hz) {
    const Index size = hz.size();
    const double bin_hz = hz(1) - hz(0), rate = bin_hz * static_cast<double>(size);
    const MatrixXcd signals = slow_signals(spectra, static_cast<Index>(guard_hz / bin_hz));
    // The fades smear the onset over about 1/guard: that part is no free vibration.
    const auto skip = static_cast<Index>(std::ceil(0.8 * rate / std::max(guard_hz, 1.0)));
    const Index used = static_cast<Index>(0.7 * static_cast<double>(size)) - skip;
    const Index rows = std::min(most_rows, used / 2), columns = used - rows + 1;
    if (rows < 4)
        return {};
    MatrixXcd covariance = MatrixXcd::Zero(rows, rows);
    MatrixXcd hankel(rows, columns);
    for (Index p = 0; p < signals.cols(); ++p) {
        for (Index i = 0; i < columns; ++i)
            hankel.col(i) = signals.col(p).segment(skip + i, rows);
        add_lower_square(covariance, hankel);
    }
    const auto eigen = symmetric_eigen_of(covariance);
    // White noise of variance 1 per bin has the variance `size` per sample; its largest eigenvalue stays
    // below this for any number of rows and columns (K. R. Davidson, S. J. Szarek 2001, theorem 2.13, with a
    // margin).
    const auto snapshots = static_cast<double>(columns * signals.cols());
    const double edge = std::sqrt(snapshots) + std::sqrt(static_cast<double>(rows)) + 3;
    const double limit = edge * edge * static_cast<double>(size);
    Index order = 0;
    while (order < rows - 2 && eigen.values(rows - 1 - order) > limit)
        ++order;
    if (order == 0)
        return {};
    const MatrixXcd subspace = eigen.vectors.rightCols(order);
    const MatrixXcd turn = least_squares(subspace.topRows(rows - 1), subspace.bottomRows(rows - 1));
    const Eigen::VectorXcd poles = eigenvalues_of(turn);
    std::vector<Pole> made;
    for (Index k = 0; k < order; ++k) {
        const std::complex<double> z = poles(k);
        const double turns = std::arg(z) / (2 * std::numbers::pi);
        const Pole pole{hz(0) + (turns < 0 ? turns + 1 : turns) * rate, -std::log(std::abs(z)) * rate};
        if (pole.decay_per_s > decay_rate(8) && pole.decay_per_s < decay_rate(0.05) && pole.hz < hz(size - 1))
            made.push_back(pole);
    }
    return made;
}

} // namespace ebbmark
