// SPDX-License-Identifier: GPL-3.0-or-later
// Random numbers that are the same on every machine: the standard's distributions are not.
#pragma once

#include <complex>
#include <cstdint>
#include <random>
#include <string_view>

namespace ebbmark {

/// A seed from another and a text (FNV-1a, 64 bits), so that every purpose and place has its own.
inline std::uint64_t seed_for(std::uint64_t seed, std::string_view purpose) {
    std::uint64_t hash = 0xcbf29ce484222325ULL ^ seed;
    for (const char letter : purpose) {
        hash ^= static_cast<unsigned char>(letter);
        hash *= 0x100000001b3ULL;
    }
    return hash;
}

class Random {
  public:
    explicit Random(std::uint64_t seed) : engine_(seed) {}

    /// In (0, 1).
    double uniform();
    /// Independent real and imaginary part, each of mean 0 and variance 1: G. E. P. Box, M. E. Muller (1958).
    std::complex<double> normal_pair();

  private:
    std::mt19937_64 engine_;
};

} // namespace ebbmark
