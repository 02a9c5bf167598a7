// SPDX-License-Identifier: GPL-3.0-or-later
#include "ringing/air_drift.hpp"

#include "algebra/dense.hpp"

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
constexpr double expected_shift = 0.0017;
constexpr std::complex<double> j(0, 1);

} // namespace

DriftEquations::DriftEquations(Index positions)
    : normal_(MatrixXd::Identity(positions, positions) / (expected_shift * expected_shift)),
      right_(VectorXd::Zero(positions)) {}

void DriftEquations::add(const FitState& at, const std::vector<Pole>& poles, double weight) {
    const auto count = static_cast<Index>(poles.size());
    const Index positions = right_.size();
    VectorXd omega(count), decay(count);
    for (Index k = 0; k < count; ++k) {
        omega(k) = tau * poles[static_cast<std::size_t>(k)].hz;
        decay(k) = poles[static_cast<std::size_t>(k)].decay_per_s;
    }
    MatrixXd cross(2 * count, positions); // poles against shifts
    VectorXd square(positions), slope(positions);
    for (Index p = 0; p < positions; ++p) {
        // The model's derivative by the shift is slope · weights.
        const VectorXcd weights = j * omega.cast<std::complex<double>>().cwiseProduct(at.amplitude.col(p));
        const VectorXcd inner = at.gram * weights;
        square(p) = 2 * weights.dot(inner).real();
        slope(p) = 2 * weights.dot(at.along.col(p)).real();
        const VectorXcd along = at.amplitude.col(p).conjugate().cwiseProduct(inner);
        cross.col(p).head(count) = 2 * tau * along.imag();
        cross.col(p).tail(count) = -2 * decay.cwiseProduct(along.real());
    }
    MatrixXd own = information(at, poles);
    own.diagonal().array() += 1e-3;
    normal_ +=
        weight * (MatrixXd(square.asDiagonal()) - transposed_product(cross, symmetric_solved(own, cross)));
    right_ += weight * (slope - cross.transpose() * symmetric_solved(own, downhill(at, poles)));
}

VectorXd DriftEquations::solve() const {
    VectorXd shift = symmetric_solved(normal_, right_);
    // What chance alone would give (chi-square of as many degrees as positions, four deviations up) is no
    // drift: taken as one, it would move all frequencies by its mean.
    const auto count = static_cast<double>(shift.size());
    if (right_.dot(shift) < count + 4 * std::sqrt(2 * count))
        return VectorXd::Zero(shift.size());
    shift.array() -= shift.mean();
    return shift;
}

} // namespace ebbmark
