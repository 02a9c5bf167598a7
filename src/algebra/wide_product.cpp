// SPDX-License-Identifier: GPL-3.0-or-later
#include "algebra/wide_product.hpp"

#include <algorithm>
#include <array>
#include <complex>
#include <vector>

// Copies of the inner loop, of which the processor's own is taken at the program's start. None multiplies and
// adds in one step, which would round once less.
#if defined(__x86_64__) && defined(__gnu_linux__) && !defined(__SANITIZE_ADDRESS__)
#define EBBMARK_WIDE __attribute__((target_clones("avx512f", "avx2", "default")))
#else
#define EBBMARK_WIDE
#endif

namespace ebbmark {

namespace {

using Eigen::Index;
using ConstMatrix = Eigen::Ref<const Eigen::MatrixXcd>;

constexpr Index rows_at_once = 8, columns_at_once = 4;
typedef double Lanes
    __attribute__((vector_size(rows_at_once * sizeof(double)), aligned(alignof(double)), may_alias));

/// Rows of A in groups: for each inner index first the real, then the imaginary parts of a group.
std::vector<double> row_groups(const ConstMatrix& a) {
    const Index groups = (a.rows() + rows_at_once - 1) / rows_at_once;
    std::vector<double> packed(static_cast<std::size_t>(groups * a.cols() * 2 * rows_at_once));
    for (Index row = 0; row < a.rows(); ++row) {
        double* to = packed.data() + (row / rows_at_once) * a.cols() * 2 * rows_at_once + row % rows_at_once;
        for (Index k = 0; k < a.cols(); ++k, to += 2 * rows_at_once)
            to[0] = a(row, k).real(), to[rows_at_once] = a(row, k).imag();
    }
    return packed;
}

/// A group of columns of B, filled up with zeros: for each inner index real and imaginary part of each.
void pack_columns(const ConstMatrix& b, Index from, std::vector<double>& packed) {
    std::fill(packed.begin(), packed.end(), 0);
    for (Index column = 0; column < std::min(columns_at_once, b.cols() - from); ++column)
        for (Index k = 0; k < b.rows(); ++k) {
            double* to = packed.data() + 2 * (k * columns_at_once + column);
            to[0] = b(k, from + column).real(), to[1] = b(k, from + column).imag();
        }
}

/// Real, then imaginary parts of a group of rows, for each of a group of columns.
EBBMARK_WIDE void group_product(const double* a, const double* b, Index inner, double* sums) {
    Lanes real[columns_at_once] = {}, imaginary[columns_at_once] = {};
    for (Index k = 0; k < inner; ++k, a += 2 * rows_at_once, b += 2 * columns_at_once) {
        const Lanes x = *reinterpret_cast<const Lanes*>(a);
        const Lanes y = *reinterpret_cast<const Lanes*>(a + rows_at_once);
        for (Index column = 0; column < columns_at_once; ++column) {
            real[column] += x * b[2 * column] - y * b[2 * column + 1];
            imaginary[column] += x * b[2 * column + 1] + y * b[2 * column];
        }
    }
    for (Index column = 0; column < columns_at_once; ++column) {
        *reinterpret_cast<Lanes*>(sums + 2 * column * rows_at_once) = real[column];
        *reinterpret_cast<Lanes*>(sums + (2 * column + 1) * rows_at_once) = imaginary[column];
    }
}

constexpr Index pairs = rows_at_once / 2; ///< complex numbers side by side

/// y less four columns times four factors.
EBBMARK_WIDE void subtract_columns(const double* const* columns, const double* factors, Index rows,
                                   double* y) {
    Lanes straight[columns_at_once], crossed[columns_at_once];
    for (Index c = 0; c < columns_at_once; ++c)
        for (Index lane = 0; lane < rows_at_once; ++lane) {
            straight[c][lane] = factors[2 * c];
            crossed[c][lane] = lane % 2 == 0 ? -factors[2 * c + 1] : factors[2 * c + 1];
        }
    const Index whole = rows / pairs * pairs;
    for (Index n = 0; n < 2 * whole; n += rows_at_once) {
        Lanes sum = *reinterpret_cast<Lanes*>(y + n);
        for (Index c = 0; c < columns_at_once; ++c) {
            const Lanes a = *reinterpret_cast<const Lanes*>(columns[c] + n);
            sum -= a * straight[c] + __builtin_shufflevector(a, a, 1, 0, 3, 2, 5, 4, 7, 6) * crossed[c];
        }
        *reinterpret_cast<Lanes*>(y + n) = sum;
    }
    for (Index n = 2 * whole; n < 2 * rows; n += 2)
        for (Index c = 0; c < columns_at_once; ++c) {
            const double* a = columns[c] + n;
            y[n] -= a[0] * factors[2 * c] - a[1] * factors[2 * c + 1];
            y[n + 1] -= a[1] * factors[2 * c] + a[0] * factors[2 * c + 1];
        }
}

/// Four columns times x, without conjugation: real and imaginary part of each.
EBBMARK_WIDE void column_products(const double* const* columns, const double* x, Index rows, double* sums) {
    Lanes straight[columns_at_once] = {}, crossed[columns_at_once] = {};
    const Index whole = rows / pairs * pairs;
    for (Index n = 0; n < 2 * whole; n += rows_at_once) {
        const Lanes value = *reinterpret_cast<const Lanes*>(x + n);
        const Lanes other = __builtin_shufflevector(value, value, 1, 0, 3, 2, 5, 4, 7, 6);
        for (Index c = 0; c < columns_at_once; ++c) {
            const Lanes a = *reinterpret_cast<const Lanes*>(columns[c] + n);
            straight[c] += a * value;
            crossed[c] += a * other;
        }
    }
    for (Index c = 0; c < columns_at_once; ++c) {
        double real = 0, imaginary = 0;
        for (Index lane = 0; lane < rows_at_once; lane += 2) {
            real += straight[c][lane] - straight[c][lane + 1];
            imaginary += crossed[c][lane] + crossed[c][lane + 1];
        }
        for (Index n = 2 * whole; n < 2 * rows; n += 2) {
            real += columns[c][n] * x[n] - columns[c][n + 1] * x[n + 1];
            imaginary += columns[c][n] * x[n + 1] + columns[c][n + 1] * x[n];
        }
        sums[2 * c] = real, sums[2 * c + 1] = imaginary;
    }
}

const double* as_doubles(const std::complex<double>* of) {
    return reinterpret_cast<const double*>(of);
}

/// Up to four columns from `first` on; where there are fewer the last one stands for those that lack.
std::array<const double*, columns_at_once> four_columns(const ConstMatrix& a, Index first) {
    std::array<const double*, columns_at_once> columns{};
    for (Index c = 0; c < columns_at_once; ++c)
        columns[static_cast<std::size_t>(c)] =
            as_doubles(a.data() + std::min(first + c, a.cols() - 1) * a.outerStride());
    return columns;
}

} // namespace

void subtract_applied(Eigen::Ref<Eigen::VectorXcd> from, const ConstMatrix& a,
                      const Eigen::Ref<const Eigen::VectorXcd>& x) {
    for (Index first = 0; first < a.cols(); first += columns_at_once) {
        double factors[2 * columns_at_once] = {};
        for (Index c = 0; c < std::min(columns_at_once, a.cols() - first); ++c)
            factors[2 * c] = x(first + c).real(), factors[2 * c + 1] = x(first + c).imag();
        subtract_columns(four_columns(a, first).data(), factors, a.rows(),
                         reinterpret_cast<double*>(from.data()));
    }
}

void subtract_transposed_applied(Eigen::Ref<Eigen::VectorXcd> from, const ConstMatrix& a,
                                 const Eigen::Ref<const Eigen::VectorXcd>& x) {
    double sums[2 * columns_at_once];
    for (Index first = 0; first < a.cols(); first += columns_at_once) {
        column_products(four_columns(a, first).data(), as_doubles(x.data()), a.rows(), sums);
        for (Index c = 0; c < std::min(columns_at_once, a.cols() - first); ++c)
            from(first + c) -= std::complex<double>(sums[2 * c], sums[2 * c + 1]);
    }
}

void subtract_product(Eigen::Ref<Eigen::MatrixXcd> from, const ConstMatrix& a, const ConstMatrix& b,
                      Entries entries) {
    const Index inner = a.cols();
    const std::vector<double> groups = row_groups(a);
    std::vector<double> columns(static_cast<std::size_t>(2 * columns_at_once * inner));
    double sums[2 * rows_at_once * columns_at_once];
    for (Index first = 0; first < b.cols(); first += columns_at_once) {
        pack_columns(b, first, columns);
        const Index top = entries == Entries::lower ? first / rows_at_once * rows_at_once : 0;
        for (Index row = top; row < a.rows(); row += rows_at_once) {
            group_product(groups.data() + row * inner * 2, columns.data(), inner, sums);
            for (Index column = 0; column < std::min(columns_at_once, b.cols() - first); ++column)
                for (Index i = entries == Entries::lower ? std::max<Index>(0, first + column - row) : 0;
                     i < std::min(rows_at_once, a.rows() - row); ++i)
                    from(row + i, first + column) -= std::complex<double>(
                        sums[2 * column * rows_at_once + i], sums[(2 * column + 1) * rows_at_once + i]);
        }
    }
}

} // namespace ebbmark
