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

/// Windows of the linear response, the harmonics and the noise: of one shape, so that each holds the same
/// part of the room's decay. As long as the closest pair of harmonics allows.
struct Windows {
    Windows(std::span<const double> response, std::size_t arrival, const Excitation& excitation) {
        const double rate_hz = excitation.sweep.rate_hz;
        const double length_s = std::min(0.5, lead_s(excitation, 1.0 + 1.0 / highest_harmonic));
        RealFft fft(fast_fft_size(2 * frames(length_s, rate_hz) + 2));
        const auto window = [&](double order) {
            const double start_s = -lead_s(excitation, order) - 0.15 * length_s;
            const auto start = static_cast<std::ptrdiff_t>(arrival) + std::llround(start_s * rate_hz);
            return Window(fft, response, start,
                          start + static_cast<std::ptrdiff_t>(frames(length_s, rate_hz)), rate_hz);
        };
        for (int order = 1; order <= highest_harmonic; ++order)
            of_order.push_back(window(order));
        noise.push_back(window(noise_order));
    }

    std::vector<Window> of_order;
    std::vector<Window> noise;
};

} // namespace

std::vector<BandDistortion> harmonic_distortion(std::span<const double> response, std::size_t arrival,
                                                const Excitation& excitation) {
    const Windows windows(response, arrival, excitation);
    std::vector<BandDistortion> bands;
    for (const Band& band : bands_between(BandWidth::third, 10, 20000)) {
        if (band.lower_hz < excitation.from_hz || 2 * band.upper_hz > excitation.to_hz)
            continue;
        BandDistortion found{band, {}, {}};
        double squares = 0;
        for (int order = 2; order <= highest_harmonic && order * band.upper_hz <= excitation.to_hz; ++order) {
            const double from_hz = order * band.lower_hz, to_hz = order * band.upper_hz;
            const double noise = windows.noise.front().energy(from_hz, to_hz);
            const double harmonic =
                windows.of_order[static_cast<std::size_t>(order) - 1].energy(from_hz, to_hz);
            const double linear = windows.of_order.front().energy(from_hz, to_hz) - noise;
            if (harmonic < least_over_noise * noise || harmonic == 0 || linear <= noise)
                continue;
            const double square = (harmonic - noise) / linear;
            squares += square;
            found.percent[static_cast<std::size_t>(order) - 2] = 100 * std::sqrt(square);
        }
        if (squares > 0)
            found.total_percent = 100 * std::sqrt(squares);
        bands.push_back(found);
    }
    return bands;
}

} // namespace ebbmark
