// SPDX-License-Identifier: GPL-3.0-or-later
#include "ringing/hidden_modes.hpp"

#include "algebra/dense.hpp"
#include "base/order_statistics.hpp"
#include "ringing/order_search.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace ebbmark {

namespace {

using Eigen::Index;
using Eigen::MatrixXcd;
using Eigen::MatrixXd;
using Eigen::VectorXd;

/// Modes per hertz in a small room: only its order of magnitude matters here.
double modes_per_hz(double hz) {
    constexpr double volume_m3 = 40, edge_m = 3.42, c = 343; // a cube's edge
    return 4 * std::numbers::pi * volume_m3 * hz * hz / (c * c * c) +
           std::numbers::pi / 2 * 6 * edge_m * edge_m * hz / (c * c) + 12 * edge_m / (8 * c);
}

/// Share of the field's power that counts. Chosen on tuning scenes so that normalised errors have a standard
/// deviation of 1; a single position separates neighbours by time alone and misses more.
double power_share(Index positions) {
    const auto count = static_cast<double>(positions);
    return std::max(0.2, 1.2 / (count * count));
}

/// P(gamma variate of shape n < x).
double gamma_below(Index n, double x) {
    double term = std::exp(-x), above = term;
    for (Index k = 1; k < n; ++k)
        above += term *= x / static_cast<double>(k);
    return std::max(0.0, 1 - above);
}

MatrixXcd beside(const MatrixXcd& basis, const MatrixXcd& columns) {
    return columns - product(basis, adjoint_times(basis, columns));
}

} // namespace

MatrixXd information_with_hidden(const Window& window, const Projection& at, const std::vector<Pole>& poles) {
    const Index positions = window.data.cols();
    std::vector<double> decays, powers;
    for (std::size_t k = 0; k < poles.size(); ++k) {
        decays.push_back(poles[k].decay_per_s);
        powers.push_back(at.amplitude.row(static_cast<Index>(k)).squaredNorm() /
                         static_cast<double>(positions));
    }
    const Pole typical{0, upper_median(decays)};
    const double power = upper_median(powers), step = 0.5 * typical.half_power_hz();
    std::vector<Pole> places;
    for (double hz = window.hz(0); hz <= window.hz(window.hz.size() - 1); hz += step)
        places.push_back({hz, typical.decay_per_s});
    MatrixXcd field = exponentials(window.hz, places, window.duration_s).value;
    field = beside(at.basis, beside(window.background, field));
    const VectorXd visible = beside(thin_qr(at.slope).basis, field).colwise().squaredNorm();
    const double limit = order_threshold(window.hz.size(), positions);
    for (Index k = 0; k < field.cols(); ++k) {
        // A mode with complex normal amplitudes of this power at each position stays unseen with the first,
        // and then has on average the second as its share of power.
        const double unseen_power = gamma_below(positions + 1, limit / (power * visible(k)));
        const double hz = places[static_cast<std::size_t>(k)].hz;
        field.col(k) *= std::sqrt(power_share(positions) * power * modes_per_hz(hz) * step * unseen_power);
    }
    MatrixXcd inner = adjoint_times(field, field);
    inner.diagonal().array() += 1;
    const MatrixXcd cross = adjoint_times(field, at.slope);
    const MatrixXcd gram = at.gram - adjoint_times(cross, positive_solved(inner, cross));
    return information({at.amplitude, gram, {}, 0}, poles);
}

} // namespace ebbmark
