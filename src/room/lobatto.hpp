// SPDX-License-Identifier: GPL-3.0-or-later
// One-dimensional pieces of high-order finite elements. The functions of one element are the two linear ones
// of its ends and, inside, those polynomials that vanish at both ends and diagonalise mass and stiffness: the
// space is that of Lagrange's polynomials on Gauss and Lobatto's nodes, the matrices are far emptier.
#pragma once

#include <Eigen/Dense>

namespace ebbmark {

/// On the reference interval [−1, 1], of one polynomial order; integrals are exact.
struct LobattoElement {
    Eigen::VectorXd nodes;     ///< order + 1, with both ends: the roots of (1 − x²) P'(x)
    Eigen::MatrixXd mass;      ///< ∫ φ_i φ_j dx; functions: left end, inner ones, right end
    Eigen::MatrixXd stiffness; ///< ∫ φ_i' φ_j' dx
    Eigen::MatrixXd modal;     ///< Legendre coefficients of each function, by column

    /// The functions at x.
    Eigen::VectorXd values_at(double x) const;
};

/// Order 1 to 20. The same object for every call.
const LobattoElement& lobatto_element(int order);

} // namespace ebbmark
