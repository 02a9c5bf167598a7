// SPDX-License-Identifier: GPL-3.0-or-later
#include "ringing/exponentials.hpp"

#include <cmath>
#include <numbers>

namespace ebbmark {

namespace {
constexpr double tau = 2 * std::numbers::pi;
}

std::complex<double> Pole::exponent() const {
    return {-decay_per_s, tau * hz};
}

double Pole::t60_s() const {
    return decay_rate(decay_per_s);
}

double Pole::half_power_hz() const {
    return decay_per_s / std::numbers::pi;
}

double decay_rate(double t60_s) {
    return 3 * std::numbers::ln10 / t60_s;
}

Exponentials exponentials(const Eigen::VectorXd& hz, const std::vector<Pole>& poles, double duration_s) {
    const auto count = static_cast<Eigen::Index>(poles.size());
    Exponentials made{Eigen::MatrixXcd(hz.size(), count), Eigen::MatrixXcd(hz.size(), count)};
    for (Eigen::Index k = 0; k < count; ++k) {
        const std::complex<double> s = poles[static_cast<std::size_t>(k)].exponent();
        const std::complex<double> end = std::exp(s * duration_s);
        const std::complex<double> start = 1.0 - end;
        for (Eigen::Index i = 0; i < hz.size(); ++i) {
            // 1 / (j 2π f − s), written out: the compiler's own complex division guards against overflow.
            const double re = -s.real(), im = tau * hz(i) - s.imag();
            const double square = 1 / (re * re + im * im);
            const std::complex<double> inverse(re * square, -im * square);
            const auto value = start * inverse;
            made.value(i, k) = value;
            made.slope(i, k) = (value - duration_s * end) * inverse;
        }
    }
    return made;
}

} // namespace ebbmark
