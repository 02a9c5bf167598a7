// SPDX-License-Identifier: GPL-3.0-or-later
#include "signal/same_place.hpp"

#include "base/bands.hpp"
#include "signal/fft.hpp"
#include "signal/samples.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace ebbmark {

namespace {

// Air that drifts makes late and high parts unlike: 1 °C shifts the end of 0.2 s by 0.35 ms. What lies before
// holds 20 dB and more of the decay of a small room.
constexpr double judged_s = 0.2, before_s = 0.005;
constexpr double from_hz = 63, to_hz = 2000;
constexpr double treble_from_hz = 1000;                            ///< from here on two centimetres show
constexpr double over_noise_treble = 31.6, over_noise_bass = 1000; // 15 and 30 dB
// What lies further under the loudest octave is the skirt of other frequencies' onset, not a part of its own.
constexpr double under_loudest = 1e-3;
constexpr double least_likeness = 0.98, least_likeness_of_bass = 0.998;

/// From just before the strongest sample's first quarter on, fading out.
std::vector<double> first_part(const Signal& response) {
    const std::size_t best = strongest(response.samples);
    const std::size_t back = std::min(best, frames(0.05, response.rate_hz));
    std::size_t first = best - back;
    while (first < best && std::abs(response.samples[first]) < 0.25 * std::abs(response.samples[best]))
        ++first;
    const std::size_t before = std::min(first, frames(before_s, response.rate_hz));
    std::vector<double> piece(frames(judged_s, response.rate_hz));
    for (std::size_t n = 0; n < piece.size() && first - before + n < response.size(); ++n) {
        const double part = static_cast<double>(n) / static_cast<double>(piece.size());
        piece[n] = response.samples[first - before + n] * 0.5 * (1 + std::cos(std::numbers::pi * part));
    }
    return piece;
}

/// What is left at the end, in the same window: noise. Nothing in short responses, which are taken as clean.
std::vector<double> last_part(const Signal& response) {
    const std::size_t length = frames(judged_s, response.rate_hz);
    std::vector<double> piece(length);
    if (response.size() < 3 * length)
        return piece;
    const std::size_t first = response.size() - length;
    for (std::size_t n = 0; n < length; ++n) {
        const double part = static_cast<double>(n) / static_cast<double>(length);
        piece[n] = response.samples[first + n] * 0.5 * (1 + std::cos(std::numbers::pi * part));
    }
    return piece;
}

struct Spectra {
    std::vector<Complex> first, last;
};

Spectra spectra_of(const Signal& response, RealFft& fft) {
    return {fft.forward(first_part(response)), fft.forward(last_part(response))};
}

std::size_t size_for(double rate_hz) {
    return fast_fft_size(2 * frames(judged_s, rate_hz));
}

struct Bins {
    std::size_t from, to;
};

double power(const std::vector<Complex>& spectrum, const Bins& bins) {
    double sum = 0;
    for (std::size_t k = bins.from; k < bins.to; ++k)
        sum += std::norm(spectrum[k]);
    return sum;
}

/// Highest of the cross-correlation in one octave without the noises' part.
std::optional<double> likeness_in(const Spectra& a, const Spectra& b, const Bins& bins, double over_noise,
                                  RealFft& fft) {
    const double all_a = power(a.first, bins), all_b = power(b.first, bins);
    const double noise_a = power(a.last, bins), noise_b = power(b.last, bins);
    if (!(all_a > over_noise * noise_a) || !(all_b > over_noise * noise_b))
        return {};
    std::vector<Complex> cross(fft.bins());
    for (std::size_t k = bins.from; k < bins.to; ++k)
        cross[k] = b.first[k] * std::conj(a.first[k]);
    const auto correlation = fft.inverse(cross);
    const double highest =
        std::abs(correlation[strongest(correlation)]) * static_cast<double>(fft.size()) / 2;
    return highest / std::sqrt((all_a - noise_a) * (all_b - noise_b));
}

std::optional<PlaceLikeness> likeness_of(const Spectra& a, const Spectra& b, double rate_hz, RealFft& fft) {
    std::optional<PlaceLikeness> likeness;
    const double per_bin = rate_hz / static_cast<double>(fft.size());
    const auto bins = [&](const Band& band) {
        return Bins{static_cast<std::size_t>(std::ceil(band.lower_hz / per_bin)),
                    std::min(fft.bins(), static_cast<std::size_t>(std::ceil(band.upper_hz / per_bin)))};
    };
    const auto octaves = bands_between(BandWidth::octave, from_hz, to_hz);
    double loudest = 0;
    for (const Band& band : octaves)
        loudest = std::max(loudest, power(a.first, bins(band)));
    for (const Band& band : octaves) {
        if (band.upper_hz > 0.4 * rate_hz || power(a.first, bins(band)) < under_loudest * loudest)
            continue;
        const bool treble = band.nominal_hz >= treble_from_hz;
        const auto one = likeness_in(a, b, bins(band), treble ? over_noise_treble : over_noise_bass, fft);
        if (one)
            likeness = PlaceLikeness{likeness ? std::min(likeness->least, *one) : *one, band.nominal_hz};
    }
    return likeness;
}

} // namespace

std::optional<PlaceLikeness> place_likeness(const Signal& a, const Signal& b) {
    if (a.rate_hz != b.rate_hz || a.samples.empty() || b.samples.empty())
        return {};
    RealFft fft(size_for(a.rate_hz));
    return likeness_of(spectra_of(a, fft), spectra_of(b, fft), a.rate_hz, fft);
}

bool is_one_place(const std::optional<PlaceLikeness>& likeness) {
    if (!likeness)
        return false;
    return likeness->least >=
           (likeness->highest_octave_hz >= treble_from_hz ? least_likeness : least_likeness_of_bass);
}

std::vector<std::vector<std::size_t>> places_of(const std::vector<Signal>& responses) {
    std::vector<std::vector<std::size_t>> places;
    std::vector<Spectra> spectra;
    for (const Signal& response : responses) {
        RealFft fft(size_for(response.rate_hz));
        spectra.push_back(spectra_of(response, fft));
    }
    for (std::size_t i = 0; i < responses.size(); ++i) {
        const double rate_hz = responses[i].rate_hz;
        RealFft fft(size_for(rate_hz));
        const auto own = std::find_if(places.begin(), places.end(), [&](const auto& place) {
            return responses[place.front()].rate_hz == rate_hz &&
                   is_one_place(likeness_of(spectra[place.front()], spectra[i], rate_hz, fft));
        });
        if (own != places.end())
            own->push_back(i);
        else
            places.push_back({i});
    }
    return places;
}

} // namespace ebbmark
