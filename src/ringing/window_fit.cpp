// SPDX-License-Identifier: GPL-3.0-or-later
#include "ringing/window_fit.hpp"

#include "algebra/dense.hpp"
#include "ringing/adjoint_product.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
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

/// u = 1/(jω − s) of all poles.
SplitColumns resonances(const VectorXd& hz, const std::vector<Pole>& poles) {
    SplitColumns made(hz.size(), static_cast<Index>(poles.size()));
    for (Index k = 0; k < made.columns(); ++k) {
        const std::complex<double> s = poles[static_cast<std::size_t>(k)].exponent();
        const double re = -s.real(), squared = re * re;
        double *real = made.real(k), *imag = made.imag(k);
        for (Index i = 0; i < hz.size(); ++i) {
            const double im = tau * hz(i) - s.imag();
            const double square = 1 / (squared + im * im);
            real[i] = re * square;
            imag[i] = -im * square;
        }
    }
    return made;
}

SplitColumns squares_of(const SplitColumns& columns) {
    SplitColumns made(columns.rows(), columns.columns());
    for (Index k = 0; k < made.columns(); ++k)
        for (Index i = 0; i < made.rows(); ++i) {
            const double re = columns.real(k)[i], im = columns.imag(k)[i];
            made.real(k)[i] = re * re - im * im;
            made.imag(k)[i] = 2 * re * im;
        }
    return made;
}

/// Poles in a window, without the vectors of project(): all inner products at once, then elimination of the
/// exponentials (Cholesky). A fraction of the work; loses digits only where poles coincide, and then the cost
/// says so. What only the next step needs is not made before it is asked for: half of all trials are not
/// taken.
class Trial {
  public:
    /// `against`: a column of ones, the window's background and its data; `data_power`: the data's squared
    /// norm.
    Trial(const Window& window, const SplitColumns& against, double data_power,
          const std::vector<Pole>& poles);

    Cost cost() const;
    double cost_value() const { return data_power_ - data_.squaredNorm(); }
    FitState state(const SplitColumns& against) const;

  private:
    MatrixXcd with_background(const MatrixXcd& products) const {
        return products.middleCols(1, products.cols() - 1 - data_.cols()).adjoint();
    }
    MatrixXcd unscaled_amplitude() const { return adjoint_lower_solved(factor_, data_); }

    // Inner products of the resonances come from their conjugated sums over the bins. By partial fractions no
    // others are needed: conj(u_k) u_l = (conj(u_k) + u_l) q with 1/q = −conj(s_k) − s_l, and those with u²
    // follow by differentiation.
    Index count_;
    double data_power_;
    MatrixXcd data_; ///< its part along the exponentials
    SplitColumns resonances_;
    MatrixXcd products_; ///< of the resonances with ones, background and data
    MatrixXcd q_, both_; ///< upper triangles: q, and the inner products of the resonances
    MatrixXcd smooth_;   ///< the background's inner products with the resonances
    MatrixXcd gram_;     ///< of the resonances beside the background
    // Exponential c u and its slope d u + c u², see exponentials(); each exponential is scaled to length 1.
    VectorXcd c_, d_, own_;
    VectorXd scale_;
    MatrixXcd factor_; ///< of the exponentials' Gram matrix
    bool factored_ = false;
};

Trial::Trial(const Window& window, const SplitColumns& against, double data_power,
             const std::vector<Pole>& poles)
    : count_(static_cast<Index>(poles.size())), data_power_(data_power), data_(count_, window.data.cols()),
      resonances_(resonances(window.hz, poles)), products_(adjoint_product(resonances_, against)),
      q_(count_, count_), both_(count_, count_), gram_(count_, count_), c_(count_), d_(count_),
      scale_(count_) {
    for (Index k = 0; k < count_; ++k)
        for (Index l = k; l < count_; ++l) {
            const std::complex<double> p = -std::conj(poles[static_cast<std::size_t>(k)].exponent()) -
                                           poles[static_cast<std::size_t>(l)].exponent();
            q_(k, l) = std::conj(p) / std::norm(p);
            both_(k, l) = (products_(k, 0) + std::conj(products_(l, 0))) * q_(k, l);
            gram_(k, l) = both_(k, l);
            gram_(l, k) = std::conj(both_(k, l));
        }
    smooth_ = with_background(products_);
    gram_ -= gram_of(smooth_);
    for (Index k = 0; k < count_; ++k) {
        const std::complex<double> end =
            std::exp(poles[static_cast<std::size_t>(k)].exponent() * window.duration_s);
        c_(k) = 1.0 - end;
        d_(k) = -window.duration_s * end;
        scale_(k) = 1 / (std::abs(c_(k)) * std::sqrt(std::max(gram_(k, k).real(), 1e-300)));
    }
    own_ = c_.cwiseProduct(scale_.cast<std::complex<double>>());
    MatrixXcd ours = own_.conjugate().asDiagonal() * gram_;
    ours.adjointInPlace();
    ours = own_.conjugate().asDiagonal() * ours;
    // A hair on the diagonal: coinciding poles then cost as much as one.
    ours.diagonal().array() += 1e-13;
    factored_ = make_lower_factor(ours);
    factor_ = std::move(ours);
    data_ = lower_solved(factor_, own_.conjugate().asDiagonal() * products_.rightCols(data_.cols()));
}

Cost Trial::cost() const {
    const double doubt = inner_product_error * unscaled_amplitude().squaredNorm() + sum_error * data_power_;
    return {cost_value(), factored_ ? doubt : std::numeric_limits<double>::infinity()};
}

FitState Trial::state(const SplitColumns& against) const {
    const MatrixXcd products = adjoint_product(squares_of(resonances_), against);
    const MatrixXcd smooth = with_background(products);
    MatrixXcd mixed(count_, count_), squares(count_, count_); // u with u², u² with u²
    for (Index k = 0; k < count_; ++k)
        for (Index l = k; l < count_; ++l) {
            const std::complex<double> by_l = (std::conj(products(l, 0)) + both_(k, l)) * q_(k, l);
            const std::complex<double> by_k = (products(k, 0) + both_(k, l)) * q_(k, l);
            mixed(k, l) = by_l;
            mixed(l, k) = std::conj(by_k);
            squares(k, l) = (by_l + by_k) * q_(k, l);
            squares(l, k) = std::conj(squares(k, l));
        }
    mixed -= adjoint_product(smooth_, smooth);
    squares -= gram_of(smooth);
    const auto slope_of = [&](const auto& u, const auto& square) {
        return (d_.conjugate().asDiagonal() * u + c_.conjugate().asDiagonal() * square).eval();
    };
    const MatrixXcd u = slope_of(gram_, mixed.adjoint()).adjoint(),
                    square = slope_of(mixed, squares).adjoint();
    const Index positions = data_.cols();
    const MatrixXcd slopes = lower_solved(factor_, own_.conjugate().asDiagonal() * u);
    FitState made;
    made.gram = slope_of(u, square) - gram_of(slopes);
    made.along = slope_of(products_.rightCols(positions), products.rightCols(positions)) -
                 adjoint_times(slopes, data_);
    made.cost = cost_value();
    made.amplitude = scale_.asDiagonal() * unscaled_amplitude();
    return made;
}

/// The normal equations of a step.
struct Descent {
    MatrixXd normal;
    VectorXd slope;
    std::optional<Index> fixed; ///< the unknown that stays as it is

    VectorXd step(double damping) const {
        MatrixXd damped = normal;
        VectorXd down = slope;
        damped.diagonal() *= 1 + damping;
        damped.diagonal().array() += 1e-9;
        if (fixed) {
            damped.row(*fixed).setZero();
            damped.col(*fixed).setZero();
            damped(*fixed, *fixed) = 1;
            down(*fixed) = 0;
        }
        return symmetric_solved(damped, down);
    }
};

Descent descent_from(const FitState& at, const std::vector<Pole>& poles, std::optional<std::size_t> held) {
    Descent made{information(at, poles), downhill(at, poles), {}};
    if (held)
        made.fixed = static_cast<Index>(poles.size() + *held);
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
    at.slope = at.gram = at.along = {};
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

Cost move_to_minimum(const Window& window, std::vector<Pole>& poles, int iterations,
                     std::optional<std::size_t> held) {
    const double data_power = window.data.squaredNorm();
    if (poles.empty())
        return {data_power, 0};
    const MatrixXcd ones = MatrixXcd::Ones(window.hz.size(), 1);
    const SplitColumns against({&ones, &window.background, &window.data});
    Trial best(window, against, data_power, poles);
    std::optional<Descent> descent;
    double damping = 1e-3;
    for (int i = 0; i < iterations; ++i) {
        if (!descent)
            descent = descent_from(best.state(against), poles, held);
        std::vector<Pole> trial = moved(poles, descent->step(damping), window);
        Trial there(window, against, data_power, trial);
        const double gain = best.cost_value() - there.cost_value();
        if (gain > 0) {
            poles = std::move(trial);
            best = std::move(there);
            descent.reset();
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
    return best.cost();
}

Projection refine(const Window& window, std::vector<Pole>& poles, int iterations,
                  std::optional<std::size_t> held) {
    move_to_minimum(window, poles, iterations, held);
    return project_values(window, poles);
}

} // namespace ebbmark
