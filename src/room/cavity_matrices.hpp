// SPDX-License-Identifier: GPL-3.0-or-later
// The wave equation of a cavity in matrices: with test functions q, pressure p and k = ω/c
//     ∫ (ρ0/ρ) ∇p·∇q dV − k² ∫ (ρ0 c²/K) p q dV + jk ∮ β p q dS + jk Σ ∫ (ρc/R) [p][q] dS = 0,
// the last over cloth with the jump [p]. Each integral is a real matrix, each factor before it a complex
// function of frequency: A(f) = Σ c_k(f) A_k.
#pragma once

#include "room/cavity_grid.hpp"

#include <Eigen/Sparse>
#include <complex>
#include <span>
#include <vector>

namespace ebbmark {

struct CavityTerm {
    enum class Kind { stiffness, mass, surface, cloth };
    Kind kind = Kind::stiffness;
    std::size_t index = 0;              ///< of the fluid (0 air), surface or cloth
    std::vector<int> rows;              ///< the unknowns that it touches, rising
    Eigen::SparseMatrix<double> matrix; ///< between these
    std::vector<int> slots;             ///< of each entry in the values of the common pattern
};

struct CavityMatrices {
    Eigen::SparseMatrix<double> pattern; ///< every entry that any term has; values without meaning
    std::vector<CavityTerm> terms;
};

CavityMatrices cavity_matrices(const CavityGrid& grid);

/// The rows of `vectors` that a term touches.
template <class Matrix>
Matrix touched(const CavityTerm& term, const Matrix& vectors) {
    Matrix part(static_cast<Eigen::Index>(term.rows.size()), vectors.cols());
    for (std::size_t i = 0; i < term.rows.size(); ++i)
        part.row(static_cast<Eigen::Index>(i)) = vectors.row(term.rows[i]);
    return part;
}

/// c_k(f) and its derivative by f.
std::complex<double> coefficient(const CavityTerm& term, std::complex<double> hz, const CavityMedia& media);
struct CavityCoefficients {
    std::vector<std::complex<double>> values, slopes;
};
CavityCoefficients coefficients(std::span<const CavityTerm> terms, std::complex<double> hz,
                                const CavityMedia& media);

} // namespace ebbmark
