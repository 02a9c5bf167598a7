// SPDX-License-Identifier: GPL-3.0-or-later
#include "signal/calibrator.hpp"

#include "base/error.hpp"
#include "signal/faults.hpp"
#include "signal/fft.hpp"
#include "signal/samples.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace ebbmark {

namespace {

constexpr double ends_s = 0.5, shortest_s = 2, frame_s = 0.125;
// IEC 60942, class 2, from memory: 2 % in frequency; 0.2 dB of short-term fluctuation.
constexpr double most_off_percent = 2, most_fluctuation_db = 0.2;
// A tone 30 dB above all else is wrong by less than 0.005 dB for it; common practice, no source.
constexpr double least_purity_db = 30;

/// Complex amplitude of one frequency, Hann window.
Complex amplitude(std::span<const double> samples, double turn) {
    Complex sum = 0;
    const double length = static_cast<double>(samples.size());
    for (std::size_t n = 0; n < samples.size(); ++n)
        sum += samples[n] * (1 - std::cos(2 * std::numbers::pi * static_cast<double>(n) / length)) *
               std::polar(1.0, -turn * static_cast<double>(n));
    return 2.0 * sum / length;
}

/// Frequency of the tone: strongest bin, then the phase that it gains from one half of the samples to the
/// other.
double tone_hz(std::span<const double> samples, double rate_hz) {
    RealFft fft(fast_fft_size(samples.size()));
    std::vector<double> windowed(samples.begin(), samples.end());
    const double length = static_cast<double>(samples.size());
    for (std::size_t n = 0; n < windowed.size(); ++n)
        windowed[n] *= 1 - std::cos(2 * std::numbers::pi * static_cast<double>(n) / length);
    const auto spectrum = fft.forward(windowed);
    std::size_t best = 1;
    for (std::size_t k = 1; k < spectrum.size(); ++k)
        if (std::norm(spectrum[k]) > std::norm(spectrum[best]))
            best = k;
    const double turn = 2 * std::numbers::pi * static_cast<double>(best) / static_cast<double>(fft.size());
    const std::size_t half = samples.size() / 2;
    const Complex gained = amplitude(samples.subspan(half, half), turn) *
                           std::conj(amplitude(samples.first(half), turn)) *
                           std::polar(1.0, -turn * static_cast<double>(half));
    return (turn + std::arg(gained) / static_cast<double>(half)) * rate_hz / (2 * std::numbers::pi);
}

QualityCheck check(CheckName name, double figure, double limit, const char* unit, bool held,
                   const char* advice) {
    if (held)
        return {name, figure, limit, unit};
    return {
        name, figure, limit, unit, CheckOutcome::rejected, advice, "no level can be made absolute with it"};
}

} // namespace

bool CalibratorReading::accepted() const {
    return std::all_of(checks.begin(), checks.end(), [](const QualityCheck& c) { return c.held(); });
}

CalibratorReading read_calibrator(const Signal& tone, double level_db, double nominal_hz) {
    if (tone.duration_s() < shortest_s)
        throw Error(ErrorKind::unusable,
                    fmt::format("the calibrator's recording lasts {:.1f} s; record at least {:g} s",
                                tone.duration_s(), shortest_s + 3));
    const std::size_t ends = frames(ends_s, tone.rate_hz);
    const auto samples = std::span(tone.samples).subspan(ends, tone.size() - 2 * ends);
    const double whole = energy(samples) / static_cast<double>(samples.size());
    if (whole == 0)
        throw Error(ErrorKind::unusable, "the calibrator's recording is silent; check the channel");
    CalibratorReading reading;
    reading.hz = tone_hz(samples, tone.rate_hz);
    const double turn = 2 * std::numbers::pi * reading.hz / tone.rate_hz;
    const double effective = std::abs(amplitude(samples, turn)) / std::numbers::sqrt2;
    double highest = 0, lowest = INFINITY;
    const std::size_t frame = frames(frame_s, tone.rate_hz);
    for (std::size_t start = 0; start + frame <= samples.size(); start += frame) {
        const double level = std::abs(amplitude(samples.subspan(start, frame), turn));
        highest = std::max(highest, level);
        lowest = std::min(lowest, level);
    }
    reading.level_dbfs = 20 * std::log10(effective);
    reading.stability_db = 20 * std::log10(highest / std::max(lowest, 1e-300));
    reading.pascal_per_unit = 20e-6 * std::pow(10, level_db / 20) / effective;
    const double off_percent = 100 * std::abs(reading.hz / nominal_hz - 1);
    const double rest = std::max(whole - effective * effective, 1e-30);
    const double purity_db = 10 * std::log10(effective * effective / rest);
    const auto clipped = clipped_samples(tone.samples, tone.rate_hz);
    reading.checks = {
        check(CheckName::frequency, off_percent, most_off_percent, "%", off_percent <= most_off_percent,
              "this is not the calibrator's tone: check that it is on, and its battery"),
        check(CheckName::level, static_cast<double>(clipped), 0, "clipped samples", clipped == 0,
              "lower the gain, and keep it for the measurement"),
        check(CheckName::stability, reading.stability_db, most_fluctuation_db, "dB",
              reading.stability_db <= most_fluctuation_db,
              "seat the microphone tightly and hold still; change the battery"),
        check(CheckName::purity, purity_db, least_purity_db, "dB", purity_db >= least_purity_db,
              "other sound is in the recording: seat the microphone tightly, in a quiet place"),
    };
    return reading;
}

} // namespace ebbmark
