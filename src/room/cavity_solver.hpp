// SPDX-License-Identifier: GPL-3.0-or-later
// What a cavity_model holds.
#pragma once

#include "room/cavity_matrices.hpp"
#include "room/cavity_model.hpp"
#include "room/frontal_solver.hpp"

#include <Eigen/Dense>
#include <complex>
#include <vector>

namespace ebbmark {

/// A(f) or A'(f) of the whole grid, in the common pattern.
Eigen::SparseMatrix<std::complex<double>> combined(const CavityMatrices& matrices,
                                                   const std::vector<std::complex<double>>& factors);

/// A frequency with a vector.
struct Eigenpair {
    std::complex<double> hz;
    Eigen::VectorXcd vector;
};

struct CavityModel::Solver {
    CavityGrid grid;
    CavityMedia media;
    int threads = 0;
    CavityMatrices matrices;
    FrontalPlan plan;
    std::vector<std::complex<double>> nodes; ///< complex frequencies, rising
    std::vector<CavityMode> modes;
    std::vector<std::size_t> node_of; ///< of each mode: where it was found
    Eigen::MatrixXcd vectors;         ///< of the modes, by column, xᵀ A' x = 4π for A' by ω

    Solver(const CavityShape& shape, CavityMedia wanted, const CavityOptions& options);
    void find(const CavityOptions& options);
    void keep(std::vector<Eigenpair> found, std::vector<std::size_t> at_node, double to_hz);
};

} // namespace ebbmark
