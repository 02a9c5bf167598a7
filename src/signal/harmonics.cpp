// SPDX-License-Identifier: GPL-3.0-or-later
#include "signal/harmonics.hpp"

#include "signal/fft.hpp"
#include "signal/samples.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace ebbmark {

namespace {

// A harmonic is given where its energy is over this many times the noise's in the same window and band: with
// the noise taken off, 0.5 dB remain sure.
constexpr double least_over_noise = 4;
// The next harmonic still rings in the room when this one comes: an energy of this part of its own adds 0.5
// dB where both are in phase. Of the sum of all orders this part may be unsure.
constexpr double most_of_next = 0.0025, most_unsure = 0.1;
// A window of length T tells frequencies 2/T apart: further than this many 1/T a harmonic must be from where
// the sweep began, which was faded in.
constexpr double clear_of_edge = 3;
constexpr double noise_order = 6.5; // where the noise is judged: between harmonics 6 and 7

double lead_s(const Excitation& excitation, double order) {
    return excitation.harmonic_lead_s * std::log2(order);
}

/// Energy spectrum of a window of a response, one density per bin, summed over bands on request.
class Window {
  public:
    /// `from` … `to` samples of `response`; ends fade over a tenth at the start, a fifth at the end.
    Window(RealFft& fft, std::span<const double> response, std::ptrdiff_t from, std::ptrdiff_t to,
           double rate_hz)
        : hz_per_bin_(rate_hz / static_cast<double>(fft.size())) {
        from = std::max<std::ptrdiff_t>(from, 0);
        to = std::min<std::ptrdiff_t>(to, static_cast<std::ptrdiff_t>(response.size()));
        if (to <= from)
            return;
        std::vector<double> piece(response.begin() + from, response.begin() + to);
        const double length = static_cast<double>(piece.size());
        for (std::size_t n = 0; n < piece.size(); ++n) {
            const double part = (static_cast<double>(n) + 0.5) / length;
            const double edge = std::min({1.0, part / 0.1, (1 - part) / 0.2});
            piece[n] *= 0.5 * (1 - std::cos(std::numbers::pi * edge));
        }
        spectrum_ = fft.forward(piece);
    }

    double energy(double from_hz, double to_hz) const {
        double sum = 0;
        const auto first = static_cast<std::size_t>(std::ceil(from_hz / hz_per_bin_));
        for (std::size_t k = first; k < spectrum_.size() && static_cast<double>(k) * hz_per_bin_ <= to_hz;
             ++k)
            sum += std::norm(spectrum_[k]);
        return sum;
    }

  private:
    double hz_per_bin_;
    std::vector<Complex> spectrum_;
};

/// The linear response as far as a harmonic reaches: order n has nothing below n times the sweep's start, and
/// that edge rings into the bands above it, in a short window most of all. So both get the same edge.
class Edged {
  public:
    Edged(std::span<const double> linear, const Excitation& excitation)
        : fft_(fast_fft_size(2 * linear.size())), spectrum_(fft_.forward(linear)), size_(linear.size()),
          hz_per_bin_(excitation.sweep.rate_hz / static_cast<double>(fft_.size())) {}

    std::vector<double> from(double hz) {
        auto spectrum = spectrum_;
        const auto edge = std::min(spectrum.size(), static_cast<std::size_t>(std::ceil(hz / hz_per_bin_)));
        std::fill_n(spectrum.begin(), edge, Complex(0));
        auto samples = fft_.inverse(spectrum);
        samples.resize(size_);
        return samples;
    }

  private:
    RealFft fft_;
    std::vector<Complex> spectrum_;
    std::size_t size_;
    double hz_per_bin_;
};

/// One harmonic, and the linear response in a window of the same shape and with the same edge, so that both
/// hold the same part of the room's decay.
struct Order {
    Window harmonic, linear;
    Window linear_later; ///< when the next harmonic's window has come to the place of this one's
};

/// As long as the closest pair of harmonics allows.
struct Windows {
    Windows(std::span<const double> response, std::size_t arrival, const Excitation& excitation)
        : length_s(std::min(0.5, lead_s(excitation, 1.0 + 1.0 / highest_harmonic))) {
        const double rate_hz = excitation.sweep.rate_hz;
        RealFft fft(fast_fft_size(2 * frames(length_s, rate_hz) + 2));
        const auto window = [&](std::span<const double> samples, std::size_t at, double later_s) {
            const double start_s = later_s - 0.15 * length_s;
            const auto start = static_cast<std::ptrdiff_t>(at) + std::llround(start_s * rate_hz);
            return Window(fft, samples, start, start + static_cast<std::ptrdiff_t>(frames(length_s, rate_hz)),
                          rate_hz);
        };
        noise.push_back(window(response, arrival, -lead_s(excitation, noise_order)));
        const std::size_t before = std::min(arrival, frames(0.5 * lead_s(excitation, 2), rate_hz));
        Edged edged(response.subspan(arrival - before), excitation);
        for (int order = 2; order <= highest_harmonic; ++order) {
            const auto linear = edged.from(order * excitation.from_hz);
            orders.push_back({window(response, arrival, -lead_s(excitation, order)),
                              window(linear, before, 0),
                              window(linear, before, lead_s(excitation, 1 + 1.0 / order))});
        }
    }

    double length_s;
    std::vector<Order> orders; ///< from 2 on
    std::vector<Window> noise;
};

/// Of one harmonic, its part of the linear response's energy at the frequencies that it is received at.
struct Part {
    double square = 0;
    bool sure = false; ///< within 0.5 dB of the amplitude
};

/// Nothing where it is not above the noise.
std::optional<Part> part_of(const Windows& windows, int order, const Band& band, double sweep_from_hz) {
    const double from_hz = order * band.lower_hz, to_hz = order * band.upper_hz;
    const auto index = static_cast<std::size_t>(order) - 2;
    const Order& own = windows.orders[index];
    const double noise = windows.noise.front().energy(from_hz, to_hz);
    const double harmonic = own.harmonic.energy(from_hz, to_hz);
    const double linear = own.linear.energy(from_hz, to_hz) - noise;
    if (harmonic < least_over_noise * noise || harmonic == 0 || linear <= noise)
        return {};
    Part part{(harmonic - noise) / linear,
              from_hz - order * sweep_from_hz >= clear_of_edge / windows.length_s};
    if (index + 1 < windows.orders.size()) {
        const double next = windows.orders[index + 1].harmonic.energy(from_hz, to_hz) - noise;
        const double ringing = std::max(0.0, own.linear_later.energy(from_hz, to_hz) - noise) / linear;
        part.sure = part.sure && next * ringing <= most_of_next * (harmonic - noise);
    }
    return part;
}

} // namespace

std::vector<BandDistortion> harmonic_distortion(std::span<const double> response, std::size_t arrival,
                                                const Excitation& excitation) {
    const Windows windows(response, arrival, excitation);
    std::vector<BandDistortion> bands;
    for (const Band& band : bands_between(BandWidth::third, 10, 20000)) {
        if (band.lower_hz < excitation.from_hz || 2 * band.upper_hz > excitation.to_hz)
            continue;
        BandDistortion found{band, {}, {}, {}};
        double squares = 0, unsure = 0;
        for (int order = 2; order <= highest_harmonic && order * band.upper_hz <= excitation.to_hz; ++order)
            if (const auto part = part_of(windows, order, band, excitation.from_hz)) {
                (part->sure ? squares : unsure) += part->square;
                if (part->sure)
                    found.percent[static_cast<std::size_t>(order) - 2] = 100 * std::sqrt(part->square);
            }
        if (squares + unsure > 0)
            found.rough_percent = 100 * std::sqrt(squares + unsure);
        if (squares > 0 && unsure <= most_unsure * squares)
            found.total_percent = found.rough_percent;
        bands.push_back(found);
    }
    return bands;
}

} // namespace ebbmark
