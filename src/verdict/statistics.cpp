// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/statistics.hpp"

#include <boost/math/distributions/non_central_t.hpp>
#include <boost/math/distributions/students_t.hpp>

#include <algorithm>
#include <cassert>
#include <cmath>
#include <numeric>

namespace ebbmark {

namespace {

struct Moments {
    double mean, variance_of_mean, count;
};

Moments moments(std::span<const double> values) {
    assert(values.size() >= 2);
    const auto count = static_cast<double>(values.size());
    const double mean = std::accumulate(values.begin(), values.end(), 0.0) / count;
    double squares = 0;
    for (const double value : values)
        squares += (value - mean) * (value - mean);
    return {mean, squares / (count - 1) / count, count};
}

double upper_tail(double t, double degrees_of_freedom) {
    return boost::math::cdf(complement(boost::math::students_t(degrees_of_freedom), t));
}

} // namespace

MeanEstimate mean_of(std::span<const double> values) {
    const Moments m = moments(values);
    return {m.mean, std::sqrt(m.variance_of_mean), m.count - 1};
}

MeanEstimate welch_difference(std::span<const double> first, std::span<const double> second) {
    const Moments a = moments(first), b = moments(second);
    const double variance = a.variance_of_mean + b.variance_of_mean;
    const double spread = a.variance_of_mean * a.variance_of_mean / (a.count - 1) +
                          b.variance_of_mean * b.variance_of_mean / (b.count - 1);
    const double freedom = spread > 0 ? variance * variance / spread : a.count + b.count - 2;
    return {b.mean - a.mean, std::sqrt(variance), freedom};
}

double half_width(const MeanEstimate& estimate, double confidence) {
    const boost::math::students_t t(estimate.degrees_of_freedom);
    return boost::math::quantile(t, 0.5 * (1 + confidence)) * estimate.standard_error;
}

double p_value(const MeanEstimate& estimate) {
    if (estimate.standard_error == 0)
        return estimate.mean == 0 ? 1 : 0;
    return 2 * upper_tail(std::abs(estimate.mean) / estimate.standard_error, estimate.degrees_of_freedom);
}

std::vector<double> holm(std::span<const double> p_values) {
    std::vector<std::size_t> order(p_values.size());
    std::iota(order.begin(), order.end(), 0);
    std::stable_sort(order.begin(), order.end(), [&](auto a, auto b) { return p_values[a] < p_values[b]; });
    std::vector<double> adjusted(p_values.size());
    double largest = 0;
    for (std::size_t rank = 0; rank < order.size(); ++rank) {
        const auto left = static_cast<double>(order.size() - rank);
        largest = std::max(largest, std::min(1.0, left * p_values[order[rank]]));
        adjusted[order[rank]] = largest;
    }
    return adjusted;
}

double equivalence_p(const MeanEstimate& estimate, double margin) {
    if (estimate.standard_error == 0)
        return std::abs(estimate.mean) < margin ? 0 : 1;
    return upper_tail((margin - std::abs(estimate.mean)) / estimate.standard_error,
                      estimate.degrees_of_freedom);
}

double smallest_showable(const MeanEstimate& estimate, double level, double power) {
    const double freedom = estimate.degrees_of_freedom;
    const double critical = boost::math::quantile(complement(boost::math::students_t(freedom), level / 2));
    const auto shown = [&](double shift) {
        return boost::math::cdf(complement(boost::math::non_central_t(freedom, shift), critical));
    };
    double low = 0, high = 2 * critical + 10;
    while (shown(high) < power)
        high *= 2;
    for (int step = 0; step < 60; ++step) {
        const double middle = 0.5 * (low + high);
        (shown(middle) < power ? low : high) = middle;
    }
    return high * estimate.standard_error;
}

} // namespace ebbmark
