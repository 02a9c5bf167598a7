// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/judgement.hpp"

#include <algorithm>
#include <cmath>

namespace ebbmark {

namespace {

constexpr double power = 0.8;

Finding finding_of(const Tested& tested, double adjusted_p) {
    const bool shown = adjusted_p <= false_finding_chance;
    if (tested.at_most)
        return shown ? Finding::shorter : Finding::not_measurable;
    if (shown)
        return tested.change.mean < 0 ? Finding::shorter : Finding::longer;
    return equivalence_p(tested.change, tested.margin) <= false_finding_chance ? Finding::shown_unchanged
                                                                               : Finding::no_change_shown;
}

double p_of(const Tested& tested) {
    return tested.at_most && tested.change.mean >= 0 ? 1 : p_value(tested.change);
}

} // namespace

std::string_view name(Finding finding) {
    switch (finding) {
    case Finding::shorter:
        return "shorter";
    case Finding::longer:
        return "longer";
    case Finding::shown_unchanged:
        return "shown unchanged";
    case Finding::no_change_shown:
        return "no change shown";
    case Finding::not_measurable:
        return "not measurable";
    }
    return "";
}

double unchanged_margin(double hz) {
    // 5 % is the just noticeable difference of ISO 3382-1:2009 Table A.1; below 200 Hz single bands scatter
    // by more than that and ringing is judged more coarsely (common practice, no source).
    return std::log(hz < 200 ? 1.15 : 1.05);
}

std::vector<Judged> judge(std::span<const Tested> family) {
    std::vector<double> p_values, weights;
    double all = 0;
    for (const Tested& tested : family) {
        p_values.push_back(p_of(tested));
        weights.push_back(tested.weight);
        all += tested.weight;
    }
    const auto adjusted = holm(p_values, weights);
    std::vector<Judged> judged;
    for (std::size_t i = 0; i < family.size(); ++i) {
        const double strictest = false_finding_chance * weights[i] / all;
        judged.push_back({finding_of(family[i], adjusted[i]),
                          -to_percent(-smallest_showable(family[i].change, strictest, power))});
    }
    return judged;
}

double to_percent(double log_ratio) {
    return 100 * std::expm1(log_ratio);
}

Measured percent_with_interval(const MeanEstimate& change) {
    const double half = half_width(change, 0.95);
    return {to_percent(change.mean), to_percent(change.mean - half), to_percent(change.mean + half), {}};
}

} // namespace ebbmark
