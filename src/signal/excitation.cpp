// SPDX-License-Identifier: GPL-3.0-or-later
#include "signal/excitation.hpp"

#include "base/error.hpp"
#include "base/order_statistics.hpp"
#include "signal/samples.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace ebbmark {

namespace {

// Measured with 3 % of second and third harmonics in rooms of up to 0.6 s: the worst errors of sweeps of 0.2
// to 0.5 s per octave follow this line, and −62 dB are reached at 0.45 s. tests/bench, recording_scenarios
// short.
constexpr double clear_octave_s = 0.45;
constexpr double error_at_none_db = -33.5, error_per_octave_s_db = -72;

/// Where equal sweeps stand in a signal as played.
struct Played {
    std::vector<std::size_t> starts;
    std::size_t length = 0;
};

/// Sounding stretches, divided by at least 50 ms of samples more than 80 dB below the peak.
std::vector<std::pair<std::size_t, std::size_t>> sounding(std::span<const double> samples, double rate_hz) {
    const double silent = 1e-4 * std::abs(samples[strongest(samples)]);
    const std::size_t gap = frames(0.05, rate_hz);
    std::vector<std::pair<std::size_t, std::size_t>> stretches;
    for (std::size_t n = 0; n < samples.size(); ++n) {
        if (std::abs(samples[n]) <= silent)
            continue;
        if (stretches.empty() || n - stretches.back().second > gap)
            stretches.emplace_back(n, n);
        stretches.back().second = n;
    }
    return stretches;
}

Played split_at_silence(std::span<const double> samples, double rate_hz) {
    const auto stretches = sounding(samples, rate_hz);
    if (stretches.empty())
        throw Error(ErrorKind::unusable,
                    "the excitation is silent; give the test signal itself or its description");
    Played played{{}, stretches.front().second + 1 - stretches.front().first};
    for (const auto& [first, last] : stretches) {
        const std::size_t length = last + 1 - first;
        if (length + 2 < played.length || length > played.length + 2)
            throw Error(ErrorKind::unusable,
                        "the excitation holds sounds of different lengths, so it is not one sweep "
                        "nor equal repeats; give one sweep alone or its description in TOML");
        played.starts.push_back(first);
    }
    return played;
}

/// Lowest and highest frequency at which the energy per octave is at least a tenth of its median, in twelfths
/// of an octave.
std::pair<double, double> reach(const Signal& sweep) {
    RealFft fft(fast_fft_size(sweep.size()));
    const auto spectrum = fft.forward(sweep.samples);
    const double hz_per_bin = sweep.rate_hz / static_cast<double>(fft.size());
    const double lowest_hz = std::max(1.0, 2 * hz_per_bin);
    const double step = std::exp2(1.0 / 12);
    const double typical = level_per_octave(spectrum, hz_per_bin, lowest_hz, sweep.rate_hz / 2);
    double from_hz = 0, to_hz = 0;
    for (double low = lowest_hz; low * step <= sweep.rate_hz / 2; low *= step) {
        const double level = level_per_octave(spectrum, hz_per_bin, low, low * step);
        if (level == 0 || level < 0.1 * typical)
            continue;
        from_hz = from_hz == 0 ? low : from_hz;
        to_hz = low * step;
    }
    if (to_hz < 4 * from_hz || from_hz == 0)
        throw Error(ErrorKind::unusable,
                    "the excitation is no sweep: it holds less than two octaves; give the test "
                    "signal itself or its description in TOML");
    return {from_hz, to_hz};
}

} // namespace

std::optional<ShortSweep> short_sweep(const Excitation& excitation) {
    const double octave_s = excitation.harmonic_lead_s;
    if (octave_s >= clear_octave_s)
        return {};
    const double octaves = std::log2(excitation.to_hz / excitation.from_hz);
    return ShortSweep{error_at_none_db + error_per_octave_s_db * octave_s,
                      std::ceil(2 * clear_octave_s * octaves) / 2};
}

double level_per_octave(std::span<const Complex> spectrum, double hz_per_bin, double from_hz, double to_hz) {
    std::vector<double> levels;
    for (std::size_t k = 1; k < spectrum.size(); ++k) {
        const double hz = static_cast<double>(k) * hz_per_bin;
        if (hz >= from_hz && hz <= to_hz)
            levels.push_back(std::norm(spectrum[k]) * hz);
    }
    return levels.empty() ? 0 : upper_median(std::move(levels));
}

Excitation excitation_of(const Sweep& sweep) {
    return {one_sweep(sweep),         sweep.start_hz, sweep.stop_hz,
            sweep.harmonic_lead_s(2), sweep.repeats,  sweep.repeat_period_s};
}

Excitation excitation_of(const Signal& samples) {
    const Played played = split_at_silence(samples.samples, samples.rate_hz);
    const Signal one{
        {samples.samples.begin() + static_cast<std::ptrdiff_t>(played.starts.front()),
         samples.samples.begin() + static_cast<std::ptrdiff_t>(played.starts.front() + played.length)},
        samples.rate_hz};
    const auto [from_hz, to_hz] = reach(one);
    const double octave_s = one.duration_s() / std::log2(to_hz / from_hz);
    const int repeats = static_cast<int>(played.starts.size());
    const double period = repeats > 1 ? static_cast<double>(played.starts[1] - played.starts[0]) : 0;
    return {one, from_hz, to_hz, octave_s, repeats, period / samples.rate_hz};
}

} // namespace ebbmark
