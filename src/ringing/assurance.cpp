// SPDX-License-Identifier: GPL-3.0-or-later
#include "ringing/assurance.hpp"

#include <algorithm>
#include <cstddef>

namespace ebbmark {

double modal_assurance(const std::vector<std::complex<double>>& a,
                       const std::vector<std::complex<double>>& b) {
    std::complex<double> product = 0;
    double first = 0, second = 0;
    for (std::size_t i = 0; i < std::min(a.size(), b.size()); ++i) {
        product += std::conj(a[i]) * b[i];
        first += std::norm(a[i]);
        second += std::norm(b[i]);
    }
    return first > 0 && second > 0 ? std::norm(product) / (first * second) : 0;
}

} // namespace ebbmark
