// SPDX-License-Identifier: GPL-3.0-or-later
#include "ringing/pairing.hpp"

#include "ringing/assurance.hpp"

#include <algorithm>
#include <cmath>

namespace ebbmark {

namespace {

// Below this nothing would have shown as ringing at all: the shortest decay that the order search looks for.
constexpr double shortest_told_s = 0.1;
// A shape measured twice agrees to better than this unless a neighbour has taken it over.
constexpr double least_assurance = 0.5;
constexpr double two_sided_95 = 1.959964;

struct Candidate {
    std::size_t before, after;
    double assurance, score;
};

double width_hz(const MeasuredMode& mode) {
    return *mode.hz / mode.q();
}

std::vector<Candidate> candidates(const Ringing& before, const Ringing& after,
                                  const PairingOptions& options) {
    const bool by_shape =
        options.same_positions && before.positions == after.positions && before.positions >= 3;
    std::vector<Candidate> made;
    for (std::size_t i = 0; i < before.modes.size(); ++i)
        for (std::size_t k = 0; k < after.modes.size(); ++k) {
            const MeasuredMode& a = before.modes[i];
            const MeasuredMode& b = after.modes[k];
            // What damps a mode also moves it, by a part of its new width.
            const double width = 0.5 * (width_hz(a) + width_hz(b));
            const double distance = std::abs(*a.hz * options.speed_ratio - *b.hz) / width;
            const double assurance = by_shape ? modal_assurance(a.amplitude, b.amplitude) : 0;
            if (distance > 1 || (by_shape && assurance < least_assurance))
                continue;
            const double likely = std::exp(-2 * distance * distance);
            made.push_back({i, k, assurance, by_shape ? likely * assurance * assurance : likely});
        }
    std::stable_sort(made.begin(), made.end(),
                     [](const Candidate& a, const Candidate& b) { return a.score > b.score; });
    return made;
}

PairedMode pair_of(const Ringing& before, const Ringing& after, const Candidate& candidate) {
    const MeasuredMode& a = before.modes[candidate.before];
    const MeasuredMode& b = after.modes[candidate.after];
    const double change = std::log(*b.t60_s / *a.t60_s);
    const double deviation = std::hypot(a.t60_deviation, b.t60_deviation);
    const auto percent = [](double logarithm) { return 100 * (std::exp(logarithm) - 1); };
    PairedMode pair{candidate.before, candidate.after, candidate.assurance, {}, {}, {}};
    pair.change_percent = {percent(change),
                           percent(change - two_sided_95 * deviation),
                           percent(change + two_sided_95 * deviation),
                           {}};
    pair.p_value = std::erfc(std::abs(change) / deviation / std::sqrt(2.0));
    return pair;
}

double at_most_s(double hz, const Ringing& after) {
    double bound = shortest_told_s;
    for (const MeasuredMode& mode : after.modes)
        if (std::abs(*mode.hz - hz) < width_hz(mode))
            bound = std::max(bound, *mode.t60_s.high);
    for (const UncertainMode& mode : after.uncertain)
        if (std::abs(mode.hz - hz) < mode.width_hz)
            bound = std::max(bound, mode.t60_high_s);
    return bound;
}

} // namespace

std::vector<PairedMode> pair_modes(const Ringing& before, const Ringing& after,
                                   const PairingOptions& options) {
    std::vector<std::optional<Candidate>> partner(before.modes.size());
    std::vector<bool> taken(after.modes.size(), false);
    for (const Candidate& candidate : candidates(before, after, options)) {
        if (partner[candidate.before] || taken[candidate.after])
            continue;
        partner[candidate.before] = candidate;
        taken[candidate.after] = true;
    }
    std::vector<PairedMode> pairs;
    for (std::size_t i = 0; i < before.modes.size(); ++i) {
        if (partner[i]) {
            pairs.push_back(pair_of(before, after, *partner[i]));
            continue;
        }
        PairedMode vanished{i, {}, 0, Measured::none(Empty::overlap), {}, {}};
        vanished.after_at_most_s = at_most_s(*before.modes[i].hz * options.speed_ratio, after);
        pairs.push_back(vanished);
    }
    for (std::size_t k = 0; k < after.modes.size(); ++k)
        if (!taken[k])
            pairs.push_back({{}, k, 0, Measured::none(Empty::overlap), {}, {}});
    return pairs;
}

} // namespace ebbmark
