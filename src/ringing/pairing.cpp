// SPDX-License-Identifier: GPL-3.0-or-later
#include "ringing/pairing.hpp"

#include "ringing/assurance.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

namespace ebbmark {

namespace {

// Chosen on halves of measured rooms' positions and on invented rooms, see the folder's README.
constexpr double group_widths = 0.2, least_strength_ratio = 0.3;
// A shape measured twice agrees to better than this unless a neighbour has taken it over.
constexpr double least_assurance = 0.5, least_likeness = 0.7;
// Without shapes: as far as the two fits, and the traps' own pull, let one mode's frequencies differ.
constexpr double most_deviations = 4, most_relative_shift = 0.006;
constexpr std::size_t least_positions_for_shapes = 3;

using Group = std::vector<std::size_t>;

struct Candidate {
    std::size_t before, after; ///< groups
    double assurance, score;
};

double width_hz(const MeasuredMode& mode) {
    return *mode.hz / mode.q();
}

double strength(const MeasuredMode& mode) {
    double sum = 0;
    for (const std::complex<double> amplitude : mode.amplitude)
        sum += std::norm(amplitude);
    return std::sqrt(sum * *mode.t60_s);
}

template <typename Value>
double mean_over(const Ringing& ringing, const Group& group, Value value) {
    double sum = 0;
    for (const std::size_t k : group)
        sum += value(ringing.modes[k]);
    return sum / static_cast<double>(group.size());
}

double hz_of(const MeasuredMode& mode) {
    return *mode.hz;
}

double hz_deviation(const MeasuredMode& mode) {
    return mode.hz_deviation;
}

std::vector<Group> each_alone(const Ringing& ringing) {
    std::vector<Group> groups;
    for (std::size_t k = 0; k < ringing.modes.size(); ++k)
        groups.push_back({k});
    return groups;
}

class Pairing {
  public:
    Pairing(const Ringing& before, const Ringing& after, const PairingOptions& options)
        : before_(before), after_(after), options_(options),
          by_shape_(options.same_positions && before.positions == after.positions &&
                    before.positions >= least_positions_for_shapes),
          before_groups_(by_shape_ ? each_alone(before) : mode_groups(before)),
          after_groups_(by_shape_ ? each_alone(after) : mode_groups(after)) {}

    std::vector<PairedMode> run() const {
        std::vector<std::optional<Candidate>> partner(before_groups_.size());
        std::vector<bool> taken(after_groups_.size(), false);
        for (const Candidate& candidate : candidates()) {
            if (partner[candidate.before] || taken[candidate.after])
                continue;
            partner[candidate.before] = candidate;
            taken[candidate.after] = true;
        }
        std::vector<PairedMode> pairs;
        for (std::size_t i = 0; i < before_groups_.size(); ++i)
            if (partner[i])
                pairs.push_back({before_groups_[i], after_groups_[partner[i]->after], partner[i]->assurance});
            else
                pairs.push_back({before_groups_[i], {}, 0});
        for (std::size_t k = 0; k < after_groups_.size(); ++k)
            if (!taken[k])
                pairs.push_back({{}, after_groups_[k], 0});
        return pairs;
    }

  private:
    std::vector<Candidate> candidates() const {
        std::vector<Candidate> made;
        for (std::size_t i = 0; i < before_groups_.size(); ++i)
            for (std::size_t k = 0; k < after_groups_.size(); ++k)
                if (const auto one = candidate(i, k))
                    made.push_back(*one);
        std::stable_sort(made.begin(), made.end(),
                         [](const Candidate& a, const Candidate& b) { return a.score > b.score; });
        return made;
    }

    std::optional<Candidate> candidate(std::size_t i, std::size_t k) const {
        const Group &a = before_groups_[i], &b = after_groups_[k];
        if (a.size() != b.size())
            return {};
        const double hz = options_.speed_ratio * mean_over(before_, a, hz_of);
        const double distance_hz = std::abs(hz - mean_over(after_, b, hz_of));
        // What damps a mode also moves it, by a part of its new width.
        const double width = 0.5 * (mean_over(before_, a, width_hz) + mean_over(after_, b, width_hz));
        const double likely = std::exp(-2 * std::pow(distance_hz / width, 2));
        if (!by_shape_) {
            const double joint = most_deviations * std::hypot(mean_over(before_, a, hz_deviation),
                                                              mean_over(after_, b, hz_deviation));
            if (distance_hz > width || distance_hz > std::hypot(joint, most_relative_shift * hz))
                return {};
            return Candidate{i, k, 0, likely};
        }
        const double assurance = agreement(a, b);
        if (distance_hz > width || assurance == 0)
            return {};
        return Candidate{i, k, assurance, likely * assurance * assurance};
    }

    /// 0 where the shapes do not belong to one mode.
    double agreement(const Group& a, const Group& b) const {
        const double alike = likeness(strengths(before_, a), strengths(after_, b));
        if (alike < least_likeness)
            return 0;
        const double assurance = modal_assurance(before_.modes[a[0]].amplitude, after_.modes[b[0]].amplitude);
        return assurance < least_assurance ? 0 : assurance;
    }

    const Ringing &before_, &after_;
    const PairingOptions& options_;
    bool by_shape_;
    std::vector<Group> before_groups_, after_groups_;
};

} // namespace

std::vector<std::vector<std::size_t>> mode_groups(const Ringing& ringing) {
    std::vector<Group> groups;
    for (std::size_t k = 0; k < ringing.modes.size(); ++k) {
        const MeasuredMode& own = ringing.modes[k];
        std::vector<Group*> touched;
        for (Group& group : groups)
            if (std::any_of(group.begin(), group.end(), [&](std::size_t i) {
                    const MeasuredMode& other = ringing.modes[i];
                    const double ratio = strength(own) / strength(other);
                    return std::abs(*own.hz - *other.hz) <
                               group_widths * 0.5 * (width_hz(own) + width_hz(other)) &&
                           std::min(ratio, 1 / ratio) > least_strength_ratio;
                }))
                touched.push_back(&group);
        if (touched.empty()) {
            groups.push_back({k});
            continue;
        }
        touched[0]->push_back(k);
        for (std::size_t i = 1; i < touched.size(); ++i) {
            touched[0]->insert(touched[0]->end(), touched[i]->begin(), touched[i]->end());
            touched[i]->clear();
        }
        std::sort(touched[0]->begin(), touched[0]->end());
        std::erase_if(groups, [](const Group& group) { return group.empty(); });
    }
    return groups;
}

std::vector<double> strengths(const Ringing& ringing, const std::vector<std::size_t>& group) {
    std::vector<double> sum(ringing.positions, 0.0);
    for (const std::size_t k : group)
        for (std::size_t p = 0; p < sum.size(); ++p)
            sum[p] += std::norm(ringing.modes[k].amplitude[p]);
    for (double& one : sum)
        one = std::sqrt(one);
    return sum;
}

double likeness(const std::vector<double>& a, const std::vector<double>& b) {
    double product = 0, first = 0, second = 0;
    for (std::size_t i = 0; i < std::min(a.size(), b.size()); ++i) {
        product += a[i] * b[i];
        first += a[i] * a[i];
        second += b[i] * b[i];
    }
    return first > 0 && second > 0 ? product / std::sqrt(first * second) : 0;
}

std::vector<PairedMode> pair_modes(const Ringing& before, const Ringing& after,
                                   const PairingOptions& options) {
    return Pairing(before, after, options).run();
}

} // namespace ebbmark
