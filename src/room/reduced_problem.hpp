// SPDX-License-Identifier: GPL-3.0-or-later
// A(f) = Σ c_k(f) A_k between few vectors: small, dense, quick.
#pragma once

#include "algebra/dense.hpp"
#include "room/cavity_matrices.hpp"

#include <complex>
#include <span>
#include <vector>

namespace ebbmark {

/// Wᵀ A_k W. With a real basis the terms are real.
template <class Scalar>
class ReducedProblem {
  public:
    using Matrix = Eigen::Matrix<Scalar, Eigen::Dynamic, Eigen::Dynamic>;

    ReducedProblem(std::span<const CavityTerm> terms, const Matrix& basis) : size_(basis.cols()) {
        // Row by row: a sparse matrix is gone through once for all columns.
        using Rows = Eigen::Matrix<Scalar, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;
        const Rows rows = basis;
        for (const CavityTerm& term : terms) {
            const Rows part = touched(term, rows), applied = term.matrix * part;
            terms_.push_back(part.transpose() * applied);
        }
    }

    Eigen::Index size() const { return size_; }
    Eigen::MatrixXcd sum(const std::vector<std::complex<double>>& factors) const;

  private:
    Eigen::Index size_;
    std::vector<Matrix> terms_;
};

template <>
inline Eigen::MatrixXcd ReducedProblem<double>::sum(const std::vector<std::complex<double>>& factors) const {
    Eigen::MatrixXd real = Eigen::MatrixXd::Zero(size_, size_), imaginary = real;
    for (std::size_t t = 0; t < terms_.size(); ++t) {
        real += factors[t].real() * terms_[t];
        if (factors[t].imag() != 0)
            imaginary += factors[t].imag() * terms_[t];
    }
    Eigen::MatrixXcd result(size_, size_);
    result.real() = real;
    result.imag() = imaginary;
    return result;
}

template <>
inline Eigen::MatrixXcd
ReducedProblem<std::complex<double>>::sum(const std::vector<std::complex<double>>& factors) const {
    Eigen::MatrixXcd result = Eigen::MatrixXcd::Zero(size_, size_);
    for (std::size_t t = 0; t < terms_.size(); ++t)
        result += factors[t] * terms_[t];
    return result;
}

/// Rayleigh quotient iteration with xᵀ A x: the left vector of a symmetric problem is xᵀ, not xᴴ. `hz` and
/// `x` are the start and then the result. False where it does not converge.
template <class Scalar>
bool refine(const ReducedProblem<Scalar>& problem, std::span<const CavityTerm> terms,
            const CavityMedia& media, std::complex<double>& hz, Eigen::VectorXcd& x) {
    using Complex = std::complex<double>;
    constexpr double near_enough = 1e-5; // of Newton's last step; the next would be its square or less
    x.normalize();
    double change = 1;
    for (int step = 0; step < 12 && change > near_enough; ++step) {
        const auto factors = coefficients(terms, hz, media);
        const Eigen::VectorXcd right = problem.sum(factors.slopes) * x;
        const Eigen::VectorXcd next = Factored(problem.sum(factors.values)).solve(right);
        // Newton's step with the vector so far, xᵀ A' x over xᵀ A' A⁻¹ A' x.
        const Complex step_hz = -((x.transpose() * right).value() / (right.transpose() * next).value());
        x = next.normalized();
        hz += step_hz;
        change = std::abs(step_hz) / std::abs(hz);
        if (!(hz.real() > 0) || !std::isfinite(change))
            return false;
    }
    // The quotient is stationary: what is wrong by e in the vector is wrong by e² here.
    const auto factors = coefficients(terms, hz, media);
    const Complex value = (x.transpose() * (problem.sum(factors.values) * x)).value();
    hz -= value / (x.transpose() * (problem.sum(factors.slopes) * x)).value();
    return change <= near_enough && std::isfinite(hz.imag());
}

} // namespace ebbmark
