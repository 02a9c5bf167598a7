// SPDX-License-Identifier: GPL-3.0-or-later
#include "relative.hpp"
#include "signal/fft.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>

using namespace ebbmark;

namespace {

std::vector<double> noise(std::size_t count) {
    std::mt19937_64 generator(7);
    std::vector<double> samples(count);
    for (double& sample : samples)
        sample = static_cast<double>(generator()) / 1.8446744073709552e19 - 0.5;
    return samples;
}

} // namespace

TEST_CASE("the forward transform equals the sum that defines it") {
    // Source: closed form. X[k] = sum x[n] exp(-j 2 pi k n / N), summed directly.
    const auto x = noise(60);
    RealFft fft(60);
    const auto spectrum = fft.forward(x);
    REQUIRE(spectrum.size() == 31);
    for (std::size_t k = 0; k < spectrum.size(); ++k) {
        Complex sum = 0;
        for (std::size_t n = 0; n < x.size(); ++n)
            sum += x[n] * std::polar(1.0, -2 * std::numbers::pi * static_cast<double>(k * n) / 60);
        CHECK(std::abs(spectrum[k] - sum) < 1e-13);
    }
}

TEST_CASE("inverse undoes forward, and short input is followed by zeros") {
    const auto x = noise(100);
    RealFft fft(128);
    const auto back = fft.inverse(fft.forward(x));
    for (std::size_t n = 0; n < back.size(); ++n)
        CHECK(std::abs(back[n] - (n < x.size() ? x[n] : 0)) < 1e-15);
}

TEST_CASE("the complex inverse turns one bin into one rotating phasor") {
    ComplexInverseFft fft(20);
    for (const std::size_t size : {15u, 20u, 15u}) {
        const auto spectrum = fft.spectrum(size);
        std::fill(spectrum.begin(), spectrum.end(), Complex(0));
        spectrum[4] = 1;
        const auto result = fft.transform(size);
        REQUIRE(result.size() == size);
        for (std::size_t n = 0; n < size; ++n)
            CHECK(std::abs(result[n] - std::polar(1.0, 2 * std::numbers::pi * 4 * static_cast<double>(n) /
                                                           static_cast<double>(size))) < 1e-14);
    }
}

TEST_CASE("many sizes one after another give what each gives alone") {
    // Source: property. The sum of squares over the samples is that over the spectrum (Parseval); more sizes
    // than plans are kept, and each twice.
    for (int pass = 0; pass < 2; ++pass)
        for (std::size_t size = 64; size < 128; size += 2) {
            const auto x = noise(size);
            RealFft fft(size);
            const auto spectrum = fft.spectrum_of(x);
            double in = 0, out = std::norm(spectrum.front()) + std::norm(spectrum.back());
            for (const double sample : x)
                in += sample * sample;
            for (std::size_t k = 1; k + 1 < spectrum.size(); ++k)
                out += 2 * std::norm(spectrum[k]);
            CHECK(out / static_cast<double>(size) == doctest::Approx(in).epsilon(1e-12));
        }
}

TEST_CASE("fast sizes are even, have no prime factor above five, and are the least such") {
    const auto smooth = [](std::size_t n) {
        for (const std::size_t p : {2u, 3u, 5u})
            while (n % p == 0)
                n /= p;
        return n == 1;
    };
    for (std::size_t n = 1; n < 3000; ++n) {
        std::size_t expected = n + n % 2;
        while (!smooth(expected))
            expected += 2;
        REQUIRE(fast_fft_size(n) == expected);
    }
}
