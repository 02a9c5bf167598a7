// SPDX-License-Identifier: GPL-3.0-or-later
#include "ringing/window_fit.hpp"

#include "algebra/dense.hpp"
#include "ringing/adjoint_product.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace ebbmark {

namespace {

using Eigen::Index;
using Eigen::MatrixXcd;
using Eigen::MatrixXd;
using Eigen::VectorXcd;
using Eigen::VectorXd;

constexpr double tau = 2 * std::numbers::pi;

// What counts as ringing at all: longer than any small room's mode, shorter than what looks like a click.
constexpr double longest_t60_s = 8, shortest_t60_s = 0.05;
constexpr double steady_t60_s = 1000; // as good as for ever

// A cost is wrong by the error of the exponentials' inner products (of exponentials of length 1) times the
// squared amplitudes: to first order, the error of bᴴ G⁻¹ b is aᴴ dG a with a = G⁻¹ b. 0.3 of 1e-12 was the
// largest among 1900 fits of rooms, measured against the cost by vectors; thirty times as much is allowed
// for.
constexpr double inner_product_error = 1e-11, sum_error = 1e-12;

void remove_part_along(const MatrixXcd& basis, MatrixXcd& from) {
    from -= product(basis, adjoint_product(basis, from));
}

/// u = 1/(jω − s) and u² of all poles, u first.
SplitColumns resonances(const VectorXd& hz, const std::vector<Pole>& poles) {
    const auto count = static_cast<Index>(poles.size());
    SplitColumns made(hz.size(), 2 * count);
    for (Index k = 0; k < count; ++k) {
        const std::complex<double> s = poles[static_cast<std::size_t>(k)].exponent();
        const double re = -s.real(), squared = re * re;
        double *real = made.real(k), *imag = made.imag(k);
        double *square_real = made.real(count + k), *square_imag = made.imag(count + k);
        for (Index i = 0; i < hz.size(); ++i) {
            const double im = tau * hz(i) - s.imag();
            const double square = 1 / (squared + im * im);
            real[i] = re * square;
            imag[i] = -im * square;
            square_real[i] = real[i] * real[i] - imag[i] * imag[i];
            square_imag[i] = 2 * real[i] * imag[i];
        }
    }
    return made;
}

/// Inner products of the resonances, from their conjugated sums over the bins, 2K × 2K. By partial fractions
/// no others are needed: conj(u_k) u_l = (conj(u_k) + u_l)/p with p = −conj(s_k) − s_l, and those with u²
/// follow by differentiation.
MatrixXcd gram_of_resonances(const std::vector<Pole>& poles, const VectorXcd& conjugated_sums) {
    const auto count = static_cast<Index>(poles.size());
    const auto sums = conjugated_sums.head(count), sums_of_squares = conjugated_sums.tail(count);
    MatrixXcd made(2 * count, 2 * count);
    for (Index k = 0; k < count; ++k)
        for (Index l = k; l < count; ++l) {
            const std::complex<double> p = -std::conj(poles[static_cast<std::size_t>(k)].exponent()) -
                                           poles[static_cast<std::size_t>(l)].exponent();
            const std::complex<double> q = std::conj(p) / std::norm(p);
            const std::complex<double> both = (sums(k) + std::conj(sums(l))) * q;
            const std::complex<double> by_l = (std::conj(sums_of_squares(l)) + both) * q;
            const std::complex<double> by_k = (sums_of_squares(k) + both) * q;
            made(k, l) = both;
            made(k, count + l) = by_l;
            made(count + k, l) = by_k;
            made(count + k, count + l) = (by_l + by_k) * q;
            made(l, k) = std::conj(both);
            made(count + l, k) = std::conj(by_l);
            made(l, count + k) = std::conj(by_k);
            made(count + l, count + k) = std::conj(made(count + k, count + l));
        }
    return made;
}

/// As project() without the vectors: all inner products at once, then elimination of the exponentials
/// (Cholesky). A fraction of the work; loses digits only where poles coincide, and then the cost says so.
FitState state_at(const Window& window, const std::vector<Pole>& poles) {
    const auto count = static_cast<Index>(poles.size());
    const MatrixXcd ones = MatrixXcd::Ones(window.hz.size(), 1);
    const MatrixXcd products = adjoint_product(resonances(window.hz, poles),
                                               SplitColumns({&ones, &window.background, &window.data}));
    const MatrixXcd smooth = products.middleCols(1, window.background.cols()).adjoint();
    MatrixXcd gram = gram_of_resonances(poles, products.col(0)) - gram_of(smooth);
    MatrixXcd with_data = products.rightCols(window.data.cols());
    // Exponential c u and its slope d u + c u², see exponentials(); each exponential is scaled to length 1.
    VectorXcd c(count), d(count);
    VectorXd scale(count);
    for (Index k = 0; k < count; ++k) {
        const std::complex<double> end =
            std::exp(poles[static_cast<std::size_t>(k)].exponent() * window.duration_s);
        c(k) = 1.0 - end;
        d(k) = -window.duration_s * end;
        scale(k) = 1 / (std::abs(c(k)) * std::sqrt(std::max(gram(k, k).real(), 1e-300)));
    }
    const VectorXcd own = c.cwiseProduct(scale.cast<std::complex<double>>());
    const auto to_ours =
        [&](MatrixXcd& rows) { // from u, u² to exponential, slope, conjugated: they are on the left
            const MatrixXcd u = rows.topRows(count);
            rows.bottomRows(count) =
                (d.conjugate().asDiagonal() * u + c.conjugate().asDiagonal() * rows.bottomRows(count)).eval();
            rows.topRows(count) = own.conjugate().asDiagonal() * u;
        };
    to_ours(gram);
    gram.adjointInPlace();
    to_ours(gram);
    to_ours(with_data);
    // A hair on the diagonal: coinciding poles then cost as much as one.
    gram.diagonal().head(count).array() += 1e-13;
    const MatrixXcd factor = lower_factor(gram.topLeftCorner(count, count));
    const MatrixXcd slopes = lower_solved(factor, gram.topRightCorner(count, count));
    const MatrixXcd data = lower_solved(factor, with_data.topRows(count));
    FitState made;
    made.gram = gram.bottomRightCorner(count, count) - gram_of(slopes);
    made.along = with_data.bottomRows(count) - adjoint_times(slopes, data);
    const double data_power = window.data.squaredNorm();
    made.cost = data_power - data.squaredNorm();
    const MatrixXcd amplitude = adjoint_lower_solved(factor, data);
    made.doubt = inner_product_error * amplitude.squaredNorm() + sum_error * data_power;
    made.amplitude = scale.asDiagonal() * amplitude;
    return made;
}

std::vector<Pole> moved(const std::vector<Pole>& poles, const VectorXd& step, const Window& window) {
    const auto count = static_cast<Index>(poles.size());
    const double widest = 0.25 * (window.hz(window.hz.size() - 1) - window.hz(0));
    std::vector<Pole> made = poles;
    for (Index k = 0; k < count; ++k) {
        Pole& pole = made[static_cast<std::size_t>(k)];
        const double reach = std::max(1.0, 2 * pole.half_power_hz());
        pole.hz = std::clamp(pole.hz + std::clamp(step(k), -reach, reach), window.hz(0) - widest,
                             window.hz(window.hz.size() - 1) + widest);
        pole.decay_per_s = std::clamp(pole.decay_per_s * std::exp(std::clamp(step(count + k), -1.0, 1.0)),
                                      decay_rate(longest_t60_s), decay_rate(shortest_t60_s));
    }
    return made;
}

} // namespace

Window make_window(VectorXd hz, const MatrixXcd& data, int terms, double duration_s,
                   const std::vector<double>& lines_hz) {
    const Index size = hz.size();
    std::vector<Pole> tones;
    for (const double line : lines_hz)
        if (line > hz(0) && line < hz(size - 1))
            tones.push_back({line, decay_rate(steady_t60_s)});
    const auto lines = static_cast<Index>(tones.size());
    MatrixXcd powers(size, terms + lines);
    powers.rightCols(lines) = exponentials(hz, tones, duration_s).value;
    const double middle = 0.5 * (hz(0) + hz(size - 1)), half = 0.5 * (hz(size - 1) - hz(0));
    for (Index i = 0; i < size; ++i)
        for (int k = 0; k < terms; ++k)
            powers(i, k) = std::pow((hz(i) - middle) / half, k);
    Window made{std::move(hz), data, {}, duration_s};
    made.background = thin_qr(powers).basis;
    remove_part_along(made.background, made.data);
    return made;
}

Projection project(const Window& window, const std::vector<Pole>& poles) {
    Projection made = project_values(window, poles);
    add_slopes(window, poles, made);
    return made;
}

Projection project_values(const Window& window, const std::vector<Pole>& poles) {
    MatrixXcd shapes = exponentials(window.hz, poles, window.duration_s).value;
    remove_part_along(window.background, shapes);
    ThinQr qr = thin_qr(shapes);
    Projection made;
    made.basis = std::move(qr.basis);
    made.triangle = std::move(qr.triangle);
    return with_other_data(window, std::move(made));
}

Projection with_other_data(const Window& window, Projection at) {
    const MatrixXcd part = adjoint_product(at.basis, window.data);
    at.amplitude = upper_solved(at.triangle, part);
    at.residual = window.data - product(at.basis, part);
    at.cost = at.residual.squaredNorm();
    return at;
}

void add_slopes(const Window& window, const std::vector<Pole>& poles, Projection& at) {
    at.slope = exponentials(window.hz, poles, window.duration_s).slope;
    remove_part_along(window.background, at.slope);
    remove_part_along(at.basis, at.slope);
    at.gram = gram_of(at.slope);
    at.along = adjoint_product(at.slope, at.residual);
}

MatrixXd information(const FitState& at, const std::vector<Pole>& poles) {
    const auto count = static_cast<Index>(poles.size());
    const MatrixXcd q = 2 * product(at.amplitude, at.amplitude.adjoint()).conjugate().cwiseProduct(at.gram);
    VectorXd decay(count);
    for (Index k = 0; k < count; ++k)
        decay(k) = poles[static_cast<std::size_t>(k)].decay_per_s;
    MatrixXd made(2 * count, 2 * count);
    made.topLeftCorner(count, count) = tau * tau * q.real();
    made.topRightCorner(count, count) = -tau * q.imag() * decay.asDiagonal();
    made.bottomLeftCorner(count, count) = made.topRightCorner(count, count).transpose();
    made.bottomRightCorner(count, count) = decay.asDiagonal() * q.real() * decay.asDiagonal();
    return made;
}

VectorXd downhill(const FitState& at, const std::vector<Pole>& poles) {
    const auto count = static_cast<Index>(poles.size());
    VectorXd made(2 * count);
    for (Index k = 0; k < count; ++k) {
        const std::complex<double> sum =
            2.0 * at.amplitude.row(k).conjugate().cwiseProduct(at.along.row(k)).sum();
        made(k) = tau * sum.imag(); // Re(−j sum)
        made(count + k) = -poles[static_cast<std::size_t>(k)].decay_per_s * sum.real();
    }
    return made;
}

MatrixXd covariance(const MatrixXd& information) {
    if (information.size() == 0)
        return information;
    const Index count = information.rows() / 2;
    MatrixXd with_limits = information;
    with_limits.diagonal().head(count).array() += 1 / (100.0 * 100.0);
    with_limits.diagonal().tail(count).array() += 1 / (3.0 * 3.0);
    return symmetric_solved(with_limits, MatrixXd(MatrixXd::Identity(2 * count, 2 * count)));
}

FitState move_to_minimum(const Window& window, std::vector<Pole>& poles, int iterations,
                         std::optional<std::size_t> held) {
    if (poles.empty())
        return {{}, {}, {}, window.data.squaredNorm(), 0};
    FitState best = state_at(window, poles);
    double damping = 1e-3;
    for (int i = 0; i < iterations; ++i) {
        MatrixXd normal = information(best, poles);
        normal.diagonal() *= 1 + damping;
        normal.diagonal().array() += 1e-9;
        VectorXd slope = downhill(best, poles);
        if (held) {
            const auto fixed = static_cast<Index>(poles.size() + *held);
            normal.row(fixed).setZero();
            normal.col(fixed).setZero();
            normal(fixed, fixed) = 1;
            slope(fixed) = 0;
        }
        const VectorXd step = symmetric_solved(normal, slope);
        std::vector<Pole> trial = moved(poles, step, window);
        FitState there = state_at(window, trial);
        const double gain = best.cost - there.cost;
        if (gain > 0) {
            poles = std::move(trial);
            best = std::move(there);
            damping = std::max(1e-7, damping * 0.2);
            // The cost is in units of the noise: what is left to gain changes nothing that can be seen.
            if (gain < 0.01)
                break;
        } else {
            damping *= 10;
            if (damping > 1e4)
                break;
        }
    }
    return best;
}

Projection refine(const Window& window, std::vector<Pole>& poles, int iterations,
                  std::optional<std::size_t> held) {
    move_to_minimum(window, poles, iterations, held);
    return project(window, poles);
}

} // namespace ebbmark
