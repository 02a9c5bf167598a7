// SPDX-License-Identifier: GPL-3.0-or-later
#include "ringing/waterfall.hpp"

#include "base/error.hpp"
#include "base/order_statistics.hpp"
#include "decay/onset.hpp"
#include "ringing/low_rate.hpp"
#include "signal/fft.hpp"
#include "signal/samples.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace ebbmark {

namespace {

// A window that begins abruptly smears what rings loudly over all frequencies: 30 ms keep that within about
// 30 Hz of it, and cost 7 % of the resolution in time.
constexpr double rise_s = 0.03;
constexpr double samples_per_period = 4;
constexpr double bin_hz = 0.5; ///< at most, by zeros behind the window
constexpr double steps_per_octave = 24;
// r² of the straight line below which the levels beat or bend so much that no decay time describes them; a
// plain decay has 0.99 and more.
constexpr double least_straightness = 0.9;
constexpr double faintest = 1e-20; ///< power of the strongest that a level can show

std::vector<double> window_of(double rate_hz, double window_s) {
    const std::size_t rise = frames(rise_s, rate_hz), fall = frames(window_s, rate_hz);
    std::vector<double> window(rise + fall);
    for (std::size_t n = 0; n < rise; ++n)
        window[n] = 0.5 - 0.5 * std::cos(std::numbers::pi * (static_cast<double>(n) + 0.5) /
                                         static_cast<double>(rise));
    for (std::size_t n = 0; n < fall; ++n)
        window[rise + n] = 0.5 + 0.5 * std::cos(std::numbers::pi * (static_cast<double>(n) + 0.5) /
                                                static_cast<double>(fall));
    return window;
}

/// Power of the window's spectrum at `hz` over that at 0.
double response_at(const std::vector<double>& window, double rate_hz, double hz) {
    Complex sum = 0;
    double whole = 0;
    for (std::size_t n = 0; n < window.size(); ++n) {
        sum += std::polar(window[n], -2 * std::numbers::pi * hz * static_cast<double>(n) / rate_hz);
        whole += window[n];
    }
    return std::norm(sum) / (whole * whole);
}

double half_power_width_hz(const std::vector<double>& window, double rate_hz) {
    double low = 0, high = 20 * rate_hz / static_cast<double>(window.size());
    for (int i = 0; i < 40; ++i) {
        const double middle = (low + high) / 2;
        (response_at(window, rate_hz, middle) > 0.5 ? low : high) = middle;
    }
    return 2 * low;
}

double effective_length_s(const std::vector<double>& window, double rate_hz) {
    double second = 0, fourth = 0;
    for (const double w : window) {
        second += w * w;
        fourth += w * w * w * w;
    }
    return second * second / fourth / rate_hz;
}

/// Bins whose mean power is one point of the axis.
struct AxisPoint {
    double hz;
    std::size_t first, last;
};

std::vector<AxisPoint> points_of(const WaterfallOptions& options, double hz_per_bin) {
    std::vector<AxisPoint> points;
    const auto add = [&](double hz, double half_width) {
        const auto nearest = static_cast<std::size_t>(std::lround(hz / hz_per_bin));
        const auto first = static_cast<std::size_t>(std::ceil((hz - half_width) / hz_per_bin));
        const auto last = static_cast<std::size_t>(std::floor((hz + half_width) / hz_per_bin));
        points.push_back(first <= last ? AxisPoint{hz, first, last} : AxisPoint{hz, nearest, nearest});
    };
    if (options.axis == WaterfallAxis::linear)
        for (double hz = options.from_hz; hz <= options.to_hz + 1e-9; hz += 1)
            add(hz, 0.5);
    else
        for (int k = 0;; ++k) {
            const double hz = options.from_hz * std::exp2(k / steps_per_octave);
            if (hz > options.to_hz * (1 + 1e-9))
                break;
            add(hz, hz * (std::exp2(0.5 / steps_per_octave) - 1));
        }
    return points;
}

Measured decay_at(const Waterfall& waterfall, std::size_t point) {
    const double start = waterfall.level_db.front()[point];
    double n = 0, t1 = 0, t2 = 0, l1 = 0, l2 = 0, tl = 0;
    bool reached = false;
    for (std::size_t i = 0; i < waterfall.time_s.size() && !reached; ++i) {
        const double t = waterfall.time_s[i], level = waterfall.level_db[i][point];
        reached = level < start - 25;
        if (level > start - 5 || reached)
            continue;
        n += 1, t1 += t, t2 += t * t, l1 += level, l2 += level * level, tl += t * level;
    }
    if (start - 25 < waterfall.noise_db + 10)
        return Measured::none(Empty::noise);
    const double tt = n * t2 - t1 * t1, tv = n * tl - t1 * l1, vv = n * l2 - l1 * l1;
    const double slope = n >= 3 ? tv / tt : 0;
    if (!reached || !(slope < 0))
        return Measured::none(Empty::length);
    if (tv * tv < least_straightness * tt * vv)
        return Measured::none(Empty::overlap);
    return Measured::of(-60 / slope);
}

void check(const WaterfallOptions& options, const Signal& response, double rest_s) {
    if (response.rate_hz < least_rate_hz(options.to_hz))
        throw Error(ErrorKind::unusable,
                    fmt::format("a waterfall up to {:g} Hz needs a sample rate of at least {:g} Hz",
                                options.to_hz, least_rate_hz(options.to_hz)));
    if (energy(response.samples) == 0)
        throw Error(ErrorKind::unusable, "the response is silent");
    if (rest_s < options.window_s + 0.1)
        throw Error(
            ErrorKind::unusable,
            fmt::format(
                "the response ends {:.2f} s after its onset; a waterfall with a window of {:g} s needs at "
                "least {:g} s",
                rest_s, options.window_s, options.window_s + 0.1));
}

} // namespace

Waterfall make_waterfall(const Signal& response, const WaterfallOptions& options) {
    const std::size_t onset = frames(find_onset_s(response), response.rate_hz);
    const double rest_s = static_cast<double>(response.size() - onset) / response.rate_hz;
    check(options, response, rest_s);
    const std::size_t before = std::min(onset, frames(rise_s, response.rate_hz));
    const Signal low =
        at_low_rate({response.samples.data() + onset - before, response.size() - onset + before},
                    response.rate_hz, options.to_hz, samples_per_period);
    const double start_s = static_cast<double>(before) / response.rate_hz; // the onset's place in `low`
    const auto window = window_of(low.rate_hz, options.window_s);

    Waterfall made;
    made.axis = options.axis;
    made.resolution_hz = half_power_width_hz(window, low.rate_hz);
    made.resolution_s = effective_length_s(window, low.rate_hz);
    RealFft fft(fast_fft_size(std::max(window.size(), static_cast<std::size_t>(low.rate_hz / bin_hz))));
    const auto points = points_of(options, low.rate_hz / static_cast<double>(fft.size()));
    for (const AxisPoint& point : points)
        made.hz.push_back(point.hz);

    const double span_s = std::min(options.span_s, rest_s - options.window_s);
    const double step_s = span_s / std::max(1, options.slices - 1);
    std::vector<double> piece(window.size());
    double strongest = 0;
    for (int i = 0; i < options.slices; ++i) {
        const double moment_s = i * step_s;
        const auto first =
            static_cast<std::ptrdiff_t>(std::lround((start_s + moment_s - rise_s) * low.rate_hz));
        for (std::size_t n = 0; n < window.size(); ++n) {
            const auto at = first + static_cast<std::ptrdiff_t>(n);
            const bool inside = at >= 0 && at < static_cast<std::ptrdiff_t>(low.size());
            piece[n] = inside ? window[n] * low.samples[static_cast<std::size_t>(at)] : 0;
        }
        const auto spectrum = fft.spectrum_of(piece);
        std::vector<double> levels;
        for (const AxisPoint& point : points) {
            double power = 0;
            for (std::size_t k = point.first; k <= point.last; ++k)
                power += std::norm(spectrum[k]);
            levels.push_back(power / static_cast<double>(point.last - point.first + 1));
        }
        if (i == 0)
            strongest = *std::max_element(levels.begin(), levels.end());
        for (double& level : levels)
            level = 10 * std::log10(std::max(level / strongest, faintest));
        made.time_s.push_back(moment_s);
        made.level_db.push_back(std::move(levels));
    }
    made.noise_db = upper_median(made.level_db.back());
    for (std::size_t k = 0; k < points.size(); ++k)
        made.decay_s.push_back(decay_at(made, k));
    return made;
}

std::vector<std::size_t> ridges(const Waterfall& waterfall, std::size_t count) {
    constexpr double neighbour = 1.0595; // a twelfth of an octave
    const double floor_db = std::max(waterfall.noise_db, -60.0);
    std::vector<double> stays(waterfall.hz.size(), 0.0);
    for (const auto& slice : waterfall.level_db)
        for (std::size_t k = 0; k < slice.size(); ++k)
            stays[k] += std::max(0.0, slice[k] - floor_db);
    std::vector<std::size_t> found;
    for (std::size_t k = 0; k < stays.size(); ++k) {
        bool highest = stays[k] > 0;
        for (std::size_t i = 0; i < stays.size(); ++i) {
            const double ratio = waterfall.hz[i] / waterfall.hz[k];
            if (i != k && ratio < neighbour && ratio > 1 / neighbour)
                highest = highest && (stays[i] < stays[k] || (stays[i] == stays[k] && i > k));
        }
        if (highest)
            found.push_back(k);
    }
    std::stable_sort(found.begin(), found.end(),
                     [&](std::size_t a, std::size_t b) { return stays[a] > stays[b]; });
    found.resize(std::min(count, found.size()));
    return found;
}

} // namespace ebbmark
