// SPDX-License-Identifier: GPL-3.0-or-later
#include "ringing/adjoint_product.hpp"

#include <algorithm>
#include <complex>

// Two copies of the inner loop, of which the processor's own is taken at the program's start. Neither
// multiplies and adds in one step, which would round once less.
#if defined(__x86_64__) && defined(__gnu_linux__) && !defined(__SANITIZE_ADDRESS__)
#define EBBMARK_WIDE __attribute__((target_clones("avx2", "default")))
#else
#define EBBMARK_WIDE
#endif

namespace ebbmark {

namespace {

using Eigen::Index;
using Eigen::MatrixXcd;

constexpr Index lanes = 4;
// A typedef: in an alias clang takes no alignment below the vector's own, and columns have only that of a
// double.
typedef double Lanes
    __attribute__((vector_size(lanes * sizeof(double)), aligned(alignof(double)), may_alias));

struct Split {
    const double* real;
    const double* imag;
};

/// conj(a)·b and conj(a)·c, real and imaginary parts of both.
EBBMARK_WIDE void two_inner_products(Split a, Split b, Split c, Index padded, double* sums) {
    Lanes b_real = {}, b_imag = {}, c_real = {}, c_imag = {};
    for (Index n = 0; n < padded; n += lanes) {
        const Lanes x = *reinterpret_cast<const Lanes*>(a.real + n);
        const Lanes y = *reinterpret_cast<const Lanes*>(a.imag + n);
        const Lanes p = *reinterpret_cast<const Lanes*>(b.real + n);
        const Lanes q = *reinterpret_cast<const Lanes*>(b.imag + n);
        const Lanes r = *reinterpret_cast<const Lanes*>(c.real + n);
        const Lanes s = *reinterpret_cast<const Lanes*>(c.imag + n);
        b_real += x * p + y * q;
        b_imag += x * q - y * p;
        c_real += x * r + y * s;
        c_imag += x * s - y * r;
    }
    const auto sum = [](const Lanes& value) { return (value[0] + value[1]) + (value[2] + value[3]); };
    sums[0] = sum(b_real), sums[1] = sum(b_imag), sums[2] = sum(c_real), sums[3] = sum(c_imag);
}

Split column(const SplitColumns& of, Index index) {
    return {of.real(index), of.imag(index)};
}

Index padded(Index rows) {
    return (rows + lanes - 1) / lanes * lanes;
}

Index columns_of(std::initializer_list<const MatrixXcd*> parts) {
    Index sum = 0;
    for (const MatrixXcd* part : parts)
        sum += part->cols();
    return sum;
}

} // namespace

SplitColumns::SplitColumns(Index rows, Index columns)
    : rows_(rows), columns_(columns), padded_(padded(rows)),
      values_(static_cast<std::size_t>(2 * padded_ * columns)) {}

SplitColumns::SplitColumns(std::initializer_list<const MatrixXcd*> parts)
    : SplitColumns((*parts.begin())->rows(), columns_of(parts)) {
    Index to = 0;
    for (const MatrixXcd* part : parts)
        for (Index from = 0; from < part->cols(); ++from, ++to)
            for (Index n = 0; n < rows_; ++n) {
                real(to)[n] = (*part)(n, from).real();
                imag(to)[n] = (*part)(n, from).imag();
            }
}

MatrixXcd adjoint_product(const SplitColumns& a, const SplitColumns& b) {
    MatrixXcd made(a.columns(), b.columns());
    double sums[4];
    for (Index i = 0; i < a.columns(); ++i)
        for (Index j = 0; j < b.columns(); j += 2) {
            const Index next = std::min(j + 1, b.columns() - 1);
            two_inner_products(column(a, i), column(b, j), column(b, next), padded(a.rows()), sums);
            made(i, j) = {sums[0], sums[1]};
            made(i, next) = {sums[2], sums[3]};
        }
    return made;
}

MatrixXcd adjoint_product(const MatrixXcd& a, const MatrixXcd& b) {
    return adjoint_product(SplitColumns({&a}), SplitColumns({&b}));
}

MatrixXcd gram_of(const MatrixXcd& matrix) {
    const SplitColumns a({&matrix});
    MatrixXcd made(a.columns(), a.columns());
    double sums[4];
    for (Index i = 0; i < a.columns(); ++i)
        for (Index j = i; j < a.columns(); j += 2) {
            const Index next = std::min(j + 1, a.columns() - 1);
            two_inner_products(column(a, i), column(a, j), column(a, next), padded(a.rows()), sums);
            made(i, j) = {sums[0], sums[1]};
            made(i, next) = {sums[2], sums[3]};
            made(j, i) = std::conj(made(i, j));
            made(next, i) = std::conj(made(i, next));
        }
    return made;
}

} // namespace ebbmark
