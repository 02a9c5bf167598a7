// SPDX-License-Identifier: GPL-3.0-or-later
#include "signal/disturbances.hpp"

#include "signal/fft.hpp"
#include "signal/samples.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace ebbmark {

namespace {

constexpr double frame_s = 0.085;
// Limit over the median of a band's cells. Gaussian noise passes 16 times the median in less than one of 1e8
// cells of four bins and more; few bins scatter wider.
constexpr double limit_over_median = 16;
constexpr double limit_per_bin = 20;
constexpr double loud_over_median = 1e4;    // cells that the sweep rules
constexpr double unlike_allowance = 4;      // over the median unlikeness of such cells
constexpr double air_allowance = 0.25;      // with the limit, 4 times what the stretch makes and more
constexpr std::ptrdiff_t joined_frames = 4; // flagged frames closer than this are one disturbance
constexpr double attributable_part =
    0.3; // of a difference between two sweeps that has to show as more energy
// With one sweep: how long after it has passed a band the room may still sound there, and which harmonics
// count.
constexpr double tail_s = 2.5;
constexpr double highest_judged_harmonic = 10;

struct Bins {
    std::size_t first = 0, last = 0; ///< last included
    double from_hz = 0, to_hz = 0;
};

/// Third octaves by bins from 89 Hz on, octaves below.
std::vector<Bins> judged_bands(std::size_t size, double rate_hz) {
    const double hz_per_bin = rate_hz / static_cast<double>(size);
    std::vector<Bins> bands;
    double low = 22.4;
    while (low < 0.45 * rate_hz) {
        const double high = low * (low < 80 ? 2 : std::cbrt(2));
        const auto first = static_cast<std::size_t>(std::ceil(low / hz_per_bin));
        const auto last =
            static_cast<std::size_t>(std::ceil(std::min(high, 0.45 * rate_hz) / hz_per_bin)) - 1;
        if (last >= first)
            bands.push_back({first, last, low, high});
        low = high;
    }
    return bands;
}

double median(std::vector<double> values) {
    if (values.empty())
        return 0;
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    return *middle;
}

/// Energies of one frame of all sweeps in one band.
struct Cell {
    std::vector<double> whole; ///< of each sweep
    std::vector<double>
        unlike;               ///< of each sweep's difference from the mean of the others; one sweep: its own
    double unlike_by_air = 0; ///< of what the room still holds, the part that another air makes unlike
};

/// Short-time spectra of all sweeps, frame by frame, with the sweeps at the same place in the frame.
class Frames {
  public:
    Frames(std::span<const double> recording, std::span<const double> starts, const Excitation& excitation)
        : recording_(recording), starts_(starts), rate_hz_(excitation.sweep.rate_hz),
          fft_(fast_fft_size(frames(frame_s, rate_hz_))), bands_(judged_bands(fft_.size(), rate_hz_)) {
        window_.resize(fft_.size());
        for (std::size_t n = 0; n < window_.size(); ++n)
            window_[n] = 0.5 * (1 - std::cos(2 * std::numbers::pi * (static_cast<double>(n) + 0.5) /
                                             static_cast<double>(window_.size())));
    }

    const std::vector<Bins>& bands() const { return bands_; }
    std::size_t hop() const { return fft_.size() / 2; }

    /// Cells of all bands at `offset` samples after the sweeps' starts; empty where a sweep's frame leaves
    /// the recording.
    std::vector<Cell> at(std::ptrdiff_t offset) {
        std::vector<std::vector<Complex>> spectra;
        for (const double start : starts_) {
            const auto first = std::llround(start) + offset;
            if (first < 0 || first + static_cast<std::ptrdiff_t>(fft_.size()) >
                                 static_cast<std::ptrdiff_t>(recording_.size()))
                return {};
            spectra.push_back(spectrum(static_cast<std::size_t>(first), start - std::round(start)));
        }
        std::vector<Cell> cells;
        for (const Bins& band : bands_)
            cells.push_back(cell(spectra, band));
        return cells;
    }

  private:
    /// Of the frame that starts `fraction` of a sample after `first`.
    std::vector<Complex> spectrum(std::size_t first, double fraction) {
        std::vector<double> frame(window_.size());
        for (std::size_t n = 0; n < frame.size(); ++n)
            frame[n] = window_[n] * recording_[first + n];
        auto result = fft_.forward(frame);
        const double turn = 2 * std::numbers::pi * fraction / static_cast<double>(fft_.size());
        if (std::abs(fraction) > 1e-5)
            for (std::size_t k = 0; k < result.size(); ++k)
                result[k] *= std::polar(1.0, turn * static_cast<double>(k));
        return result;
    }

    static Cell cell(const std::vector<std::vector<Complex>>& spectra, const Bins& band) {
        const std::size_t sweeps = spectra.size();
        Cell cell{std::vector<double>(sweeps), std::vector<double>(sweeps), 0};
        for (std::size_t k = band.first; k <= band.last; ++k) {
            Complex sum = 0;
            for (const auto& spectrum : spectra)
                sum += spectrum[k];
            for (std::size_t s = 0; s < sweeps; ++s) {
                const Complex own = spectra[s][k];
                cell.whole[s] += std::norm(own);
                cell.unlike[s] += sweeps == 1
                                      ? std::norm(own)
                                      : std::norm(own - (sum - own) / static_cast<double>(sweeps - 1));
            }
        }
        return cell;
    }

    std::span<const double> recording_;
    std::span<const double> starts_;
    double rate_hz_;
    RealFft fft_;
    std::vector<Bins> bands_;
    std::vector<double> window_;
};

/// One band over time.
struct Track {
    std::vector<std::ptrdiff_t> offsets;
    std::vector<Cell> cells;
};

/// Whether one sweep, its harmonics or the room sound in a band between two times after the sweep's start.
bool is_sounding(const Bins& band, double from_s, double to_s, const Excitation& excitation) {
    const double constant_s = excitation.harmonic_lead_s / std::numbers::ln2;
    const double start_s = constant_s * std::log(std::max(1.0, band.from_hz / 1.15 / excitation.from_hz));
    const double end_s = constant_s * std::log(std::max(1.0, band.to_hz * 1.15 / excitation.from_hz));
    const double early_s = constant_s * std::log(highest_judged_harmonic);
    return to_s > std::max(-0.1, start_s - early_s) && from_s < end_s + tail_s;
}

/// Energy of the difference between two sounds of one strength that are in the room at `end_s`, of which
/// one took longer by the part `stretch`.
double unlike_by_air(const Bins& band, double end_s, double stretch, const Excitation& excitation) {
    const double constant_s = excitation.harmonic_lead_s / std::numbers::ln2;
    const double passed_s = constant_s * std::log(std::max(1.0, band.from_hz / excitation.from_hz));
    const double age_s = std::max(frame_s, end_s - passed_s);
    const double turn = 2 * std::numbers::pi * band.to_hz * age_s * stretch;
    return std::min(4.0, turn * turn);
}

double widest(std::span<const double> stretch) {
    if (stretch.empty())
        return 0;
    const auto [least, most] = std::minmax_element(stretch.begin(), stretch.end());
    return *most - *least;
}

/// A cell that is louder than the band's noise and the likeness of the sweeps allow.
struct Flagged {
    std::ptrdiff_t offset = 0;
    std::size_t sweep = 0;
    Bins band;
    double over = 0; ///< times the median
    double more = 0; ///< with two sweeps: energy of the second less the first, over the median
};

void judge(const Track& track, const Bins& band, std::vector<Flagged>& flagged) {
    std::vector<double> levels, unlikeness;
    for (const Cell& cell : track.cells)
        levels.insert(levels.end(), cell.unlike.begin(), cell.unlike.end());
    const double noise = median(std::move(levels));
    const bool single = !track.cells.empty() && track.cells.front().whole.size() == 1;
    if (!single)
        for (const Cell& cell : track.cells)
            for (std::size_t s = 0; s < cell.whole.size(); ++s)
                if (cell.whole[s] > loud_over_median * noise)
                    unlikeness.push_back(cell.unlike[s] / cell.whole[s]);
    const double unlike = unlike_allowance * median(std::move(unlikeness));
    const double bins = static_cast<double>(band.last - band.first + 1);
    const double limit = limit_over_median + limit_per_bin / bins;
    for (std::size_t n = 0; n < track.cells.size(); ++n) {
        const Cell& cell = track.cells[n];
        const auto worst = static_cast<std::size_t>(std::max_element(cell.unlike.begin(), cell.unlike.end()) -
                                                    cell.unlike.begin());
        const double allowed = noise + (single ? 0
                                               : (unlike + air_allowance * cell.unlike_by_air) *
                                                     *std::min_element(cell.whole.begin(), cell.whole.end()));
        if (cell.unlike[worst] > limit * allowed && cell.unlike[worst] > 0)
            flagged.push_back(
                {track.offsets[n], worst, band, cell.unlike[worst] / std::max(noise, 1e-300),
                 cell.whole.size() == 2 ? (cell.whole[1] - cell.whole[0]) / std::max(noise, 1e-300) : 0});
    }
}

/// Flagged cells of one sweep that follow each other, as one disturbance.
class Joined {
  public:
    Joined(std::span<const double> starts, std::size_t frame, double rate_hz)
        : starts_(starts), frame_(frame), rate_hz_(rate_hz) {}

    void add(const Flagged& cell) {
        if (!parts_.empty() &&
            cell.offset - parts_.back().offset > joined_frames * static_cast<std::ptrdiff_t>(frame_ / 2))
            close();
        parts_.push_back(cell);
    }

    std::vector<Disturbance> done() {
        if (!parts_.empty())
            close();
        return std::move(found_);
    }

  private:
    void close() {
        double over = 0, more = 0, strongest_over = 0, low_hz = 1e9, high_hz = 0;
        for (const Flagged& part : parts_) {
            over += part.over;
            more += part.more;
            strongest_over = std::max(strongest_over, part.over);
            low_hz = std::min(low_hz, part.band.from_hz);
            high_hz = std::max(high_hz, part.band.to_hz);
        }
        int sweep = static_cast<int>(parts_.front().sweep);
        if (starts_.size() ==
            2) // both differ from each other by the same: the louder one holds the other sound
            sweep = std::abs(more) < attributable_part * over ? -1 : more > 0 ? 1 : 0;
        const double start = starts_[static_cast<std::size_t>(std::max(sweep, 0))];
        const auto time_s = [&](std::ptrdiff_t offset) {
            return (start + static_cast<double>(offset)) / rate_hz_;
        };
        found_.push_back({time_s(parts_.front().offset),
                          time_s(parts_.back().offset + static_cast<std::ptrdiff_t>(frame_)), low_hz, high_hz,
                          10 * std::log10(strongest_over), sweep});
        parts_.clear();
    }

    std::span<const double> starts_;
    std::size_t frame_;
    double rate_hz_;
    std::vector<Flagged> parts_;
    std::vector<Disturbance> found_;
};

} // namespace

std::vector<Disturbance> find_disturbances(std::span<const double> recording, const Sweeps& sweeps,
                                           const Excitation& excitation) {
    const auto starts = sweeps.starts;
    const double stretch = widest(sweeps.stretch);
    Frames short_time(recording, starts, excitation);
    const double rate_hz = excitation.sweep.rate_hz;
    const auto hop = static_cast<std::ptrdiff_t>(short_time.hop());
    const bool single = starts.size() == 1;
    // With one sweep all of the recording is looked at, with several from half a second before to the next
    // one.
    const std::ptrdiff_t first = single ? -std::llround(starts.front()) : -std::llround(0.5 * rate_hz);
    const std::ptrdiff_t last = single ? static_cast<std::ptrdiff_t>(recording.size())
                                       : std::llround((excitation.repeat_period_s - 0.5) * rate_hz);
    std::vector<Track> tracks(short_time.bands().size());
    for (std::ptrdiff_t offset = first; offset + 2 * hop <= last; offset += hop) {
        auto cells = short_time.at(offset);
        for (std::size_t b = 0; b < cells.size(); ++b) {
            const double from_s = static_cast<double>(offset) / rate_hz;
            const double to_s = static_cast<double>(offset + 2 * hop) / rate_hz;
            if (single && is_sounding(short_time.bands()[b], from_s, to_s, excitation))
                continue;
            cells[b].unlike_by_air = unlike_by_air(short_time.bands()[b], to_s, stretch, excitation);
            tracks[b].offsets.push_back(offset);
            tracks[b].cells.push_back(std::move(cells[b]));
        }
    }
    std::vector<Flagged> flagged;
    for (std::size_t b = 0; b < tracks.size(); ++b)
        judge(tracks[b], short_time.bands()[b], flagged);
    std::stable_sort(flagged.begin(), flagged.end(),
                     [](const Flagged& a, const Flagged& b) { return a.offset < b.offset; });
    std::vector<Disturbance> found;
    for (std::size_t s = 0; s < starts.size(); ++s) {
        Joined joined(starts, 2 * short_time.hop(), rate_hz);
        for (const Flagged& cell : flagged)
            if (starts.size() == 2 ? s == 0 : cell.sweep == s)
                joined.add(cell);
        const auto more = joined.done();
        found.insert(found.end(), more.begin(), more.end());
    }
    return found;
}

} // namespace ebbmark
