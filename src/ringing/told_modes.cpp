// SPDX-License-Identifier: GPL-3.0-or-later
#include "ringing/told_modes.hpp"

#include "base/normal.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace ebbmark {

namespace {

// What is certain enough to be given, as standard deviations of ln T60: by the noise alone, and with hidden
// modes allowed for. Chosen on tuning scenes: the first keeps false modes out, the second loses none that can
// be measured to 10 %.
constexpr double most_by_noise = 0.15, most_with_hidden = 0.4;

bool is_certain(const FittedPole& fitted) {
    return fitted.decay_by_noise <= most_by_noise && fitted.decay_deviation <= most_with_hidden;
}

// A loudspeaker's own roll-off has poles of a Q up to about 1.3 (Butterworth, fourth order; closed form),
// measured with some error: what may be as broad as this is not called a mode of the room.
constexpr double least_q = 2;

// Narrower than any mode: what is cut off at an edge.
constexpr double narrowest_range_hz = 0.1;

double q_of(double hz, double t60_s) {
    return hz * t60_s * std::numbers::pi / (3 * std::numbers::ln10);
}

bool may_be_loudspeaker(const FittedPole& fitted) {
    const double shortest_s = fitted.pole.t60_s() * std::exp(-normal_two_sided_95 * fitted.decay_deviation);
    return is_certain(fitted) && q_of(fitted.pole.hz, shortest_s) < least_q;
}

/// Takes out what may be the loudspeaker; told where there is any in the range asked.
std::optional<MaybeLoudspeaker> without_loudspeaker(std::vector<FittedPole>& poles,
                                                    const RingingOptions& options) {
    MaybeLoudspeaker found{least_q, {}};
    for (const FittedPole& fitted : poles)
        if (may_be_loudspeaker(fitted) && fitted.pole.hz >= options.from_hz &&
            fitted.pole.hz <= options.to_hz)
            found.hz.push_back(fitted.pole.hz);
    std::erase_if(poles, may_be_loudspeaker);
    return found.hz.empty() ? std::nullopt : std::optional(found);
}

double strongest_amplitude(const std::vector<FittedPole>& poles) {
    double strongest = 0;
    for (const FittedPole& fitted : poles)
        if (is_certain(fitted))
            strongest = std::max(strongest, fitted.amplitude.cwiseAbs().maxCoeff());
    return strongest;
}

MeasuredMode mode_of(const FittedPole& fitted, double strongest) {
    MeasuredMode mode;
    const double hz = fitted.pole.hz, t60 = fitted.pole.t60_s();
    const double reach = normal_two_sided_95 * fitted.hz_deviation;
    const double factor = std::exp(normal_two_sided_95 * fitted.decay_deviation);
    mode.hz = {hz, hz - reach, hz + reach, {}};
    mode.t60_s = {t60, t60 / factor, t60 * factor, {}};
    mode.hz_deviation = fitted.hz_deviation;
    mode.t60_deviation = fitted.decay_deviation;
    for (const std::complex<double> amplitude : fitted.amplitude) {
        mode.amplitude.push_back(amplitude);
        mode.level_db.push_back(20 *
                                std::log10(std::max(std::abs(amplitude), 1e-12 * strongest) / strongest));
    }
    return mode;
}

/// Why a pole is uncertain: its neighbours where one lies within their widths, else too little of it.
Empty reason_for(std::size_t index, const std::vector<FittedPole>& poles, std::size_t positions) {
    const Pole& own = poles[index].pole;
    for (std::size_t k = 0; k < poles.size(); ++k)
        if (k != index &&
            std::abs(poles[k].pole.hz - own.hz) < own.half_power_hz() + poles[k].pole.half_power_hz())
            return Empty::overlap;
    return positions == 1 ? Empty::one_position : Empty::noise;
}

/// The uncertain poles' resonances, joined where less than their own width lies between.
std::vector<UnresolvedRange> unresolved_ranges(const std::vector<FittedPole>& poles, std::size_t positions,
                                               const RingingOptions& options) {
    std::vector<UnresolvedRange> ranges;
    for (std::size_t k = 0; k < poles.size(); ++k) {
        if (is_certain(poles[k]))
            continue;
        const double half = 0.5 * poles[k].pole.half_power_hz();
        const UnresolvedRange range{std::max(options.from_hz, poles[k].pole.hz - half),
                                    std::min(options.to_hz, poles[k].pole.hz + half),
                                    reason_for(k, poles, positions)};
        if (range.to_hz - range.from_hz < narrowest_range_hz)
            continue;
        if (!ranges.empty() && range.why == ranges.back().why &&
            range.from_hz - ranges.back().to_hz < 2 * half)
            ranges.back().to_hz = std::max(ranges.back().to_hz, range.to_hz);
        else
            ranges.push_back(range);
    }
    return ranges;
}

/// From one position a further mode between two whose resonances touch can't be excluded.
void add_single_position_ranges(std::vector<UnresolvedRange>& ranges, const std::vector<FittedPole>& poles) {
    for (std::size_t k = 1; k < poles.size(); ++k) {
        const Pole &low = poles[k - 1].pole, &high = poles[k].pole;
        if (is_certain(poles[k - 1]) && is_certain(poles[k]) &&
            high.hz - low.hz < 0.5 * (low.half_power_hz() + high.half_power_hz()))
            ranges.push_back({low.hz, high.hz, Empty::overlap});
    }
    std::stable_sort(ranges.begin(), ranges.end(), [](const UnresolvedRange& a, const UnresolvedRange& b) {
        return a.from_hz < b.from_hz;
    });
}

} // namespace

double MeasuredMode::q() const {
    return q_of(*hz, *t60_s);
}

void tell_modes(Ringing& result, RoomFit fit, const RingingOptions& options) {
    result.positions = static_cast<std::size_t>(fit.scale.size());
    if (const auto note = without_loudspeaker(fit.poles, options))
        result.notes.push_back(*note);
    const double strongest = strongest_amplitude(fit.poles);
    for (const FittedPole& fitted : fit.poles)
        if (!is_certain(fitted))
            result.uncertain.push_back(
                {fitted.pole.hz, fitted.pole.half_power_hz(),
                 fitted.pole.t60_s() *
                     std::exp(normal_two_sided_95 * std::min(1.0, fitted.decay_deviation))});
        else if (fitted.pole.hz >= options.from_hz && fitted.pole.hz <= options.to_hz)
            result.modes.push_back(mode_of(fitted, strongest));
    auto ranges = unresolved_ranges(fit.poles, result.positions, options);
    if (result.positions == 1)
        add_single_position_ranges(ranges, fit.poles);
    result.unresolved.insert(result.unresolved.end(), ranges.begin(), ranges.end());
    if (result.positions > 1)
        result.drift_percent = 100 * (fit.scale.maxCoeff() - fit.scale.minCoeff());
}

} // namespace ebbmark
