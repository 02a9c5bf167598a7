// SPDX-License-Identifier: GPL-3.0-or-later
// Joint least-squares fit of poles to all positions' spectra in one frequency window by variable projection:
// G. H. Golub, V. Pereyra, SIAM J. Numer. Anal. 10 (1973) 413; Jacobian after L. Kaufman, BIT 15 (1975) 49.
#pragma once

#include "ringing/exponentials.hpp"

#include <optional>
#include <vector>

namespace ebbmark {

/// Spectra in units of their noise: white, complex variance 1, independent between bins and positions.
struct Window {
    Eigen::VectorXd hz;    ///< bins, multiples of 1/duration_s
    Eigen::MatrixXcd data; ///< bins × positions, orthogonal to the background
    Eigen::MatrixXcd
        background; ///< bins × terms, orthonormal: what is smooth over the window, position by position
    double duration_s = 0;
};

/// Window over these bins; the background spans polynomials in frequency of `terms` coefficients and steady
/// tones at `lines_hz`.
Window make_window(Eigen::VectorXd hz, const Eigen::MatrixXcd& data, int terms, double duration_s,
                   const std::vector<double>& lines_hz = {});

/// State of a fit at given poles: what the next step needs.
struct FitState {
    Eigen::MatrixXcd amplitude; ///< poles × positions
    Eigen::MatrixXcd
        gram; ///< Gram matrix of the slopes ∂/∂s of the exponentials, what is beside the exponentials
    Eigen::MatrixXcd along; ///< inner products of these slopes with the residual, poles × positions
    double cost = 0;        ///< squared norm of the residual
};

/// The same with the vectors behind it.
struct Projection : FitState {
    Eigen::MatrixXcd basis;    ///< orthonormal, spans the exponentials beside the background
    Eigen::MatrixXcd triangle; ///< the exponentials beside the background are basis · triangle
    Eigen::MatrixXcd slope;    ///< the slopes, orthogonal to basis and background
    Eigen::MatrixXcd residual; ///< bins × positions
};

Projection project(const Window& window, const std::vector<Pole>& poles);

/// The same without slopes, Gram matrix and inner products: less than half of the work.
Projection project_values(const Window& window, const std::vector<Pole>& poles);
/// What project_values() leaves out.
void add_slopes(const Window& window, const std::vector<Pole>& poles, Projection& at);
/// project_values() where nothing but the window's data is another than it was for `at`.
Projection with_other_data(const Window& window, Projection at);

/// Fisher information, real 2K × 2K, about (hz, ln decay) of all poles, hz first; the inverse of their
/// covariance as far as the noise is concerned.
Eigen::MatrixXd information(const FitState& at, const std::vector<Pole>& poles);

/// Its inverse, kept finite where two poles cannot be told apart: nobody doubts a frequency by 100 Hz or a
/// decay time by a factor of 20.
Eigen::MatrixXd covariance(const Eigen::MatrixXd& information);

/// The cost's gradient over (hz, ln decay), turned downhill.
Eigen::VectorXd downhill(const FitState& at, const std::vector<Pole>& poles);

/// Of a fit without its vectors.
struct Cost {
    double value = 0; ///< squared norm of the residual
    double doubt = 0; ///< by how much rounding may have moved it
};

/// Moves the poles to the nearest minimum of the cost; returns the cost there. `held`: the pole whose decay
/// stays as it is.
Cost move_to_minimum(const Window& window, std::vector<Pole>& poles, int iterations,
                     std::optional<std::size_t> held = {});

/// The same, and project_values() there.
Projection refine(const Window& window, std::vector<Pole>& poles, int iterations,
                  std::optional<std::size_t> held = {});

} // namespace ebbmark
