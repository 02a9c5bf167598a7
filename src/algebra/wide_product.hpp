// SPDX-License-Identifier: GPL-3.0-or-later
// Products of dense complex matrices as wide as the processor's registers. The order of each sum is fixed, so
// that every processor gives the same bytes.
#pragma once

#include <Eigen/Core>

namespace ebbmark {

/// Which entries of a product are asked for; the others stay as they are.
enum class Entries { all, lower };

/// `from` less A B.
void subtract_product(Eigen::Ref<Eigen::MatrixXcd> from, const Eigen::Ref<const Eigen::MatrixXcd>& a,
                      const Eigen::Ref<const Eigen::MatrixXcd>& b, Entries entries = Entries::all);

/// `from` less A x, and less Aᵀ x.
void subtract_applied(Eigen::Ref<Eigen::VectorXcd> from, const Eigen::Ref<const Eigen::MatrixXcd>& a,
                      const Eigen::Ref<const Eigen::VectorXcd>& x);
void subtract_transposed_applied(Eigen::Ref<Eigen::VectorXcd> from,
                                 const Eigen::Ref<const Eigen::MatrixXcd>& a,
                                 const Eigen::Ref<const Eigen::VectorXcd>& x);

} // namespace ebbmark
