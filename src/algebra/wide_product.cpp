// SPDX-License-Identifier: GPL-3.0-or-later
#include "algebra/wide_product.hpp"

#include <algorithm>
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

} // namespace

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
