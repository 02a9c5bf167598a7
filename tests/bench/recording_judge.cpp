// SPDX-License-Identifier: GPL-3.0-or-later
#include "recording_judge.hpp"

#include "rates.hpp"
#include "signal/fft.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdint>

namespace ebbmark::bench {

double error_db(const Deconvolved& found, std::span<const double> truth, double gain) {
    RealFft fft(fast_fft_size(found.response.size() + truth.size() + 4800));
    auto a = fft.forward(found.response.samples);
    const auto b = fft.forward(truth);
    const auto size = static_cast<double>(fft.size());
    const auto inside = [&](std::size_t k) {
        const double hz = static_cast<double>(k) * rate_hz / size;
        return hz >= 20 && hz <= 20000;
    };
    double moved = std::round(found.lead_s * rate_hz);
    for (int pass = 0; pass < 6; ++pass) {
        double top = 0, bottom = 0;
        for (std::size_t k = 1; k < a.size(); ++k) {
            const double turn = 2 * std::numbers::pi * static_cast<double>(k) / size;
            if (!inside(k) || (pass < 3 && static_cast<double>(k) * rate_hz / size > 4000))
                continue;
            const Complex cross = a[k] * std::conj(b[k]) * std::polar(1.0, turn * moved);
            top -= turn * cross.imag();
            bottom += turn * turn * std::abs(cross);
        }
        moved += top / bottom;
    }
    double error = 0, whole = 0;
    for (std::size_t k = 0; k < a.size(); ++k) {
        if (!inside(k))
            continue;
        const double turn = 2 * std::numbers::pi * static_cast<double>(k) / size;
        error += std::norm(a[k] * std::polar(1.0, turn * moved) - gain * b[k]);
        whole += std::norm(gain * b[k]);
    }
    return 10 * std::log10(error / whole);
}

std::string Spread::text() const {
    return fmt::format("median {:8.3f}  99 % {:8.3f}  worst {:8.3f}  ({} cases)",
                       tests::quantile(values_, 0.5), tests::quantile(values_, 0.99),
                       tests::quantile(values_, 1), values_.size());
}

Sweep quick_sweep(int repeats, double seconds) {
    Sweep sweep;
    sweep.seconds = seconds;
    sweep.repeats = repeats;
    sweep.repeat_period_s = seconds + 2.5;
    return sweep;
}

Signal recorded(const Signal& sound, std::span<const double> room, Dice& dice) {
    Signal recording{convolved(sound.samples, room), rate_hz};
    recording.samples.insert(recording.samples.begin(), dice.below(20000), 0.0);
    return recording;
}

/// Standard deviation of the first sweep as recorded.
double sweep_level(const Signal& recording, const Sweep& sweep) {
    return level(recording, sweep.lead_silence_s + 0.5, sweep.lead_silence_s + sweep.seconds);
}

double t20_s(const Signal& response, const Band& band, double end_s) {
    std::vector<double> samples = response.samples;
    samples.resize(std::min(samples.size(), static_cast<std::size_t>(end_s * rate_hz)));
    RealFft fft(fast_fft_size(2 * samples.size()));
    auto spectrum = fft.forward(samples);
    for (std::size_t k = 0; k < spectrum.size(); ++k) {
        const double hz = static_cast<double>(k) * rate_hz / static_cast<double>(fft.size());
        const double octaves = hz > 0 ? std::log2(hz / band.exact_hz) : 99;
        spectrum[k] /= std::sqrt(1 + std::pow(6 * octaves, 6));
    }
    const auto filtered = fft.inverse(spectrum);
    std::vector<double> left(samples.size() + 1);
    for (std::size_t n = samples.size(); n-- > 0;)
        left[n] = left[n + 1] + filtered[n] * filtered[n];
    double count = 0, t = 0, tt = 0, y = 0, ty = 0;
    for (std::size_t n = 0; n < samples.size(); ++n) {
        const double level_db = 10 * std::log10(left[n] / left[0]), time_s = static_cast<double>(n) / rate_hz;
        if (level_db > -5 || level_db < -25)
            continue;
        ++count;
        t += time_s;
        tt += time_s * time_s;
        y += level_db;
        ty += time_s * level_db;
    }
    return -60 / ((count * ty - t * y) / (count * tt - t * t));
}

double t20_change_percent(const Deconvolved& found, const Deconvolved& reference, double t60_s) {
    double worst = 0;
    for (const Band& octave : bands_between(BandWidth::octave, 63, 8000)) {
        const Band band = bands_between(BandWidth::third, octave.nominal_hz, octave.nominal_hz).front();
        const double truth = t20_s(reference.response, band, reference.lead_s + t60_s);
        worst =
            std::max(worst, 100 * std::abs(t20_s(found.response, band, found.lead_s + t60_s) / truth - 1));
    }
    return worst;
}

Signal faultless(const Sweep& sweep, std::span<const double> room, Dice& dice) {
    const double part = dice.uniform(0, 0.03);
    Signal recording = recorded(played(sweep, part, part / 2), room, dice);
    if (dice.below(2) == 0)
        recording.samples = with_clock(recording.samples, dice.uniform(-300, 300));
    add_noise(recording.samples, sweep_level(recording, sweep) * std::pow(10, -dice.uniform(35, 75) / 20),
              dice);
    return recording;
}

} // namespace ebbmark::bench
