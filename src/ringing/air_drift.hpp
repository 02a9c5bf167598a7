// SPDX-License-Identifier: GPL-3.0-or-later
// The air warms or cools while one position after the other is measured; all modes of a position then lie
// higher or lower by one factor.
#pragma once

#include "ringing/window_fit.hpp"

namespace ebbmark {

/// Normal equations for the relative frequency shift of each position.
class DriftEquations {
  public:
    explicit DriftEquations(Eigen::Index positions);

    /// What one window's fit says, all its poles free. `weight` 1 where it leaves noise only.
    void add(const FitState& at, const std::vector<Pole>& poles, double weight);

    /// Shifts with mean 0, each expected within 0.17 % (1 °C: √(294.15/293.15)).
    Eigen::VectorXd solve() const;

  private:
    Eigen::MatrixXd normal_;
    Eigen::VectorXd right_;
};

} // namespace ebbmark
