// SPDX-License-Identifier: GPL-3.0-or-later
// The modes of a cavity, damped by what it holds: finite elements of high order on a tensor grid, materials
// as equivalent fluids at each mode's own complex frequency. Shift and invert (W. E. Arnoldi 1951) at nodes
// spread over the range gives bases for the frequencies about each; in them Newton's method solves the
// non-linear eigenproblem (A. Ruhe, SIAM J. Numer. Anal. 10 (1973) 674), which is symmetric, not Hermitian.
#pragma once

#include "room/cavity.hpp"

#include <array>
#include <complex>
#include <functional>
#include <memory>
#include <span>
#include <vector>

namespace ebbmark {

/// Decays as exp(−2π Im(hz) t).
struct CavityMode {
    std::complex<double> hz;

    double t60_s() const;
};

struct CavityOptions {
    double to_hz = 200;
    int finer = 0;      ///< added to every polynomial order
    int threads = 0;    ///< 0: as many as the processor has; the result is the same
    double grid_hz = 0; ///< the grid serves up to here, where that is farther than to_hz
    /// Told what part of the work is done, 0 to 1, one call at a time from whichever thread.
    std::function<void(double part)> step = {};
};

class CavityModel {
  public:
    /// Throws Error(unusable) where the shape leaves no room.
    CavityModel(const CavityShape& shape, CavityMedia media, const CavityOptions& options);
    ~CavityModel();
    CavityModel(CavityModel&&) noexcept;
    CavityModel& operator=(CavityModel&&) noexcept;

    /// By frequency, up to options.to_hz, without the one at 0 Hz.
    const std::vector<CavityMode>& modes() const;

    /// Sound pressure of each mode at places in the room, by mode, then place; so normalised that a point
    /// source at s, of free field 1 at 1 m, excites at m the response 2 Re(j p(s) p(m) exp(2πj f t)) of this
    /// mode. 0 in solids.
    std::vector<std::vector<std::complex<double>>> pressures(std::span<const Point> places) const;

    /// By how much each mode's frequency moves, to first order, if what fills the same shape were `other`:
    /// −xᵀ (A_other − A) x / (xᵀ A' x). Exact only for small differences.
    std::vector<std::complex<double>> shifts(const CavityMedia& other) const;

    int unknowns() const;

    /// |∫p q dV|² / (∫|p|² dV ∫|q|² dV) of two modes of the same shape and grid (whatever the media).
    friend std::vector<std::vector<double>> overlaps(const CavityModel& a, const CavityModel& b);

    struct Solver;

  private:
    std::unique_ptr<Solver> solver_;
};

/// By mode of `a`, then of `b`.
std::vector<std::vector<double>> overlaps(const CavityModel& a, const CavityModel& b);

} // namespace ebbmark
