// SPDX-License-Identifier: GPL-3.0-or-later
#include "signal/hum.hpp"

#include "base/order_statistics.hpp"
#include "signal/fft.hpp"
#include "signal/resampling.hpp"
#include "signal/samples.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>

namespace ebbmark {

namespace {

using std::numbers::pi;

constexpr double highest_hz = 1000;
constexpr double low_rate_hz = 4000;
constexpr double frame_s = 0.5, hop_s = 0.125; // bins of 2 Hz
constexpr double beside_hz = 8;                // a Hann frame of 0.5 s is blind ±4 Hz away
// Energy of a line over that beside it: medians of ten frames of noise differ by more than this once in 1e6.
constexpr double least_over_noise = 6;
constexpr std::size_t least_frames = 6;
constexpr double room_s = 1.5; // for which the room still sounds after the sweep has passed
// A change across a pass is halved by taking the line between, at worst; curves add as much again.
constexpr double unsure_part = 0.5;
constexpr double passing_octaves = 0.45; // on either side of a line

/// Complex amplitudes of one frequency, frame by frame: x(t) ≈ Re(a exp(j 2π f t)).
std::vector<Complex> amplitudes(std::span<const double> samples, double rate_hz, double hz) {
    const std::size_t length = frames(frame_s, rate_hz), hop = frames(hop_s, rate_hz);
    std::vector<Complex> result;
    for (std::size_t start = 0; start + length <= samples.size(); start += hop) {
        Complex sum = 0, turned = std::polar(1.0, -2 * pi * hz * static_cast<double>(start) / rate_hz);
        const Complex turn = std::polar(1.0, -2 * pi * hz / rate_hz);
        Complex window = 1;
        const Complex window_turn = std::polar(1.0, 2 * pi / static_cast<double>(length));
        for (std::size_t n = 0; n < length; ++n) {
            sum += (1 - window.real()) * samples[start + n] * turned;
            turned *= turn;
            window *= window_turn;
        }
        result.push_back(2.0 * sum / static_cast<double>(length));
    }
    return result;
}

/// The recording at a low rate, and where the sweeps are in it.
class Bass {
  public:
    Bass(std::span<const double> recording, std::span<const double> starts, const Excitation& excitation)
        : excitation_(excitation), samples_(resampled(recording, excitation.sweep.rate_hz / low_rate_hz)) {
        for (const double start : starts)
            starts_s_.push_back(start / excitation.sweep.rate_hz);
        const std::size_t length = frames(frame_s, rate_hz_), hop = frames(hop_s, rate_hz_);
        RealFft fft(length);
        std::vector<double> frame(length);
        for (std::size_t start = 0; start + length <= samples_.size(); start += hop) {
            for (std::size_t n = 0; n < length; ++n)
                frame[n] = samples_[start + n] *
                           (1 - std::cos(2 * pi * static_cast<double>(n) / static_cast<double>(length)));
            std::vector<double> energies;
            for (const Complex& bin : fft.forward(frame))
                energies.push_back(std::norm(bin));
            energies_.push_back(std::move(energies));
        }
    }

    double rate_hz() const { return rate_hz_; }
    const std::vector<double>& samples() const { return samples_; }

    /// Frames in which no sweep is near a frequency.
    std::vector<bool> free(double hz) const {
        const double constant_s = excitation_.harmonic_lead_s / std::numbers::ln2;
        const double aside = std::exp2(passing_octaves);
        const auto passes_s = [&](double f) {
            return constant_s *
                   std::log(std::clamp(f, excitation_.from_hz, excitation_.to_hz) / excitation_.from_hz);
        };
        const std::size_t length = frames(frame_s, rate_hz_), hop = frames(hop_s, rate_hz_);
        std::vector<bool> result;
        for (std::size_t start = 0; start + length <= samples_.size(); start += hop) {
            const double from_s = static_cast<double>(start) / rate_hz_, to_s = from_s + frame_s;
            result.push_back(std::none_of(starts_s_.begin(), starts_s_.end(), [&](double sweep_s) {
                return to_s > sweep_s + passes_s(hz / aside) - 0.05 &&
                       from_s < sweep_s + passes_s(hz * aside) + room_s;
            }));
        }
        return result;
    }

    /// Median over the free frames of the energy at a frequency; 0 where there is none.
    double median_energy(double hz, const std::vector<bool>& free) const {
        const auto bin = static_cast<std::size_t>(std::llround(hz * frame_s));
        std::vector<double> energies;
        for (std::size_t n = 0; n < free.size(); ++n)
            if (free[n])
                energies.push_back(energies_[n][bin]);
        return energies.empty() ? 0 : upper_median(std::move(energies));
    }

    /// Mean square while the sweeps pass the third octave around a frequency.
    double passing_energy(double hz) const {
        const double constant_s = excitation_.harmonic_lead_s / std::numbers::ln2;
        double sum = 0;
        std::size_t count = 0;
        for (const double sweep_s : starts_s_)
            for (double part = -1.0 / 6; part <= 1.0 / 6; part += 1.0 / 48) {
                const double time_s =
                    sweep_s + constant_s * std::log(hz * std::exp2(part) / excitation_.from_hz);
                const auto at = std::llround(time_s * rate_hz_);
                const auto reach = std::llround(0.01 * rate_hz_);
                for (auto n = std::max<long long>(0, at - reach);
                     n < std::min(static_cast<long long>(samples_.size()), at + reach); ++n, ++count)
                    sum += samples_[static_cast<std::size_t>(n)] * samples_[static_cast<std::size_t>(n)];
            }
        return count == 0 ? 0 : sum / static_cast<double>(count);
    }

  private:
    const Excitation& excitation_;
    double rate_hz_ = low_rate_hz;
    std::vector<double> samples_;
    std::vector<double> starts_s_;
    std::vector<std::vector<double>> energies_; ///< of frames and bins
};

/// One line as it changes over the recording.
struct Line {
    double hz = 0;
    std::vector<Complex> amplitudes; ///< of frames
    double over_noise = 0;
    double unsure = 0; ///< amplitude that may be left while a sweep passes
};

/// The line near `hz`, with amplitudes carried across the frames where a sweep passes; nothing where it does
/// not stand out.
std::optional<Line> find_line(const Bass& bass, double hz) {
    const auto free = bass.free(hz);
    if (static_cast<std::size_t>(std::count(free.begin(), free.end(), true)) < least_frames)
        return {};
    const double noise =
        0.5 * (bass.median_energy(hz - beside_hz, free) + bass.median_energy(hz + beside_hz, free));
    const double level = bass.median_energy(hz, free);
    if (level <= least_over_noise * noise || level == 0)
        return {};
    const auto found = amplitudes(bass.samples(), bass.rate_hz(), hz);
    // The mains' own frequency: by how much the phase moves from frame to frame.
    Complex moved = 0;
    for (std::size_t n = 1; n < found.size(); ++n)
        if (free[n - 1] && free[n])
            moved += found[n] * std::conj(found[n - 1]);
    const double exact_hz = hz + std::arg(moved) / (2 * pi * hop_s);
    Line line{exact_hz, amplitudes(bass.samples(), bass.rate_hz(), exact_hz), level / std::max(noise, 1e-300),
              0};
    line.unsure = std::sqrt(noise) * 2 / static_cast<double>(frames(frame_s, bass.rate_hz()));
    std::optional<std::size_t> before;
    for (std::size_t n = 0; n < free.size(); ++n) {
        if (!free[n])
            continue;
        if (!before)
            std::fill_n(line.amplitudes.begin(), n, line.amplitudes[n]);
        else if (n > *before + 1)
            line.unsure =
                std::max(line.unsure, unsure_part * std::abs(line.amplitudes[n] - line.amplitudes[*before]));
        if (before)
            for (std::size_t k = *before + 1; k < n; ++k)
                line.amplitudes[k] =
                    line.amplitudes[*before] +
                    (line.amplitudes[n] - line.amplitudes[*before]) *
                        (static_cast<double>(k - *before) / static_cast<double>(n - *before));
        before = n;
    }
    std::fill(line.amplitudes.begin() + static_cast<std::ptrdiff_t>(*before) + 1, line.amplitudes.end(),
              line.amplitudes[*before]);
    return line;
}

void subtract(std::vector<double>& recording, const Line& line, double rate_hz) {
    Complex turned = 1;
    const Complex turn = std::polar(1.0, 2 * pi * line.hz / rate_hz);
    const double last = static_cast<double>(line.amplitudes.size() - 1);
    for (std::size_t n = 0; n < recording.size(); ++n) {
        if (n % 4096 == 0) // keeps the recurrence from drifting
            turned = std::polar(1.0, std::fmod(2 * pi * line.hz / rate_hz * static_cast<double>(n), 2 * pi));
        const double at = std::clamp((static_cast<double>(n) / rate_hz - 0.5 * frame_s) / hop_s, 0.0, last);
        const auto k = std::min(static_cast<std::size_t>(at), line.amplitudes.size() - 1);
        const auto next = std::min(k + 1, line.amplitudes.size() - 1);
        const double part = at - static_cast<double>(k);
        recording[n] -= ((line.amplitudes[k] * (1 - part) + line.amplitudes[next] * part) * turned).real();
        turned *= turn;
    }
}

double decay_range_db(const Bass& bass, const Line& line, double amplitude, const Excitation& excitation) {
    // The division gathers the time in which the sweep passes a band, which counts against a steady line as
    // bandwidth times that time.
    const double gathered = 0.2316 * line.hz * excitation.harmonic_lead_s / 3;
    const double sweep = bass.passing_energy(line.hz) / (0.5 * amplitude * amplitude);
    return 10 * std::log10(std::max(1e-12, sweep * std::max(1.0, gathered)));
}

std::vector<Line> lines_of(const Bass& bass, double mains_hz, const Excitation& excitation) {
    std::vector<Line> lines;
    for (double hz = mains_hz; hz <= std::min(highest_hz, 0.4 * bass.rate_hz()); hz += mains_hz)
        if (hz <= excitation.to_hz)
            if (auto line = find_line(bass, hz))
                lines.push_back(std::move(*line));
    return lines;
}

double total_over_noise(const std::vector<Line>& lines) {
    double sum = 0;
    for (const Line& line : lines)
        sum += std::log(line.over_noise);
    return sum;
}

} // namespace

Hum remove_hum(std::vector<double>& recording, std::span<const double> starts, const Excitation& excitation) {
    const Bass bass(recording, starts, excitation);
    auto at_50 = lines_of(bass, 50, excitation), at_60 = lines_of(bass, 60, excitation);
    const bool fifty = total_over_noise(at_50) >= total_over_noise(at_60);
    const auto& lines = fifty ? at_50 : at_60;
    Hum hum;
    for (const Line& line : lines) {
        double squares = 0;
        for (const Complex& a : line.amplitudes)
            squares += std::norm(a);
        const double amplitude = std::sqrt(squares / static_cast<double>(line.amplitudes.size()));
        hum.lines.push_back({line.hz, amplitude, decay_range_db(bass, line, line.unsure, excitation)});
        subtract(recording, line, excitation.sweep.rate_hz);
    }
    hum.mains_hz = lines.empty() ? 0 : fifty ? 50 : 60;
    return hum;
}

} // namespace ebbmark
