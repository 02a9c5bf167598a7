// SPDX-License-Identifier: GPL-3.0-or-later
#include "algebra/dense.hpp"
#include "algebra/wide_product.hpp"
#include "base/random.hpp"

#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <numbers>

using namespace ebbmark;
using Eigen::Index;
using Eigen::MatrixXcd;
using Eigen::MatrixXd;
using Eigen::VectorXcd;
using Eigen::VectorXd;

namespace {

constexpr Index size = 7;
// Backward error of these factorisations: a small multiple of n ε |A| (N. J. Higham, Accuracy and Stability
// of Numerical Algorithms, chapters 9, 10, 19); the matrices here are of norm about 10 and well conditioned.
constexpr double rounding = 1e-12;

MatrixXcd drawn(Index rows, Index columns, std::uint64_t seed) {
    Random random(seed);
    MatrixXcd made(rows, columns);
    for (Index k = 0; k < columns; ++k)
        for (Index n = 0; n < rows; ++n)
            made(n, k) = random.normal_pair();
    return made;
}

MatrixXcd positive(std::uint64_t seed) {
    const MatrixXcd root = drawn(size + 3, size, seed);
    return adjoint_times(root, root);
}

/// Sum written out, term by term.
template <class Matrix>
Matrix times(const Matrix& a, const Matrix& b) {
    Matrix made = Matrix::Zero(a.rows(), b.cols());
    for (Index i = 0; i < a.rows(); ++i)
        for (Index k = 0; k < b.cols(); ++k)
            for (Index n = 0; n < a.cols(); ++n)
                made(i, k) += a(i, n) * b(n, k);
    return made;
}

template <class Matrix>
double apart(const Matrix& a, const Matrix& b) {
    REQUIRE(a.rows() == b.rows());
    REQUIRE(a.cols() == b.cols());
    return (a - b).cwiseAbs().maxCoeff();
}

/// −1 2 −1 along the diagonals: a chain of equal masses and springs between walls.
MatrixXd chain() {
    MatrixXd made = MatrixXd::Zero(size, size);
    for (Index i = 0; i < size; ++i) {
        made(i, i) = 2;
        if (i > 0)
            made(i, i - 1) = made(i - 1, i) = -1;
    }
    return made;
}

} // namespace

TEST_CASE("eigenvalues of a chain of masses are those of the closed form") {
    // Source: closed form, 2 − 2 cos(kπ/(n + 1)), k = 1 … n: the chain's normal modes.
    const auto found = symmetric_eigen_of(chain());
    const auto hermitian = symmetric_eigen_of(MatrixXcd(chain().cast<std::complex<double>>()));
    for (Index k = 0; k < size; ++k) {
        const double expected = 2 - 2 * std::cos(static_cast<double>(k + 1) * std::numbers::pi / (size + 1));
        CHECK(std::abs(found.values(k) - expected) < rounding);
        CHECK(std::abs(hermitian.values(k) - expected) < rounding);
    }
    CHECK(apart<MatrixXd>(times<MatrixXd>(chain(), found.vectors),
                          times<MatrixXd>(found.vectors, found.values.asDiagonal().toDenseMatrix())) <
          rounding);
    // Twice the mass at each place: half the eigenvalues, vectors orthonormal in the mass.
    const MatrixXd mass = 2 * MatrixXd::Identity(size, size);
    const auto heavier = symmetric_eigen_of(chain(), mass);
    CHECK((2 * heavier.values - found.values).cwiseAbs().maxCoeff() < rounding);
    CHECK(apart<MatrixXd>(transposed_product(heavier.vectors, product(mass, heavier.vectors)),
                          MatrixXd::Identity(size, size)) < rounding);
}

TEST_CASE(
    "eigenvalues of a complex matrix: the trace is their sum, and each vector only changes its length") {
    // Source: definition.
    const MatrixXcd matrix = drawn(size, size, 1);
    const ComplexEigen found = eigen_of(matrix);
    CHECK(std::abs(found.values.sum() - matrix.trace()) < rounding);
    CHECK(eigenvalues_of(matrix) == found.values);
    CHECK(apart<MatrixXcd>(times<MatrixXcd>(matrix, found.vectors),
                           found.vectors * found.values.asDiagonal()) < rounding);
}

TEST_CASE("solutions put back give the right side") {
    // Source: definition.
    const MatrixXcd matrix = drawn(size, size, 2), right = drawn(size, 3, 3);
    const Factored factored(matrix);
    CHECK(apart<MatrixXcd>(times<MatrixXcd>(matrix, factored.solve(right)), right) < rounding);
    const VectorXcd column = right.col(1);
    CHECK(apart<MatrixXcd>(factored.solve(column), factored.solve(right).col(1)) < rounding);
    const MatrixXd inverse = inverse_of(chain());
    CHECK(apart<MatrixXd>(times<MatrixXd>(inverse, chain()), MatrixXd::Identity(size, size)) < rounding);

    const MatrixXd rights = right.real();
    CHECK(apart<MatrixXd>(times<MatrixXd>(chain(), symmetric_solved(chain(), rights)), rights) < rounding);
    CHECK(apart<MatrixXd>(symmetric_solved(chain(), VectorXd(rights.col(0))), inverse * rights.col(0)) <
          rounding);
    CHECK(apart<MatrixXcd>(times<MatrixXcd>(positive(4), positive_solved(positive(4), right)), right) <
          10 * rounding);
}

TEST_CASE("a triangle factored out gives the matrix back, and its solutions the right side") {
    // Source: definition.
    const MatrixXcd matrix = positive(5), right = drawn(size, 2, 6);
    MatrixXcd lower = matrix;
    CHECK(make_lower_factor(lower));
    CHECK(lower(0, 1) == 0.0);
    MatrixXcd negative = -matrix;
    CHECK(!make_lower_factor(negative));
    CHECK(apart<MatrixXcd>(times<MatrixXcd>(lower, lower.adjoint()), matrix) < 10 * rounding);
    CHECK(apart<MatrixXcd>(times<MatrixXcd>(lower, lower_solved(lower, right)), right) < rounding);
    CHECK(apart<MatrixXcd>(times<MatrixXcd>(lower.adjoint(), adjoint_lower_solved(lower, right)), right) <
          rounding);
    CHECK(apart<MatrixXcd>(times<MatrixXcd>(lower.adjoint(), upper_solved(lower.adjoint(), right)), right) <
          rounding);
}

TEST_CASE("orthonormal columns span what the given ones span") {
    // Source: definition.
    const MatrixXcd tall = drawn(11, size, 7);
    const ThinQr qr = thin_qr(tall);
    CHECK(apart<MatrixXcd>(adjoint_times(qr.basis, qr.basis), MatrixXcd::Identity(size, size)) < rounding);
    MatrixXcd triangle = qr.triangle;
    for (Index k = 0; k < size; ++k)
        triangle.col(k).tail(size - 1 - k).setZero();
    CHECK(apart<MatrixXcd>(times<MatrixXcd>(qr.basis, triangle), tall) < rounding);
    CHECK(thin_qr(tall.transpose()).basis.cols() == size);

    // What least squares leaves is orthogonal to the columns.
    const MatrixXcd right = drawn(11, 2, 8);
    const MatrixXcd left = right - times<MatrixXcd>(tall, least_squares(tall, right));
    CHECK(adjoint_times(tall, left).cwiseAbs().maxCoeff() < rounding);

    const MatrixXd real = tall.real(), basis = orthonormal(real);
    CHECK(apart<MatrixXd>(transposed_product(basis, basis), MatrixXd::Identity(size, size)) < rounding);
    CHECK(apart<MatrixXd>(times<MatrixXd>(basis, transposed_product(basis, real)), real) < rounding);
}

TEST_CASE("products are the sums written out") {
    const MatrixXcd a = drawn(5, size, 9), b = drawn(size, 4, 10), c = drawn(5, 4, 11);
    CHECK(apart<MatrixXcd>(product(a, b), times<MatrixXcd>(a, b)) < rounding);
    const MatrixXd x = a.real(), y = b.real(), z = c.real();
    CHECK(apart<MatrixXd>(product(x, y), times<MatrixXd>(x, y)) < rounding);
    CHECK(apart<MatrixXcd>(adjoint_times(a, c), times<MatrixXcd>(a.adjoint(), c)) < rounding);
    CHECK(apart<MatrixXd>(transposed_product(x, z), times<MatrixXd>(x.transpose(), z)) < rounding);
    const MatrixXd weighted = 3 * x;
    CHECK(apart<MatrixXd>(symmetric_product(weighted, x), times<MatrixXd>(weighted, x.transpose())) <
          rounding);

    MatrixXcd square = MatrixXcd::Ones(5, 5), less = square;
    add_lower_square(square, a);
    subtract_lower_product(less, a, a.adjoint());
    const MatrixXcd whole = times<MatrixXcd>(a, a.adjoint());
    for (Index k = 0; k < 5; ++k)
        for (Index i = 0; i < 5; ++i) {
            CHECK(std::abs(square(i, k) - 1.0 - (i >= k ? whole(i, k) : 0)) < rounding);
            CHECK(std::abs(less(i, k) - 1.0 + (i >= k ? whole(i, k) : 0)) < rounding);
        }
}

TEST_CASE("wide products are the sums written out, for sizes beside whole lanes too") {
    for (const auto& [rows, inner, columns] :
         {std::array<Index, 3>{1, 1, 1}, {3, 5, 2}, {8, 4, 4}, {17, 30, 11}}) {
        const MatrixXcd a = drawn(rows, inner, 1), b = drawn(inner, columns, 2),
                        from = drawn(rows, columns, 3);
        MatrixXcd all = from, lower = from;
        subtract_product(all, a, b);
        subtract_product(lower, a, b, Entries::lower);
        CHECK(apart<MatrixXcd>(all, from - times(a, b)) < rounding);
        for (Index i = 0; i < rows; ++i)
            for (Index k = 0; k < columns; ++k)
                CHECK(std::abs(lower(i, k) - (i >= k ? all(i, k) : from(i, k))) < rounding);
        VectorXcd applied = from.col(0);
        subtract_applied(applied, a, b.col(0));
        CHECK((applied - all.col(0)).cwiseAbs().maxCoeff() < rounding);
        VectorXcd turned = drawn(inner, 1, 4).col(0);
        const VectorXcd was = turned;
        subtract_transposed_applied(turned, a, from.col(0));
        CHECK((turned - (was - times<MatrixXcd>(a.transpose(), from.leftCols(1)).col(0)))
                  .cwiseAbs()
                  .maxCoeff() < rounding);
    }
}

TEST_CASE("factors of a system larger than a block solve it, vectors and matrices alike") {
    constexpr Index large = 90;
    const MatrixXcd a = drawn(large, large, 5), b = drawn(large, 3, 6);
    const Factored factors(a);
    const MatrixXcd x = factors.solve(b);
    CHECK(apart<MatrixXcd>(times(a, x), b) < 1e-10); // of condition about n: property of such draws
    CHECK((factors.solve(VectorXcd(b.col(1))) - x.col(1)).cwiseAbs().maxCoeff() < 1e-10);
}
