// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/bands.hpp"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <stdexcept>

namespace ebbmark {

namespace {

// ISO 266 labels of the ten third-octave steps in one decade, as multiples of the decade.
constexpr std::array<double, 10> third_labels = {1.0, 1.25, 1.6, 2.0, 2.5, 3.15, 4.0, 5.0, 6.3, 8.0};

double nominal_of_third(int index) {
    const int steps_from_10_hz = index + 20;
    const double decade = std::pow(10.0, 1 + steps_from_10_hz / 10);
    return third_labels[static_cast<std::size_t>(steps_from_10_hz % 10)] * decade;
}

struct IndexRange {
    int first, last;
};

IndexRange range_of(BandWidth width) {
    return width == BandWidth::octave ? IndexRange{-6, 4} : IndexRange{-20, 13};
}

} // namespace

Band band_at(BandWidth width, int index) {
    const auto range = range_of(width);
    if (index < range.first || index > range.last)
        throw std::out_of_range("band index " + std::to_string(index));
    const double per_octave = width == BandWidth::octave ? 1 : 3;
    const auto frequency = [&](double x) { return 1000 * std::pow(10, 0.3 * x / per_octave); };
    const int as_third = width == BandWidth::octave ? 3 * index : index;
    return {width,
            index,
            nominal_of_third(as_third),
            frequency(index),
            frequency(index - 0.5),
            frequency(index + 0.5)};
}

std::vector<Band> bands_between(BandWidth width, double from_hz, double to_hz) {
    // A hair of tolerance, so that a limit given as the label itself always includes its band.
    constexpr double hair = 1e-9;
    std::vector<Band> bands;
    const auto range = range_of(width);
    for (int index = range.first; index <= range.last; ++index) {
        const Band band = band_at(width, index);
        if (band.nominal_hz >= from_hz * (1 - hair) && band.nominal_hz <= to_hz * (1 + hair))
            bands.push_back(band);
    }
    return bands;
}

std::string name(BandWidth width) {
    return width == BandWidth::octave ? "octave" : "third";
}

std::string label(const Band& band) {
    return band.nominal_hz < 1000 ? fmt::format("{:g}", band.nominal_hz)
                                  : fmt::format("{:g}k", band.nominal_hz / 1000);
}

} // namespace ebbmark
