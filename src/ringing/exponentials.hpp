// SPDX-License-Identifier: GPL-3.0-or-later
// Damped complex exponentials seen through the discrete Fourier transform of a record of finite length.
#pragma once

#include <Eigen/Core>
#include <complex>
#include <vector>

namespace ebbmark {

/// A free vibration exp((−decay + j 2π hz) t), t ≥ 0.
struct Pole {
    double hz = 0;
    double decay_per_s = 0; ///< amplitude; T60 = 3 ln 10 / decay

    std::complex<double> exponent() const;
    double t60_s() const;
    double half_power_hz() const; ///< width of its resonance at −3 dB, decay / π
};

/// Decay rate of a decay time and back: 3 ln 10 over it.
double decay_rate(double t60_s);

/// Columns: one pole each; rows: frequencies.
struct Exponentials {
    Eigen::MatrixXcd value; ///< ∫ exp((s − j 2π f) t) dt over the record
    Eigen::MatrixXcd slope; ///< its derivative with respect to s
};

/// `hz` are whole multiples of 1/duration_s: there the record's end costs one factor only.
Exponentials exponentials(const Eigen::VectorXd& hz, const std::vector<Pole>& poles, double duration_s);

} // namespace ebbmark
