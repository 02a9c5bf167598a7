// SPDX-License-Identifier: GPL-3.0-or-later
#include "decay/noise.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <optional>

namespace ebbmark {

namespace {

constexpr double nepers_per_db = 0.23025850929940457; // of energy: ln(10) / 10

// Stretch of the decay that is fitted, above the noise. Lundeby asks for 10 to 20 dB that start 5 to 10 dB
// above it; the fit knows the noise and can go down through the crossing.
// 20 to 35 dB and a truncation 0 to 6 dB earlier gave the same errors within chance: what is left is the
// noise that beats with the decay itself.
constexpr double fitted_decay_db = 30;
constexpr std::size_t blocks_above_crossing = 20;

// A decay is strongest near its onset; what peaks later is not the decay of this response. 0.25 s is far more
// than the build-up of a small room.
constexpr double latest_peak_s = 0.25;

struct Block {
    double time_s; ///< middle, after the onset
    double width_s;
    double mean;
};

struct Model {
    double log_level; ///< at `time_s` = reference
    double log_rate;
    double log_noise;
};

/// Block averages by index range relative to the onset.
class Blocks {
  public:
    Blocks(const BandEnergy& band, std::span<const double> sums, std::size_t end)
        : sums_(sums), onset_(band.onset), count_(end > band.onset ? end - band.onset : 0),
          step_s_(band.step_s) {}

    std::size_t count() const { return count_; }
    double step_s() const { return step_s_; }
    double duration_s() const { return static_cast<double>(count_) * step_s_; }
    double mean(std::size_t from, std::size_t to) const {
        return (sums_[onset_ + from] - sums_[onset_ + to]) / static_cast<double>(to - from);
    }
    Block block(std::size_t from, std::size_t to) const {
        return {0.5 * static_cast<double>(from + to) * step_s_, static_cast<double>(to - from) * step_s_,
                mean(from, to)};
    }
    std::size_t index(double time_s) const {
        const double place = std::clamp(time_s / step_s_, 0.0, static_cast<double>(count_));
        return static_cast<std::size_t>(place);
    }

  private:
    std::span<const double> sums_;
    std::size_t onset_, count_;
    double step_s_;
};

/// The quietest tenth within the second half: a later event does not count as noise.
double first_noise(const Blocks& blocks) {
    const std::size_t tenth = std::max<std::size_t>(1, blocks.count() / 10);
    double least = std::numeric_limits<double>::infinity();
    for (std::size_t part = 0; part < 5; ++part) {
        const std::size_t to = blocks.count() - part * (tenth / 2 + 1) * 2 / 2;
        if (to < tenth)
            break;
        least = std::min(least, blocks.mean(to - tenth, to));
    }
    return least;
}

struct Guess {
    double peak_s, crossing_s, rate_per_s;
};

/// A straight line through block levels from the peak down to 6 dB above the noise.
std::optional<Guess> first_guess(const Blocks& blocks, double bandwidth_hz, double noise) {
    const auto length =
        std::clamp<std::size_t>(static_cast<std::size_t>(std::max(1 / bandwidth_hz, 0.003) / blocks.step_s()),
                                1, std::max<std::size_t>(1, blocks.count() / 20));
    const std::size_t count = blocks.count() / length;
    std::vector<double> means(count);
    for (std::size_t b = 0; b < count; ++b)
        means[b] = blocks.mean(b * length, (b + 1) * length);
    const auto peak = static_cast<std::size_t>(std::max_element(means.begin(), means.end()) - means.begin());
    const double width_s = static_cast<double>(length) * blocks.step_s();
    const double peak_s = (static_cast<double>(peak) + 0.5) * width_s;
    if (!(means[peak] > 4 * noise) || peak_s > latest_peak_s + 2 / bandwidth_hz)
        return std::nullopt;
    std::size_t last = peak;
    double n = 0, st = 0, sl = 0, stt = 0, stl = 0;
    for (std::size_t b = peak; b < count && (b == peak || means[b] > 4 * noise); ++b, ++last) {
        const double t = static_cast<double>(b - peak) * width_s;
        const double l = std::log(std::max(means[b], std::numeric_limits<double>::min()));
        n += 1, st += t, sl += l, stt += t * t, stl += t * l;
    }
    const double spread = n * stt - st * st;
    double rate = spread > 0 ? -(n * stl - st * sl) / spread : 0;
    const double to_s = (static_cast<double>(last - peak)) * width_s;
    if (!(rate > 0)) // two blocks or fewer: from the peak to the noise within them
        rate = std::log(means[peak] / std::max(noise, means[peak] * 1e-9)) / std::max(to_s, width_s);
    return Guess{peak_s, peak_s + to_s + 6 * nepers_per_db / rate, rate};
}

/// The stretch to be fitted: fine blocks through the crossing, then all that follows as one.
std::vector<Block> blocks_for_fit(const Blocks& blocks, double from_s, double crossing_s) {
    std::vector<Block> result;
    const double stretch_s = crossing_s - from_s;
    const double fine_end_s = std::min(blocks.duration_s(), crossing_s + 0.5 * stretch_s);
    const double width_s = std::max(stretch_s / blocks_above_crossing, blocks.step_s());
    std::size_t from = blocks.index(from_s);
    const std::size_t fine_end = blocks.index(fine_end_s);
    for (double edge_s = from_s + width_s; edge_s <= fine_end_s + 0.01 * width_s; edge_s += width_s) {
        const std::size_t to = std::min(blocks.index(edge_s), fine_end);
        if (to > from) {
            result.push_back(blocks.block(from, to));
            from = to;
        }
    }
    if (blocks.count() > from)
        result.push_back(blocks.block(from, blocks.count()));
    return result;
}

/// Mean of exp(−rate t) over a block around its middle, and its derivative by ln(rate).
struct DecayMean {
    double value, by_log_rate;
};
DecayMean decay_mean(double rate, double time_s, double width_s) {
    // sinh(half) / half and its derivative times half; by their series where the error is below 1e-7.
    const double half = rate * width_s / 2, half2 = half * half;
    double shape = 1 + half2 / 6 * (1 + half2 / 20), slope = half2 / 3 * (1 + half2 / 10);
    if (half > 0.3) {
        shape = std::sinh(std::min(half, 300.0)) / half;
        slope = std::cosh(std::min(half, 300.0)) - shape;
    }
    const double decay = std::exp(std::clamp(-rate * time_s, -600.0, 600.0));
    return {decay * shape, decay * (slope - rate * time_s * shape)};
}

double mean_of(const Model& model, const Block& block, double reference_s) {
    return std::exp(model.log_level) *
               decay_mean(std::exp(model.log_rate), block.time_s - reference_s, block.width_s).value +
           std::exp(model.log_noise);
}

double deviance(const Model& model, std::span<const Block> blocks, double reference_s) {
    double sum = 0;
    for (const Block& block : blocks) {
        const double ratio = block.mean / mean_of(model, block, reference_s);
        sum += block.width_s * (ratio - 1 - std::log(std::max(ratio, 1e-300)));
    }
    return sum;
}

std::array<double, 3> solve(std::array<std::array<double, 4>, 3> m) {
    for (std::size_t i = 0; i < 3; ++i) {
        std::size_t pivot = i;
        for (std::size_t r = i + 1; r < 3; ++r)
            if (std::abs(m[r][i]) > std::abs(m[pivot][i]))
                pivot = r;
        std::swap(m[i], m[pivot]);
        if (!(std::abs(m[i][i]) > 0))
            return {0, 0, 0};
        for (std::size_t r = 0; r < 3; ++r)
            if (r != i)
                for (std::size_t c = 4; c-- > i;)
                    m[r][c] -= m[i][c] * m[r][i] / m[i][i];
    }
    return {m[0][3] / m[0][0], m[1][3] / m[1][1], m[2][3] / m[2][2]};
}

/// Fisher scoring with damping; weights are the blocks' widths, because the scatter goes with them.
void fit(Model& model, std::span<const Block> blocks, double reference_s) {
    double damping = 1e-3;
    double best = deviance(model, blocks, reference_s);
    for (int pass = 0; pass < 30 && damping < 1e6; ++pass) {
        std::array<std::array<double, 4>, 3> normal{};
        for (const Block& block : blocks) {
            const double level = std::exp(model.log_level), noise = std::exp(model.log_noise);
            const auto decay =
                decay_mean(std::exp(model.log_rate), block.time_s - reference_s, block.width_s);
            const double mean = level * decay.value + noise;
            const std::array<double, 3> by = {level * decay.value / mean, level * decay.by_log_rate / mean,
                                              noise / mean};
            const double residual = block.mean / mean - 1;
            for (std::size_t i = 0; i < 3; ++i) {
                for (std::size_t j = 0; j < 3; ++j)
                    normal[i][j] += block.width_s * by[i] * by[j];
                normal[i][3] += block.width_s * by[i] * residual;
            }
        }
        for (std::size_t i = 0; i < 3; ++i)
            normal[i][i] = normal[i][i] * (1 + damping) + 1e-30;
        const auto step = solve(normal);
        Model next = model;
        next.log_level += std::clamp(step[0], -2.0, 2.0);
        next.log_rate += std::clamp(step[1], -0.5, 0.5);
        next.log_noise += std::clamp(step[2], -2.0, 2.0);
        const double now = deviance(next, blocks, reference_s);
        if (now <= best) {
            const bool done = best - now <= 1e-12 * (1e-12 + best) ||
                              std::abs(step[0]) + std::abs(step[1]) + std::abs(step[2]) < 1e-7;
            model = next;
            best = now;
            damping *= 0.2;
            if (done)
                return;
        } else {
            damping *= 8;
        }
    }
}

struct Fitted {
    double rate_per_s, noise, crossing_s;
};

/// Far below anything that a filter or a converter leaves; keeps logarithms finite on clean responses.
double floor_of(const Blocks& blocks) {
    return 1e-30 * std::max(blocks.mean(0, blocks.count()), std::numeric_limits<double>::min());
}

std::optional<Fitted> fit_decay(const Blocks& blocks, const Guess& guess, double noise) {
    const double floor = floor_of(blocks);
    Model model{0, std::log(guess.rate_per_s), std::log(noise)};
    double crossing_s = std::min(guess.crossing_s, blocks.duration_s());
    for (int pass = 0; pass < 8; ++pass) {
        const double rate = std::exp(model.log_rate);
        const double wanted_s = fitted_decay_db * nepers_per_db / rate;
        const double from_s = std::max(guess.peak_s, std::min(crossing_s - wanted_s, 0.9 * crossing_s));
        if (!(crossing_s > from_s))
            return std::nullopt;
        const auto parts = blocks_for_fit(blocks, from_s, crossing_s);
        if (parts.size() < 4)
            return std::nullopt;
        // Level at the reference: where the stretch begins.
        model.log_level = std::log(std::max(parts.front().mean, floor));
        model.log_noise = std::max(model.log_noise, std::log(floor));
        fit(model, parts, from_s);
        const double gap = (model.log_level - model.log_noise) / std::exp(model.log_rate);
        const double next_s = from_s + gap;
        if (!(gap > 0)) {
            // The stretch lay within the noise, because the first noise was a quiet part of it.
            crossing_s -= 8 * nepers_per_db / guess.rate_per_s;
            model = {0, std::log(guess.rate_per_s), std::log(noise)};
            continue;
        }
        const double limited_s = std::min(next_s, blocks.duration_s());
        const bool settled = std::abs(limited_s - crossing_s) < 0.005 * (crossing_s - from_s);
        crossing_s = limited_s;
        if (settled || pass == 7)
            return Fitted{std::exp(model.log_rate), std::exp(model.log_noise), next_s};
    }
    return std::nullopt;
}

/// Normal deviate of a mean of `degrees` squared-envelope values over its expectation: Wilson and Hilferty,
/// PNAS 17 (1931) 684, for a chi-square of 2 · degrees.
double deviate(double ratio, double degrees) {
    const double v = 9 * degrees;
    return (std::cbrt(std::max(ratio, 0.0)) - 1 + 1 / v) * std::sqrt(v);
}

/// Whether the stretch up to the crossing holds more energy than noise alone does by chance.
bool stands_out(const Blocks& blocks, const Fitted& fitted, double bandwidth_hz) {
    const std::size_t to = std::max<std::size_t>(1, blocks.index(fitted.crossing_s));
    const double degrees = std::max(1.0, static_cast<double>(to) * blocks.step_s() * bandwidth_hz);
    // A fit to a few blocks may put the noise anywhere; the quietest tenth of the record is seen, not fitted.
    const double lowest = std::max(fitted.noise, first_noise(blocks));
    return deviate(blocks.mean(0, to) / lowest, degrees) > 6;
}

/// First stretch after the crossing that is far louder than the noise can be by chance.
std::optional<std::size_t> find_event(const Blocks& blocks, const Fitted& fitted, double bandwidth_hz,
                                      double least_ratio) {
    const std::size_t from = blocks.index(fitted.crossing_s + 7 / fitted.rate_per_s);
    if (from >= blocks.count())
        return std::nullopt;
    const double shortest_s = std::max(4 / bandwidth_hz, 0.02);
    const auto length = std::max<std::size_t>(
        {1, static_cast<std::size_t>(shortest_s / blocks.step_s()), (blocks.count() - from) / 60});
    for (std::size_t at = from; at + length <= blocks.count(); at += length) {
        const double ratio = blocks.mean(at, at + length) / fitted.noise;
        const double degrees = static_cast<double>(length) * blocks.step_s() * bandwidth_hz;
        // 6 standard deviations: never by chance; and large enough to matter.
        if (ratio > least_ratio && deviate(ratio, degrees) > 6)
            return at;
    }
    return std::nullopt;
}

/// First place where, well below the loudest, the level jumps up by 8 dB for 50 ms: a second event. With 50
/// independent values that is 9 standard deviations in noise; fewer, or a smaller jump, also happen where a
/// response is a row of single reflections or a beat of a few modes.
std::optional<std::size_t> find_jump(const Blocks& blocks, double bandwidth_hz, double noise) {
    constexpr double degrees = 50, shortest_s = 0.05, jump = 6.3, below_loudest = 0.03;
    const auto length =
        static_cast<std::size_t>(std::max(degrees / bandwidth_hz, shortest_s) / blocks.step_s());
    if (length == 0 || blocks.count() < 12 * length)
        return std::nullopt;
    double loudest = 0;
    for (std::size_t at = length; at + length <= blocks.count(); at += std::max<std::size_t>(1, length / 4)) {
        const double before = blocks.mean(at - length, at), after = blocks.mean(at, at + length);
        loudest = std::max(loudest, before);
        if (before > 4 * noise && before < below_loudest * loudest && after > jump * before)
            return at;
    }
    return std::nullopt;
}

double noise_change_db(const Blocks& blocks, double from_s, double bandwidth_hz) {
    const std::size_t from = blocks.index(from_s), half = (blocks.count() - from) / 2;
    const double degrees = static_cast<double>(half) * blocks.step_s() * bandwidth_hz;
    if (degrees < 20)
        return 0;
    const double change =
        std::log(blocks.mean(from + half, from + 2 * half) / blocks.mean(from, from + half));
    return std::abs(change) > std::max(0.3, 5 * std::sqrt(2 / degrees)) ? change / nepers_per_db : 0;
}

double noise_deviation(const BandEnergy& band, double from_s, std::size_t end, double noise) {
    const auto from = band.onset + static_cast<std::size_t>(from_s / band.step_s);
    if (from >= end || static_cast<double>(end - from) * band.step_s * band.bandwidth_hz < 20 || !(noise > 0))
        return 1;
    double sum = 0, squares = 0;
    for (std::size_t i = from; i < end; ++i) {
        sum += band.energy[i];
        squares += band.energy[i] * band.energy[i];
    }
    const double mean = sum / static_cast<double>(end - from);
    return mean > 0 ? std::sqrt(std::max(0.0, squares / static_cast<double>(end - from) / mean / mean - 1))
                    : 1;
}

} // namespace

void sum_from_end(std::span<const double> values, std::size_t end, std::vector<double>& sums) {
    sums.resize(end + 1);
    sums[end] = 0;
    for (std::size_t i = end; i-- > 0;)
        sums[i] = sums[i + 1] + values[i];
}

Tail find_tail(const BandEnergy& band, std::span<const double> sums) {
    Tail tail;
    std::size_t end = band.end;
    for (int pass = 0; pass < 4; ++pass) {
        const Blocks blocks(band, sums, end);
        if (blocks.count() < 8)
            return tail;
        const double noise = std::max(first_noise(blocks), floor_of(blocks));
        tail.noise = noise;
        const auto guess = first_guess(blocks, band.bandwidth_hz, noise);
        if (!guess)
            return tail;
        // An event is looked for before the fit, which would take it for noise, and again after it.
        // The last pass takes what is left: noise that was gated before looks like one event after another.
        std::optional<std::size_t> event;
        if (pass < 3)
            event = find_jump(blocks, band.bandwidth_hz, noise);
        if (pass < 3 && !event)
            event = find_event(blocks, {guess->rate_per_s, noise, guess->crossing_s}, band.bandwidth_hz, 4);
        const auto fitted = event ? std::nullopt : fit_decay(blocks, *guess, noise);
        if (fitted)
            event = find_event(blocks, *fitted, band.bandwidth_hz, 2);
        if (event && pass < 3) {
            tail.event_s = static_cast<double>(*event) * band.step_s;
            end = band.onset + *event;
            continue;
        }
        if (!fitted || !stands_out(blocks, *fitted, band.bandwidth_hz))
            return tail;
        tail.decays = true;
        tail.noise = fitted->noise;
        tail.rate_per_s = fitted->rate_per_s;
        tail.truncation_s = std::min(fitted->crossing_s, blocks.duration_s());
        tail.level = tail.noise * std::exp(tail.rate_per_s * (fitted->crossing_s - tail.truncation_s));
        // Noise that is seen for less than 6 dB worth of decay is not known to be noise.
        if (fitted->crossing_s + 6 * nepers_per_db / fitted->rate_per_s > blocks.duration_s())
            tail.end = tail.event_s >= 0 ? DecayEnd::disturbed : DecayEnd::length;
        tail.noise_deviation =
            noise_deviation(band, tail.truncation_s + 7 / tail.rate_per_s, end, tail.noise);
        tail.noise_change_db =
            noise_change_db(blocks, tail.truncation_s + 7 / tail.rate_per_s, band.bandwidth_hz);
        return tail;
    }
    return tail;
}

} // namespace ebbmark
