// SPDX-License-Identifier: GPL-3.0-or-later
#include "room/lobatto.hpp"

#include "algebra/dense.hpp"

#include <array>
#include <cmath>
#include <numbers>

namespace ebbmark {

namespace {

using Matrix = Eigen::MatrixXd;
using Vector = Eigen::VectorXd;
using Index = Eigen::Index;

struct Legendre {
    Vector values, slopes; ///< P_0 … P_order and their derivatives
};

Legendre legendre(int order, double x) {
    Legendre p{Vector::Ones(order + 1), Vector::Zero(order + 1)};
    if (order > 0)
        p.values(1) = x, p.slopes(1) = 1;
    for (Index n = 2; n <= order; ++n) {
        const auto m = static_cast<double>(n);
        p.values(n) = ((2 * m - 1) * x * p.values(n - 1) - (m - 1) * p.values(n - 2)) / m;
        p.slopes(n) = p.slopes(n - 2) + (2 * m - 1) * p.values(n - 1);
    }
    return p;
}

/// Roots of (1 − x²) P' by Newton's method, from Chebyshev's.
Vector lobatto_nodes(int order) {
    Vector nodes(order + 1);
    const double n = order;
    for (Index i = 0; i <= order; ++i) {
        double x = -std::cos(std::numbers::pi * static_cast<double>(i) / n);
        for (int step = 0; step < 100 && i > 0 && i < order; ++step) {
            const Legendre p = legendre(order, x);
            // (1 − x²) P'' = 2 x P' − n (n + 1) P
            const double slope = p.slopes(order);
            const double bend = (2 * x * slope - n * (n + 1) * p.values(order)) / (1 - x * x);
            x -= slope / bend;
        }
        nodes(i) = x;
    }
    return nodes;
}

/// Values at the nodes of each function, by column.
Matrix functions(const Vector& nodes, const Matrix& mass, const Matrix& stiffness) {
    const Index order = nodes.size() - 1, inner = order - 1;
    Matrix result = Matrix::Zero(order + 1, order + 1);
    result.col(0) = (1 - nodes.array()) / 2;
    result.col(order) = (1 + nodes.array()) / 2;
    if (inner > 0) {
        result.block(1, 1, inner, inner) =
            symmetric_eigen_of(stiffness.block(1, 1, inner, inner), mass.block(1, 1, inner, inner)).vectors;
    }
    return result;
}

/// What is 0 but for rounding is 0.
Matrix emptied(Matrix matrix) {
    const double largest = matrix.cwiseAbs().maxCoeff();
    return matrix.unaryExpr([=](double entry) { return std::abs(entry) < 1e-12 * largest ? 0 : entry; });
}

LobattoElement make(int order) {
    LobattoElement element;
    element.nodes = lobatto_nodes(order);
    Matrix values(order + 1, order + 1), slopes(order + 1, order + 1); // nodes × polynomials
    Matrix squares = Matrix::Zero(order + 1, order + 1);               // ∫ P_m P_n
    for (Index i = 0; i <= order; ++i) {
        const Legendre p = legendre(order, element.nodes(i));
        values.row(i) = p.values.transpose();
        slopes.row(i) = p.slopes.transpose();
        squares(i, i) = 2.0 / (2.0 * static_cast<double>(i) + 1);
    }
    const Matrix lagrange = inverse_of(values); // Legendre coefficients
    const Matrix mass = transposed_product(lagrange, product(squares, lagrange));
    const Matrix derivative = product(slopes, lagrange); // values at the nodes of each l'
    const Matrix stiffness = transposed_product(derivative, product(mass, derivative));
    const Matrix change = functions(element.nodes, mass, stiffness);
    element.modal = product(lagrange, change);
    element.mass = emptied(transposed_product(change, product(mass, change)));
    element.stiffness = emptied(transposed_product(change, product(stiffness, change)));
    return element;
}

} // namespace

Eigen::VectorXd LobattoElement::values_at(double x) const {
    return modal.transpose() * legendre(static_cast<int>(nodes.size()) - 1, x).values;
}

const LobattoElement& lobatto_element(int order) {
    static const auto elements = [] {
        std::array<LobattoElement, 21> all;
        for (int i = 1; i <= 20; ++i)
            all[static_cast<std::size_t>(i)] = make(i);
        return all;
    }();
    return elements.at(static_cast<std::size_t>(order));
}

} // namespace ebbmark
