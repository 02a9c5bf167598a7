// SPDX-License-Identifier: GPL-3.0-or-later
#include "ringing/shared_decay.hpp"

#include <algorithm>
#include <cmath>

namespace ebbmark {

namespace {

// Common decays that are tried, from one state's to the other's, even in the logarithm.
constexpr int tried = 7;
// A pole of the other state that lies closer than this share of the widths is there already.
constexpr double same_widths = 0.5;

std::size_t nearest(const RoomFit& fit, const Pole& pole) {
    const auto distance = [&](const FittedPole& one) {
        return std::abs(one.pole.exponent() - pole.exponent());
    };
    return static_cast<std::size_t>(
        std::min_element(fit.poles.begin(), fit.poles.end(),
                         [&](const auto& a, const auto& b) { return distance(a) < distance(b); }) -
        fit.poles.begin());
}

/// The other state's poles that this one lacks.
std::vector<Pole> lacking(const RoomFit& own, const RoomFit& other) {
    std::vector<Pole> made;
    for (const FittedPole& one : other.poles)
        if (std::none_of(own.poles.begin(), own.poles.end(), [&](const FittedPole& mine) {
                return std::abs(mine.pole.hz - one.pole.hz) <
                       same_widths * 0.5 * (mine.pole.half_power_hz() + one.pole.half_power_hz());
            }))
            made.push_back(one.pole);
    return made;
}

} // namespace

double shared_decay_statistic(const FittedRoom& before, const Pole& before_pole, const FittedRoom& after,
                              const Pole& after_pole) {
    const std::size_t first = nearest(before.fit, before_pole), second = nearest(after.fit, after_pole);
    const double from = std::log(before.fit.poles[first].pole.decay_per_s),
                 to = std::log(after.fit.poles[second].pole.decay_per_s);
    std::vector<double> decays;
    for (int i = 0; i < tried; ++i)
        decays.push_back(std::exp(from + (to - from) * i / (tried - 1)));
    const DecayCosts a = decay_costs(before, first, decays, lacking(before.fit, after.fit)),
                     b = decay_costs(after, second, decays, lacking(after.fit, before.fit));
    double least = INFINITY;
    for (int i = 0; i < tried; ++i)
        least = std::min(least, a.held[static_cast<std::size_t>(i)] + b.held[static_cast<std::size_t>(i)]);
    // 2 ln of the likelihoods' ratio; the noise has variance 1 per complex value.
    return std::max(0.0, 2 * (least - a.free - b.free)) / std::max(a.misfit, b.misfit);
}

} // namespace ebbmark
