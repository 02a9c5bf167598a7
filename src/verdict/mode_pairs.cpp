// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/mode_pairs.hpp"

#include "base/order_statistics.hpp"
#include "ringing/shared_decay.hpp"

#include <algorithm>
#include <cmath>

namespace ebbmark {

namespace {

using Group = std::vector<std::size_t>;

// Chosen on halves of measured rooms' positions and on invented rooms (the folder's README): how much of what
// the fits state counts at least where the places are the same (hidden neighbours bend both alike), and how
// much better the variance is known than from so many parts alone.
constexpr double share_of_fits = 0.25, further_degrees = 8;
constexpr double least_present = 0.8;
// With fewer parts the jackknife alone does not say enough: the likelihood of one decay decides with it.
constexpr std::size_t enough_parts = 5, least_places = 3;
// Nobody measures a decay to better than this twice: air, and the microphone's own place. 1 % in each state.
constexpr double least_variance = 0.01 * 0.01;
// At one or two places, where nothing can be left out, and without a return: what putting a microphone back
// does to a single mode, in each state (the folder's README).
constexpr double put_back_variance = 0.05 * 0.05;
// Median of a chi-square variate of one degree of freedom (closed form: the square of 0.6745).
constexpr double chi_square_median = 0.4549;

double log_t60(const MeasuredMode& mode) {
    return std::log(*mode.t60_s);
}

double mean_log_t60(const Ringing& ringing, const Group& group) {
    double sum = 0;
    for (const std::size_t k : group)
        sum += log_t60(ringing.modes[k]);
    return sum / static_cast<double>(group.size());
}

/// What the fit states, of the mean over the group.
double stated_variance(const Ringing& ringing, const Group& group) {
    double sum = 0;
    for (const std::size_t k : group)
        sum += std::pow(ringing.modes[k].t60_deviation, 2);
    return sum / std::pow(static_cast<double>(group.size()), 2);
}

double mean_hz(const Ringing& ringing, const Group& group) {
    double sum = 0;
    for (const std::size_t k : group)
        sum += *ringing.modes[k].hz;
    return sum / static_cast<double>(group.size());
}

/// The mode of a leave-out that is this one: within half its width, closest in frequency and shape.
const MeasuredMode* found_again(const MeasuredMode& mode, std::size_t own, const Ringing& whole,
                                const Ringing& part) {
    const MeasuredMode* best = nullptr;
    double least = INFINITY;
    const auto shape = strengths(whole, {own});
    const double width = *mode.hz / mode.q();
    for (std::size_t k = 0; k < part.modes.size(); ++k) {
        const double distance = std::abs(*part.modes[k].hz - *mode.hz) / width;
        if (distance > 0.5)
            continue;
        const double score = distance - likeness(shape, strengths(part, {k}));
        if (score < least) {
            least = score;
            best = &part.modes[k];
        }
    }
    return best;
}

/// Mean ln T60 of a group in each leave-out; nothing where one of its modes is missing.
std::vector<std::optional<double>> left_out(const ResampledRinging& state, const Group& group) {
    std::vector<std::optional<double>> values;
    for (const Ringing& part : state.without) {
        double sum = 0;
        bool whole = true;
        for (const std::size_t k : group) {
            const MeasuredMode* again = found_again(state.whole.modes[k], k, state.whole, part);
            whole = whole && again;
            sum += again ? log_t60(*again) : 0;
        }
        values.push_back(whole ? std::optional(sum / static_cast<double>(group.size())) : std::nullopt);
    }
    return values;
}

bool is_stable(const std::vector<std::optional<double>>& values) {
    const auto present =
        std::count_if(values.begin(), values.end(), [](const auto& one) { return one.has_value(); });
    return static_cast<double>(present) >= least_present * static_cast<double>(values.size());
}

/// The jackknife's variance; those missing count like the others.
double jackknife_variance(const std::vector<std::optional<double>>& values) {
    std::vector<double> present;
    for (const auto& value : values)
        if (value)
            present.push_back(*value);
    const auto all = static_cast<double>(values.size()), count = static_cast<double>(present.size());
    const double mean = sample_mean(present);
    double squares = 0;
    for (const double value : present)
        squares += (value - mean) * (value - mean);
    return (all - 1) / all * squares * all / count;
}

/// Differences where both are there.
std::vector<std::optional<double>> differences(const std::vector<std::optional<double>>& before,
                                               const std::vector<std::optional<double>>& after) {
    std::vector<std::optional<double>> made;
    for (std::size_t i = 0; i < before.size(); ++i)
        made.push_back(before[i] && after[i] ? std::optional(*after[i] - *before[i]) : std::nullopt);
    return made;
}

/// How far putting every microphone back moves ln T60 of a mode, as a variance: one return tells what it does
/// at one place, twice over. From the better known half of the modes: of the others, fits alone differ as
/// much as they state. Nothing without a return.
std::optional<double> returned_variance(const ResampledRinging& state) {
    const auto& modes = state.whole.modes;
    std::vector<double> stated, squares;
    for (std::size_t k = 0; k < modes.size(); ++k)
        stated.push_back(stated_variance(state.whole, {k}));
    const double usual = stated.empty() ? 0 : lower_median(stated);
    for (const Ringing& again : state.returned)
        for (std::size_t k = 0; k < modes.size(); ++k)
            if (const MeasuredMode* mode = found_again(modes[k], k, state.whole, again);
                mode && stated[k] <= usual)
                squares.push_back(std::pow(log_t60(*mode) - log_t60(modes[k]), 2));
    if (squares.empty())
        return {};
    return static_cast<double>(state.places) * upper_median(std::move(squares)) / chi_square_median / 2;
}

class Changes {
  public:
    Changes(const ResampledRinging& before, const ResampledRinging& after, PairedPlaces places)
        : before_(before), after_(after), places_(places) {
        const auto first = returned_variance(before), second = returned_variance(after);
        const bool few = std::min(before.places, after.places) < least_places;
        // A state without a return is taken to be like the other.
        const double elsewhere = first ? *first : second ? *second : few ? put_back_variance : 0;
        for (const auto& measured : {first, second})
            floor_variance_ += std::max(least_variance, measured.value_or(elsewhere));
    }

    ModePair row(const PairedMode& pair) const {
        const State before = state_of(before_, pair.before);
        ModePair mode;
        mode.before_hz = mean_hz(before_.whole, pair.before);
        mode.before_t60_s = before.decay_s();
        mode.pairing = pair.assurance;
        mode.members = static_cast<int>(pair.before.size());
        mode.after_t60_s = Measured::none(Empty::overlap);
        if (mode.members > 1)
            mode.notes.push_back(ModesTogether{mode.members});
        if (pair.after.empty()) {
            mode.notes.push_back(LostAfter{});
            return mode;
        }
        const State after = state_of(after_, pair.after);
        mode.after_hz = mean_hz(after_.whole, pair.after);
        mode.after_t60_s = after.decay_s();
        if (is_stable(before.left_out) && is_stable(after.left_out))
            mode.change = change_of(before, after, pair);
        else
            mode.notes.push_back(ComesAndGoes{});
        if (std::max(before_.places, after_.places) == 1)
            mode.notes.push_back(HeldAtOnePlace{});
        return mode;
    }

  private:
    /// One mode, or group, in one state.
    struct State {
        double log_t60 = 0, stated_variance = 0;
        std::vector<std::optional<double>> left_out;

        /// As of a sample of the room's places.
        Spread spread() const {
            if (left_out.empty() || !is_stable(left_out))
                return {stated_variance, INFINITY};
            return {std::max(stated_variance, jackknife_variance(left_out)),
                    static_cast<double>(left_out.size()) - 1 + further_degrees};
        }

        Measured decay_s() const {
            const Spread own = spread();
            const MeanEstimate estimate{log_t60, std::sqrt(own.variance + least_variance),
                                        own.degrees_of_freedom};
            const double half = half_width(estimate, 0.95);
            return {std::exp(log_t60), std::exp(log_t60 - half), std::exp(log_t60 + half), {}};
        }
    };

    static State state_of(const ResampledRinging& state, const Group& group) {
        return {mean_log_t60(state.whole, group), stated_variance(state.whole, group),
                left_out(state, group)};
    }

    MeanEstimate change_of(const State& before, const State& after, const PairedMode& pair) const {
        const double mean = after.log_t60 - before.log_t60;
        const double stated = before.stated_variance + after.stated_variance;
        const std::size_t parts = std::min(before.left_out.size(), after.left_out.size());
        Spread spread{stated, INFINITY};
        if (parts > 0 && places_ == PairedPlaces::same && before.left_out.size() == after.left_out.size()) {
            const double resampled = jackknife_variance(differences(before.left_out, after.left_out));
            spread = {std::max(share_of_fits * stated, resampled),
                      static_cast<double>(parts) - 1 + further_degrees};
        } else if (parts > 0) {
            const Spread both[] = {before.spread(), after.spread()};
            spread = sum_of(both);
        }
        double deviation = std::sqrt(spread.variance + floor_variance_);
        if (parts < enough_parts)
            deviation = std::max(deviation, by_shared_decay(mean, pair));
        return {mean, deviation, spread.degrees_of_freedom};
    }

    /// The deviation at which a test of `mean` is as sure as one decay for both states is unlikely.
    double by_shared_decay(double mean, const PairedMode& pair) const {
        if (!before_.room || !after_.room)
            return 0;
        double statistic = INFINITY;
        for (std::size_t i = 0; i < pair.before.size(); ++i)
            statistic =
                std::min(statistic, shared_decay_statistic(*before_.room, pole(before_, pair.before[i]),
                                                           *after_.room, pole(after_, pair.after[i])));
        // Where one decay explains both as well, "no change" lies one deviation away: that is all it says.
        return std::abs(mean) / std::sqrt(std::max(1.0, statistic));
    }

    static Pole pole(const ResampledRinging& state, std::size_t mode) {
        return {*state.whole.modes[mode].hz, decay_rate(*state.whole.modes[mode].t60_s)};
    }

    const ResampledRinging &before_, &after_;
    PairedPlaces places_;
    double floor_variance_ = 0; ///< of both states
};

} // namespace

std::vector<ModePair> mode_pairs(const ResampledRinging& before, const ResampledRinging& after,
                                 const std::vector<PairedMode>& pairs, PairedPlaces places) {
    const Changes changes(before, after, places);
    std::vector<ModePair> made;
    for (const PairedMode& pair : pairs)
        if (!pair.before.empty())
            made.push_back(changes.row(pair));
    return made;
}

std::vector<std::size_t> new_modes(const std::vector<PairedMode>& pairs) {
    std::vector<std::size_t> made;
    for (const PairedMode& pair : pairs)
        if (pair.before.empty())
            made.insert(made.end(), pair.after.begin(), pair.after.end());
    return made;
}

} // namespace ebbmark
