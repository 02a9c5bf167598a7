// SPDX-License-Identifier: GPL-3.0-or-later
#include "capture/disturbance.hpp"

#include "signal/samples.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace ebbmark {

namespace {

using std::numbers::pi;

/// Peak of a sine with this level.
double amplitude(double level_db, double full_scale_db) {
    return std::pow(10, (level_db - full_scale_db) / 20);
}

} // namespace

void add_noise(std::span<Complex> spectrum, double rate_hz, const VirtualNoise& noise, double full_scale_db,
               Random& random) {
    const double bins = static_cast<double>(spectrum.size() - 1), step_hz = rate_hz / (2 * bins);
    // Octave levels fall by the slope; per hertz by 3 dB more. Power in 20 Hz to 20 kHz sums to the level.
    const auto density = [&](double hz) {
        return std::pow(10, noise.slope_db_per_octave * std::log2(hz / 20) / 10) / hz;
    };
    double sum = 0;
    for (std::size_t bin = 1; bin + 1 < spectrum.size(); ++bin)
        if (const double hz = static_cast<double>(bin) * step_hz; hz >= 20 && hz <= 20000)
            sum += density(hz);
    // A full-scale sine has the power 1/2; Σx²/N = (2/N²) Σ |X|², and E|normal_pair|² = 2.
    const double power = 0.5 * std::pow(amplitude(noise.level_db, full_scale_db), 2);
    const double scale = std::sqrt(power * bins * bins / sum);
    for (std::size_t bin = 1; bin + 1 < spectrum.size(); ++bin) {
        const double hz = std::max(10.0, static_cast<double>(bin) * step_hz); // flat below 10 Hz
        spectrum[bin] += scale * std::sqrt(density(hz)) * random.normal_pair();
    }
}

void add_hum(std::span<double> samples, double rate_hz, const VirtualNoise& noise, double full_scale_db,
             Random& random) {
    if (!noise.hum_db)
        return;
    for (int harmonic = 1; harmonic <= 10; ++harmonic) {
        const double peak = amplitude(*noise.hum_db - 6 * (harmonic - 1), full_scale_db);
        Complex phasor = std::polar(peak, 2 * pi * random.uniform());
        const Complex advance = std::polar(1.0, 2 * pi * noise.hum_hz * harmonic / rate_hz);
        for (double& sample : samples)
            sample += (phasor *= advance).imag();
    }
}

void add_slam(std::span<double> samples, double rate_hz, const DoorSlam& slam, double full_scale_db,
              Random& random) {
    const double peak = amplitude(slam.peak_db, full_scale_db);
    for (std::size_t n = frames(slam.at_s, rate_hz); n < samples.size(); ++n) {
        const double t = static_cast<double>(n) / rate_hz - slam.at_s;
        if (t > 2)
            break;
        const double boom = std::sin(2 * pi * 50 * t) * std::exp(-t / 0.15);
        const double rattle = 0.2 * random.normal_pair().real() * std::exp(-t / 0.03);
        samples[n] += peak * (boom + rattle);
    }
}

void convert(std::span<double> samples, int bits) {
    const double steps = std::ldexp(1, bits - 1);
    for (double& sample : samples)
        sample = std::clamp(std::round(sample * steps), -steps, steps - 1) / steps;
}

} // namespace ebbmark
