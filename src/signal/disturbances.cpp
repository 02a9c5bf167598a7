// SPDX-License-Identifier: GPL-3.0-or-later
#include "signal/disturbances.hpp"

#include "base/order_statistics.hpp"
#include "signal/band_filter.hpp"
#include "signal/fft.hpp"
#include "signal/rattle.hpp"
#include "signal/samples.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <optional>
#include <utility>

namespace ebbmark {

namespace {

constexpr double frame_s = 0.085;
// Beside a sweep that is not repeated its side lobes count, down to noise 100 dB under it, which a band holds
// 30 dB of. Kaiser's window of this shape keeps them 133 dB down (Kaiser and Schafer 1980); a frame as long
// again brings back the width of its main lobe, and frames at every quarter what its ends lose.
constexpr double single_frame_s = 0.17;
constexpr double kaiser_shape = 18;
constexpr double main_lobe_bins = 6;
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
// With one sweep: what the room may still hold of it falls off with this multiple of the decay time seen in
// the response, from this multiple of the strongest that it was.
constexpr double slower_than_seen = 2, louder_than_seen = 4;
constexpr double highest_harmonic = 10; // that a loudspeaker may add while the sweep passes lower down
constexpr double tail_s = 2.5;          // of harmonics above the sweep's end
constexpr std::size_t least_cells = 8;  // for a band's noise
// Sound above the tone that is played is the loudspeaker's where it repeats itself with the tone's period
// this well, or is in every sweep when it passes there.
constexpr double least_likeness_of_rattle = 0.3;
constexpr double least_energy_in_each = 0.1; // of the strongest sweep's

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

double median_or_0(std::vector<double> values) {
    return values.empty() ? 0 : upper_median(std::move(values));
}

/// Energies of one frame of all sweeps in one band.
struct Cell {
    std::vector<double> whole; ///< of each sweep
    std::vector<double>
        unlike;               ///< of each sweep's difference from the mean of the others; one sweep: its own
    double unlike_by_air = 0; ///< of what the room still holds, the part that another air makes unlike
};

/// Kaiser's window, highest value 1.
std::vector<double> kaiser_window(std::size_t size, double shape) {
    const auto bessel = [](double x) { // modified, of order 0: its power series
        double sum = 1, term = 1;
        for (int k = 1; term > 1e-17 * sum; ++k)
            sum += term *= 0.25 * x * x / (k * k);
        return sum;
    };
    std::vector<double> window(size);
    for (std::size_t n = 0; n < size; ++n) {
        const double x = 2 * (static_cast<double>(n) + 0.5) / static_cast<double>(size) - 1;
        window[n] = bessel(shape * std::sqrt(1 - x * x)) / bessel(shape);
    }
    return window;
}

std::vector<double> hann_window(std::size_t size) {
    std::vector<double> window(size);
    for (std::size_t n = 0; n < size; ++n)
        window[n] =
            0.5 *
            (1 - std::cos(2 * std::numbers::pi * (static_cast<double>(n) + 0.5) / static_cast<double>(size)));
    return window;
}

/// Short-time spectra of all sweeps, frame by frame, with the sweeps at the same place in the frame.
class Frames {
  public:
    Frames(std::span<const double> recording, std::span<const double> starts, double rate_hz)
        : recording_(recording), starts_(starts),
          fft_(fast_fft_size(frames(starts.size() == 1 ? single_frame_s : frame_s, rate_hz))),
          bands_(judged_bands(fft_.size(), rate_hz)),
          window_(starts.size() == 1 ? kaiser_window(fft_.size(), kaiser_shape) : hann_window(fft_.size())) {}

    const std::vector<Bins>& bands() const { return bands_; }
    std::size_t size() const { return fft_.size(); }
    std::size_t hop() const { return fft_.size() / (starts_.size() == 1 ? 4 : 2); }

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
    RealFft fft_;
    std::vector<Bins> bands_;
    std::vector<double> window_;
};

/// One band over time.
struct Track {
    std::vector<std::ptrdiff_t> offsets;
    std::vector<Cell> cells;
};

/// Whether the loudspeaker's harmonics may sound in a band between two times after the sweep's start.
bool holds_harmonics(const Bins& band, double beside_hz, double from_s, double to_s,
                     const Excitation& excitation) {
    const double constant_s = excitation.harmonic_lead_s / std::numbers::ln2;
    const double low_hz = std::max(1.0, band.from_hz / 1.15 - beside_hz);
    const double first_s = constant_s * std::log(std::max(1.0, low_hz / excitation.from_hz)) -
                           constant_s * std::log(highest_harmonic);
    // From then on the sweep itself counts; never, beyond its end: what its last harmonics leave in the room.
    const double last_s =
        band.from_hz > excitation.to_hz
            ? excitation.sweep.duration_s() + tail_s
            : constant_s * std::log(std::max(1.0, 1.15 * band.from_hz / excitation.from_hz));
    return to_s > std::max(-0.1, first_s) && from_s < last_s;
}

/// Where a band's energy rises again after the arrival, as it does in no room: another sound, which would
/// pass for the room's own decay; its end where it does not. Maxima of blocks: of beating modes the gaps are
/// no ends.
std::size_t until_it_rises(const BandEnvelope& envelope, double bandwidth_hz) {
    // Chosen on one invented room with a knock, judged on others (README).
    constexpr double rise = 10, shortest_block_s = 0.1, block_widths = 4;
    const auto& energy = envelope.energy;
    const double block_s = std::max(shortest_block_s, block_widths / bandwidth_hz);
    const std::size_t block = std::max<std::size_t>(1, frames(block_s, 1 / envelope.step_s));
    // Not from the very start: before the arrival only the filter rings.
    const auto arrival_end = frames(0.5 * block_s - envelope.start_s, 1 / envelope.step_s);
    double least = std::numeric_limits<double>::infinity();
    for (std::size_t from = arrival_end; from + block <= energy.size(); from += block) {
        const auto at = energy.begin() + static_cast<std::ptrdiff_t>(from);
        const double most = *std::max_element(at, at + static_cast<std::ptrdiff_t>(block));
        if (most > rise * least)
            return from;
        least = std::min(least, most);
    }
    return energy.size();
}

/// Decay time of a response within a band, 0 at first: the longest of several ranges that noise does not
/// reach.
double decay_time_s(const BandEnvelope& envelope) {
    const auto& energy = envelope.energy;
    const std::size_t end = energy.size() * 9 / 10;
    if (end == 0)
        return 0;
    double noise = 0, left = 0;
    for (std::size_t n = end; n < energy.size(); ++n)
        noise += energy[n] / static_cast<double>(energy.size() - end);
    std::vector<double> curve(end);
    for (std::size_t n = end; n-- > 0;)
        curve[n] = left = left + energy[n] - noise;
    const auto reaches_s = [&](double db) -> std::optional<double> {
        for (std::size_t n = 0; n < end; ++n)
            if (curve[n] <= curve[0] * std::pow(10, db / 10))
                return curve[n] > 2 * noise * static_cast<double>(end - n)
                           ? std::optional(static_cast<double>(n) * envelope.step_s)
                           : std::nullopt;
        return {};
    };
    double longest_s = 0;
    for (const double db : {-5.0, -15.0, -25.0, -35.0}) {
        const auto from_s = reaches_s(db), to_s = reaches_s(db - 10);
        if (from_s && to_s)
            longest_s = std::max(longest_s, 6 * (*to_s - *from_s));
    }
    return longest_s;
}

/// Of each band and its neighbours, 0.2 s at least; `response` from the arrival on.
std::vector<double> decay_times_s(std::span<const double> response, const std::vector<Bins>& bands,
                                  const Excitation& excitation) {
    std::vector<double> own(bands.size()), longest(bands.size(), 0.2);
    BandFilterBank bank({{response.begin(), response.end()}, excitation.sweep.rate_hz}, 20);
    for (std::size_t b = 0; b < bands.size(); ++b) {
        const double exact_hz = std::sqrt(bands[b].from_hz * bands[b].to_hz);
        if (bands[b].to_hz <= excitation.from_hz || bands[b].from_hz >= excitation.to_hz)
            continue;
        BandEnvelope envelope =
            bank.envelope({BandWidth::third, 0, exact_hz, exact_hz, bands[b].from_hz, bands[b].to_hz});
        envelope.energy.resize(until_it_rises(envelope, bands[b].to_hz - bands[b].from_hz));
        own[b] = decay_time_s(envelope);
    }
    for (std::size_t b = 0; b < bands.size(); ++b)
        for (std::size_t other = b > 1 ? b - 2 : 0; other < std::min(bands.size(), b + 3); ++other)
            longest[b] = std::max(longest[b], own[other]);
    return longest;
}

/// The most that a sweep, played once, can make the bands hold, over the frames: its own spectrum in each
/// frame, falling off as the room does, at the strongest level at which the recording has it. One row for
/// each band.
std::vector<std::vector<double>> expected(const std::vector<Track>& tracks, const Frames& recorded,
                                          std::span<const double> response, const Excitation& excitation) {
    const double rate_hz = excitation.sweep.rate_hz;
    const double hop_s = static_cast<double>(recorded.hop()) / rate_hz;
    const std::size_t pad = 2 * recorded.size();
    std::vector<double> played(pad, 0.0);
    played.insert(played.end(), excitation.sweep.samples.begin(), excitation.sweep.samples.end());
    played.resize(played.size() + pad);
    const std::vector<double> start{static_cast<double>(pad)};
    Frames frames_of_sweep(played, start, rate_hz);
    const auto decays_s = decay_times_s(response, recorded.bands(), excitation);
    std::vector<std::vector<double>> levels(tracks.size());
    const auto& offsets = tracks.front().offsets;
    std::vector<std::vector<double>> own(tracks.size(), std::vector<double>(offsets.size() + 1));
    for (std::size_t n = 0; n < offsets.size(); ++n) {
        const auto cells = frames_of_sweep.at(offsets[n]);
        for (std::size_t b = 0; b < cells.size(); ++b)
            own[b][n] = cells[b].whole.front();
    }
    for (std::size_t b = 0; b < tracks.size(); ++b) {
        const double kept = std::pow(10, -6 * hop_s / (slower_than_seen * decays_s[b]));
        double held = 0, most = 0, gain = 0;
        for (std::size_t n = 0; n < offsets.size(); ++n) {
            held = std::max({held * kept, own[b][n], own[b][n + 1]});
            levels[b].push_back(held);
            most = std::max(most, held);
        }
        for (std::size_t n = 0; n < offsets.size(); ++n)
            if (own[b][n] > 0.1 * most)
                gain = std::max(gain, tracks[b].cells[n].whole.front() / own[b][n]);
        for (double& level : levels[b])
            level *= louder_than_seen * gain;
    }
    return levels;
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
    double over = 0;      ///< times the median
    double more = 0;      ///< with two sweeps: energy of the second less the first, over the median
    double part = 0;      ///< of the sweep's energy in the band
    bool in_each = false; ///< of several sweeps
};

double limit_of(const Bins& band) {
    return limit_over_median + limit_per_bin / static_cast<double>(band.last - band.first + 1);
}

/// Of one sweep in a band, the noise taken out.
double energy_of_sweep(const Track& track, double noise) {
    double sum = 0;
    for (const Cell& cell : track.cells)
        sum += std::max(0.0, cell.whole.front() - noise);
    return std::max(sum, 1e-300);
}

bool is_in_each(const Cell& cell, double least) {
    const auto [weakest, loudest] = std::minmax_element(cell.whole.begin(), cell.whole.end());
    return *weakest > least && *weakest > least_energy_in_each * *loudest;
}

/// With several sweeps: what is unlike the others.
void judge_repeats(const Track& track, const Bins& band, std::vector<Flagged>& flagged) {
    std::vector<double> levels, unlikeness;
    for (const Cell& cell : track.cells)
        levels.insert(levels.end(), cell.unlike.begin(), cell.unlike.end());
    const double noise = median_or_0(std::move(levels));
    for (const Cell& cell : track.cells)
        for (std::size_t s = 0; s < cell.whole.size(); ++s)
            if (cell.whole[s] > loud_over_median * noise)
                unlikeness.push_back(cell.unlike[s] / cell.whole[s]);
    const double unlike = unlike_allowance * median_or_0(std::move(unlikeness));
    const double sweep_energy = energy_of_sweep(track, noise);
    for (std::size_t n = 0; n < track.cells.size(); ++n) {
        const Cell& cell = track.cells[n];
        const auto worst = static_cast<std::size_t>(std::max_element(cell.unlike.begin(), cell.unlike.end()) -
                                                    cell.unlike.begin());
        const double allowed = noise + (unlike + air_allowance * cell.unlike_by_air) *
                                           *std::min_element(cell.whole.begin(), cell.whole.end());
        if (cell.unlike[worst] > limit_of(band) * allowed && cell.unlike[worst] > 0)
            flagged.push_back(
                {track.offsets[n], worst, band, cell.unlike[worst] / std::max(noise, 1e-300),
                 cell.whole.size() == 2 ? (cell.whole[1] - cell.whole[0]) / std::max(noise, 1e-300) : 0,
                 cell.unlike[worst] / sweep_energy, is_in_each(cell, limit_of(band) * noise)});
    }
}

/// A band's noise: median over the cells in which least is expected of the sweep, less than the noise itself.
std::optional<double> noise_beside_sweep(const Track& track, const std::vector<double>& expected,
                                         const std::vector<bool>& judged) {
    std::vector<std::pair<double, double>> cells; // expected, there
    for (std::size_t n = 0; n < track.cells.size(); ++n)
        if (judged[n])
            cells.emplace_back(expected[n], track.cells[n].whole.front());
    if (cells.size() < least_cells)
        return {};
    std::stable_sort(cells.begin(), cells.end(),
                     [](const auto& a, const auto& b) { return a.first < b.first; });
    std::size_t used = std::max(least_cells, cells.size() / 4);
    double noise = 0;
    for (int pass = 0; pass < 3; ++pass) {
        std::vector<double> there;
        for (std::size_t n = 0; n < used; ++n)
            there.push_back(cells[n].second);
        noise = median_or_0(std::move(there));
        while (used < cells.size() && cells[used].first < noise)
            ++used;
    }
    return noise;
}

/// With one sweep: what neither noise nor the sweep in the room accounts for.
void judge_single(const Track& track, const Bins& band, const std::vector<double>& expected, double beside_hz,
                  double frame_length_s, const Excitation& excitation, std::vector<Flagged>& flagged) {
    std::vector<bool> judged;
    for (const std::ptrdiff_t offset : track.offsets) {
        const double from_s = static_cast<double>(offset) / excitation.sweep.rate_hz;
        judged.push_back(!holds_harmonics(band, beside_hz, from_s, from_s + frame_length_s, excitation));
    }
    const auto noise = noise_beside_sweep(track, expected, judged);
    if (!noise)
        return;
    const double sweep_energy = energy_of_sweep(track, *noise);
    for (std::size_t n = 0; n < track.cells.size(); ++n) {
        const double there = track.cells[n].whole.front();
        if (judged[n] && there > limit_of(band) * *noise + expected[n] && there > 0)
            flagged.push_back({track.offsets[n], 0, band, there / std::max(*noise, 1e-300), 0,
                               there / sweep_energy, false});
    }
}

/// Flagged cells of one sweep that follow each other, as one disturbance.
class Joined {
  public:
    Joined(std::span<const double> recording, std::span<const double> starts, std::size_t frame,
           const Excitation& excitation)
        : recording_(recording), starts_(starts), frame_(frame), rate_hz_(excitation.sweep.rate_hz),
          excitation_(excitation) {}

    void add(const Flagged& cell) {
        if (!parts_.empty() &&
            cell.offset - parts_.back().offset >
                joined_frames * static_cast<std::ptrdiff_t>(frame_ / (starts_.size() == 1 ? 4 : 2)))
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
        name_rattle(found_.back(), start);
        for (const Flagged& part : parts_)
            found_.back().cells.push_back({middle_s(part), part.band.from_hz, part.band.to_hz, part.part});
        parts_.clear();
    }

    double middle_s(const Flagged& part) const {
        return (static_cast<double>(part.offset) + 0.5 * static_cast<double>(frame_)) / rate_hz_;
    }

    /// Where it lies above the tone that is played and goes with it.
    void name_rattle(Disturbance& disturbance, double start) const {
        double over = 0, above = 0, in_each = 0, at_s = 0;
        for (const Flagged& part : parts_) {
            const double middle = middle_s(part), tone_hz = played_hz(excitation_, middle);
            over += part.over;
            at_s += part.over * middle;
            if (middle > 0 && middle < excitation_.sweep.duration_s() && part.band.from_hz > tone_hz) {
                above += part.over;
                in_each += part.in_each ? part.over : 0;
            }
        }
        const bool rattles =
            above > 0.9 * over &&
            (in_each > 0.9 * over ||
             likeness_after_period(recording_, start, disturbance, excitation_) >= least_likeness_of_rattle);
        if (rattles)
            disturbance.rattle_hz = played_hz(excitation_, at_s / over);
    }

    std::span<const double> recording_;
    std::span<const double> starts_;
    std::size_t frame_;
    double rate_hz_;
    const Excitation& excitation_;
    std::vector<Flagged> parts_;
    std::vector<Disturbance> found_;
};

} // namespace

std::vector<Disturbance> find_disturbances(std::span<const double> recording, const Sweeps& sweeps,
                                           const Excitation& excitation) {
    const auto starts = sweeps.starts;
    const double stretch = widest(sweeps.stretch);
    const double rate_hz = excitation.sweep.rate_hz;
    Frames short_time(recording, starts, rate_hz);
    const auto& bands = short_time.bands();
    const auto hop = static_cast<std::ptrdiff_t>(short_time.hop());
    const auto size = static_cast<std::ptrdiff_t>(short_time.size());
    const bool single = starts.size() == 1;
    // With one sweep all of the recording is looked at, with several from half a second before to the next
    // one.
    const std::ptrdiff_t first = single ? -std::llround(starts.front()) : -std::llround(0.5 * rate_hz);
    const std::ptrdiff_t last = single ? static_cast<std::ptrdiff_t>(recording.size())
                                       : std::llround((excitation.repeat_period_s - 0.5) * rate_hz);
    std::vector<Track> tracks(bands.size());
    for (std::ptrdiff_t offset = first; offset + size <= last; offset += hop) {
        auto cells = short_time.at(offset);
        for (std::size_t b = 0; b < cells.size(); ++b) {
            cells[b].unlike_by_air =
                unlike_by_air(bands[b], static_cast<double>(offset + size) / rate_hz, stretch, excitation);
            tracks[b].offsets.push_back(offset);
            tracks[b].cells.push_back(std::move(cells[b]));
        }
    }
    std::vector<Flagged> flagged;
    if (single) {
        const auto sweep_alone = expected(tracks, short_time, sweeps.response, excitation);
        const double beside_hz = main_lobe_bins * rate_hz / static_cast<double>(size);
        for (std::size_t b = 0; b < tracks.size(); ++b)
            judge_single(tracks[b], bands[b], sweep_alone[b], beside_hz, static_cast<double>(size) / rate_hz,
                         excitation, flagged);
    } else {
        for (std::size_t b = 0; b < tracks.size(); ++b)
            judge_repeats(tracks[b], bands[b], flagged);
    }
    std::stable_sort(flagged.begin(), flagged.end(),
                     [](const Flagged& a, const Flagged& b) { return a.offset < b.offset; });
    std::vector<Disturbance> found;
    for (std::size_t s = 0; s < starts.size(); ++s) {
        Joined joined(recording, starts, short_time.size(), excitation);
        for (const Flagged& cell : flagged)
            if (starts.size() == 2 ? s == 0 : cell.sweep == s)
                joined.add(cell);
        const auto more = joined.done();
        found.insert(found.end(), more.begin(), more.end());
    }
    return found;
}

} // namespace ebbmark
