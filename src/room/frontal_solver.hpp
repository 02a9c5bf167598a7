// SPDX-License-Identifier: GPL-3.0-or-later
// Direct solution of large sparse symmetric (not Hermitian) systems on a tensor grid: nested dissection
// (A. George, SIAM J. Numer. Anal. 10 (1973) 345) with dense frontal matrices (I. S. Duff, J. K. Reid, ACM
// Trans. Math. Softw. 9 (1983) 302).
#pragma once

#include "algebra/dense.hpp"
#include "room/cavity_grid.hpp"

#include <Eigen/Sparse>
#include <complex>
#include <vector>

namespace ebbmark {

/// In which order the unknowns leave, and what couples with what then: depends on the pattern alone.
struct FrontalPlan {
    struct Entry {
        int slot, row, column; ///< in the pattern's values; in the front, row ≥ column
    };
    struct Front {
        std::vector<int> unknowns; ///< first those that leave here, then those left over
        int leaving = 0;
        int parent = -1;
        std::vector<int> in_parent; ///< of those left over: their place in the parent's list, rising
        std::vector<Entry> entries;
    };
    std::vector<Front> fronts; ///< children before parents
};

/// `pattern` symmetric, in compressed columns.
FrontalPlan frontal_plan(const CavityGrid& grid, const Eigen::SparseMatrix<double>& pattern);

/// A factorised system. Pivots are sought inside each front only, which serves while the frequency keeps
/// off the real axis; the plan must outlive it.
class FrontalSolver {
  public:
    /// `values` in the slots of the pattern.
    FrontalSolver(const FrontalPlan& plan, const std::complex<double>* values);

    Eigen::VectorXcd solve(Eigen::VectorXcd right) const;

  private:
    struct Factor {
        Factored pivot;            ///< of those that leave
        Eigen::MatrixXcd coupling; ///< pivot⁻¹ times their coupling with the others
    };
    const FrontalPlan& plan_;
    std::vector<Factor> factors_;
};

} // namespace ebbmark
