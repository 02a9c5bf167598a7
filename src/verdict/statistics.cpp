// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/statistics.hpp"

#include "base/student.hpp"

#include <boost/math/distributions/non_central_t.hpp>
#include <boost/math/tools/toms748_solve.hpp>

#include <algorithm>
#include <cassert>
#include <cmath>
#include <cstdint>
#include <numeric>

namespace ebbmark {

double sample_mean(std::span<const double> values) {
    return std::accumulate(values.begin(), values.end(), 0.0) / static_cast<double>(values.size());
}

Spread spread_of(std::span<const double> values) {
    assert(values.size() >= 2);
    const double centre = sample_mean(values);
    double squares = 0;
    for (const double value : values)
        squares += (value - centre) * (value - centre);
    const double freedom = static_cast<double>(values.size()) - 1;
    return {squares / freedom, freedom};
}

MeanEstimate mean_of(std::span<const double> values) {
    const Spread spread = spread_of(values);
    return {sample_mean(values), std::sqrt(spread.variance / static_cast<double>(values.size())),
            spread.degrees_of_freedom};
}

Spread sum_of(std::span<const Spread> terms) {
    double variance = 0, doubt = 0;
    for (const Spread& term : terms) {
        variance += term.variance;
        doubt += term.variance * term.variance / term.degrees_of_freedom;
    }
    return {variance, doubt > 0 ? variance * variance / doubt : INFINITY};
}

MeanEstimate welch_difference(std::span<const double> first, std::span<const double> second) {
    const MeanEstimate a = mean_of(first), b = mean_of(second);
    const Spread terms[] = {{a.standard_error * a.standard_error, a.degrees_of_freedom},
                            {b.standard_error * b.standard_error, b.degrees_of_freedom}};
    const Spread sum = sum_of(terms);
    return {b.mean - a.mean, std::sqrt(sum.variance), sum.degrees_of_freedom};
}

double half_width(const MeanEstimate& estimate, double confidence) {
    return student_two_sided(confidence, estimate.degrees_of_freedom) * estimate.standard_error;
}

double p_value(const MeanEstimate& estimate) {
    if (estimate.standard_error == 0)
        return estimate.mean == 0 ? 1 : 0;
    return 2 *
           student_upper_tail(std::abs(estimate.mean) / estimate.standard_error, estimate.degrees_of_freedom);
}

double p_below(const MeanEstimate& estimate, double limit) {
    if (estimate.standard_error == 0)
        return estimate.mean < limit ? 0 : 1;
    return student_upper_tail((limit - estimate.mean) / estimate.standard_error, estimate.degrees_of_freedom);
}

std::vector<double> holm(std::span<const double> p_values, std::span<const double> weights) {
    std::vector<std::size_t> order(p_values.size());
    std::iota(order.begin(), order.end(), 0);
    std::stable_sort(order.begin(), order.end(),
                     [&](auto a, auto b) { return p_values[a] / weights[a] < p_values[b] / weights[b]; });
    double left = std::accumulate(weights.begin(), weights.end(), 0.0), largest = 0;
    std::vector<double> adjusted(p_values.size());
    for (const std::size_t i : order) {
        largest = std::max(largest, std::min(1.0, left * p_values[i] / weights[i]));
        adjusted[i] = largest;
        left -= weights[i];
    }
    return adjusted;
}

std::vector<double> holm(std::span<const double> p_values) {
    return holm(p_values, std::vector<double>(p_values.size(), 1));
}

double equivalence_p(const MeanEstimate& estimate, double margin) {
    return p_below({std::abs(estimate.mean), estimate.standard_error, estimate.degrees_of_freedom}, margin);
}

double smallest_showable(const MeanEstimate& estimate, double level, double power) {
    const double freedom = std::min(estimate.degrees_of_freedom, 1e6); // the non-central t stops converging
    const double critical = student_two_sided(1 - level, freedom);
    const auto shown = [&](double shift) {
        return boost::math::cdf(complement(boost::math::non_central_t(freedom, shift), critical));
    };
    double high = 2 * critical + 10;
    while (shown(high) < power)
        high *= 2;
    std::uintmax_t steps = 60;
    const auto bracket =
        boost::math::tools::toms748_solve([&](double shift) { return shown(shift) - power; }, 0.0, high,
                                          boost::math::tools::eps_tolerance<double>(30), steps);
    return bracket.second * estimate.standard_error;
}

} // namespace ebbmark
