// SPDX-License-Identifier: GPL-3.0-or-later
// Inner products of tall, narrow complex matrices, where a fit spends its time. The order of each sum is
// fixed, four lanes of it, so that every processor gives the same bytes, however wide its registers.
#pragma once

#include <Eigen/Core>
#include <initializer_list>
#include <vector>

namespace ebbmark {

/// Columns with real and imaginary parts apart, filled up with zeros to whole lanes.
class SplitColumns {
  public:
    SplitColumns(Eigen::Index rows, Eigen::Index columns);
    /// Several matrices of equal height side by side.
    explicit SplitColumns(std::initializer_list<const Eigen::MatrixXcd*> parts);

    Eigen::Index rows() const { return rows_; }
    Eigen::Index columns() const { return columns_; }
    double* real(Eigen::Index column) { return values_.data() + 2 * column * padded_; }
    double* imag(Eigen::Index column) { return real(column) + padded_; }
    const double* real(Eigen::Index column) const { return values_.data() + 2 * column * padded_; }
    const double* imag(Eigen::Index column) const { return real(column) + padded_; }

  private:
    Eigen::Index rows_, columns_, padded_;
    std::vector<double> values_;
};

/// aᴴ b; both have the same number of rows.
Eigen::MatrixXcd adjoint_product(const SplitColumns& a, const SplitColumns& b);
Eigen::MatrixXcd adjoint_product(const Eigen::MatrixXcd& a, const Eigen::MatrixXcd& b);

/// aᴴ a, of which only one triangle is summed.
Eigen::MatrixXcd gram_of(const Eigen::MatrixXcd& a);

} // namespace ebbmark
