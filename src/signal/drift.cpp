// SPDX-License-Identifier: GPL-3.0-or-later
#include "signal/drift.hpp"

#include "signal/compression.hpp"
#include "signal/fft.hpp"
#include "signal/samples.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

namespace ebbmark {

namespace {

constexpr double widest_ppm = 400; // of crystal clocks, with room: ±300 are corrected
constexpr double step_ppm_s = 8;   // a 10 s sweep to 20 kHz passes an octave in about 1 s: a step of 8 ppm
constexpr double finest_ppm = 0.01;
// A direct sound that rules the response is 2 to 4 times as high with the right difference as with others;
// where many reflections make the response, differences up to 1.2 times come about by chance (measured in
// real rooms).
constexpr double least_clearness = 1.3;
constexpr double own_steps = 6; // of the search, that belong to one maximum
// Reflections arrive later than this where the microphone is 0.5 m and more away from surfaces.
constexpr double direct_s = 0.0012;

/// A piece of a response around its direct sound, from which the spread by a clock difference can be taken
/// out.
class Spread {
  public:
    Spread(std::span<const double> piece, const Excitation& excitation)
        : length_(piece.size()), fft_(fast_fft_size(2 * piece.size())), dense_(4 * fft_.size()),
          spectrum_(fft_.forward(piece)), turn_(spectrum_.size()) {
        const double constant_s = excitation.harmonic_lead_s / std::numbers::ln2;
        const double hz_per_bin = excitation.sweep.rate_hz / static_cast<double>(fft_.size());
        for (std::size_t k = 0; k < spectrum_.size(); ++k) {
            const double hz = static_cast<double>(k) * hz_per_bin;
            if (hz < excitation.from_hz || hz > excitation.to_hz)
                spectrum_[k] = 0;
            else // Delay d L (1 + ln(f/f1)) summed over frequency; f1 so that the direct sound keeps its
                 // place.
                turn_[k] = 2 * std::numbers::pi * constant_s * hz * std::log(hz / (0.5 * excitation.to_hz));
        }
    }

    std::vector<double> without(double ppm) {
        auto samples = fft_.inverse(turned(ppm));
        samples.resize(length_);
        return samples;
    }

    /// Height of the highest sample without the spread, four times as dense: between samples much could hide.
    double height(double ppm) {
        auto spectrum = turned(ppm);
        spectrum.resize(dense_.bins());
        const auto samples = dense_.inverse(spectrum);
        return between_samples(samples, strongest(samples));
    }

  private:
    std::vector<Complex> turned(double ppm) const {
        auto spectrum = spectrum_;
        for (std::size_t k = 0; k < spectrum.size(); ++k)
            spectrum[k] *= std::polar(1.0, 1e-6 * ppm * turn_[k]);
        return spectrum;
    }

    /// Highest value of the parabola through a sample and its neighbours.
    static double between_samples(const std::vector<double>& samples, std::size_t at) {
        if (at == 0 || at + 1 == samples.size())
            return std::abs(samples[at]);
        const double sign = samples[at] < 0 ? -1 : 1;
        const double before = sign * samples[at - 1], middle = sign * samples[at],
                     after = sign * samples[at + 1];
        const double bend = 2 * middle - before - after;
        return bend > 0 ? middle + 0.125 * (after - before) * (after - before) / bend : middle;
    }

    std::size_t length_;
    RealFft fft_, dense_;
    std::vector<Complex> spectrum_;
    std::vector<double> turn_;
};

/// The difference near `ppm` with the greatest height, by halving steps from `step` on.
double refined(Spread& spread, double ppm, double step) {
    double highest = spread.height(ppm);
    for (; step >= finest_ppm; step /= 2)
        for (const double next : {ppm - step, ppm + step})
            if (const double height = spread.height(next); height > highest) {
                highest = height;
                ppm = next;
            }
    return ppm;
}

/// Only the direct sound, before the first reflections: squared cosine around the strongest sample.
std::vector<double> direct_sound(std::vector<double> samples, double rate_hz) {
    const auto at = static_cast<double>(strongest(samples));
    for (std::size_t n = 0; n < samples.size(); ++n) {
        const double away = std::min(1.0, std::abs(static_cast<double>(n) - at) / rate_hz / direct_s);
        samples[n] *= 0.5 * (1 + std::cos(std::numbers::pi * away));
    }
    return samples;
}

} // namespace

std::optional<double> drift_of_one_sweep_ppm(std::span<const double> response, std::size_t peak,
                                             const Excitation& excitation) {
    const double rate_hz = excitation.sweep.rate_hz;
    const double spread_s =
        1e-6 * widest_ppm * excitation.harmonic_lead_s * std::log2(excitation.to_hz / excitation.from_hz);
    const auto reach = static_cast<std::ptrdiff_t>(frames(spread_s + 0.003, rate_hz));
    Spread whole(
        cut(response, static_cast<std::ptrdiff_t>(peak) - reach, static_cast<std::size_t>(2 * reach)),
        excitation);
    // The height falls to a half where the phase at the upper end is wrong by about one turn.
    const double step = std::min(20.0, step_ppm_s / excitation.harmonic_lead_s * 20000 / excitation.to_hz);
    std::vector<std::pair<double, double>> heights;
    for (double ppm = -widest_ppm; ppm <= widest_ppm; ppm += step)
        heights.emplace_back(whole.height(ppm), ppm);
    const auto [highest, coarse] = *std::max_element(heights.begin(), heights.end());
    for (const auto& [height, ppm] : heights)
        if (std::abs(ppm - coarse) > own_steps * step && highest < least_clearness * height)
            return {};
    double best = coarse;
    best = refined(whole, best, step / 2);
    Spread direct(direct_sound(whole.without(best), rate_hz), excitation);
    return best + refined(direct, 0, step / 4);
}

double lag_samples(std::span<const double> earlier, std::span<const double> later,
                   const Excitation& excitation) {
    RealFft fft(fast_fft_size(2 * std::max(earlier.size(), later.size())));
    const auto a = fft.forward(earlier);
    auto cross = fft.forward(later);
    const double hz_per_bin = excitation.sweep.rate_hz / static_cast<double>(fft.size());
    for (std::size_t k = 0; k < cross.size(); ++k) {
        const double hz = static_cast<double>(k) * hz_per_bin;
        cross[k] = hz < excitation.from_hz || hz > excitation.to_hz ? 0 : cross[k] * std::conj(a[k]);
    }
    const auto correlation = fft.inverse(cross);
    const auto size = static_cast<double>(fft.size());
    double lag = static_cast<double>(strongest(correlation));
    if (lag > size / 2)
        lag -= size;
    // Twice: what the first pass leaves cannot wrap.
    for (int pass = 0; pass < 2; ++pass) {
        double top = 0, bottom = 0;
        for (std::size_t k = 1; k < cross.size(); ++k) {
            const double turn = 2 * std::numbers::pi * static_cast<double>(k) / size;
            const Complex left = cross[k] * std::polar(1.0, turn * lag);
            top -= turn * left.imag();
            bottom += turn * turn * std::abs(left);
        }
        lag += bottom > 0 ? top / bottom : 0;
    }
    return lag;
}

} // namespace ebbmark
