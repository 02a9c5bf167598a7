// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/shared_spread.hpp"

#include <boost/math/special_functions/digamma.hpp>
#include <boost/math/special_functions/trigamma.hpp>

#include <algorithm>
#include <cmath>

namespace ebbmark {

namespace {

using boost::math::digamma;
using boost::math::trigamma;

/// A prior never counts for more than this many degrees of freedom: beyond it only the normal quantile is
/// reached, and one strange band would be overruled entirely.
constexpr double most_freedom = 60;

/// Newton's method on 1/trigamma, which is nearly straight; Smyth 2004, appendix.
double inverse_trigamma(double value) {
    double x = 0.5 + 1 / value;
    for (int step = 0; step < 50; ++step) {
        const double tri = trigamma(x);
        const double change = tri * (1 - tri / value) / boost::math::polygamma(2, x);
        x += change;
        if (std::abs(change) < 1e-10 * x)
            break;
    }
    return x;
}

/// Weighted sums of a straight line y = level + slope (x − centre).
struct Line {
    double weight = 0, centre = 0, level = 0, slope = 0, sxx = 0;
    bool sloped = false;

    double at(double x) const { return level + slope * (x - centre); }
    /// Variance of at(x) in units of the variance of one point of weight 1.
    double variance_at(double x) const {
        return 1 / weight + (sloped ? (x - centre) * (x - centre) / sxx : 0);
    }
};

struct Point2 {
    double x, y, variance; ///< sampling variance of y
};

Line fit_line(const std::vector<Point2>& points) {
    Line line;
    for (const Point2& p : points) {
        line.weight += 1 / p.variance;
        line.centre += p.x / p.variance;
        line.level += p.y / p.variance;
    }
    line.centre /= line.weight;
    line.level /= line.weight;
    double sxy = 0;
    for (const Point2& p : points) {
        line.sxx += (p.x - line.centre) * (p.x - line.centre) / p.variance;
        sxy += (p.x - line.centre) * (p.y - line.level) / p.variance;
    }
    line.sloped = points.size() >= 6 && line.sxx > 0;
    line.slope = line.sloped ? sxy / line.sxx : 0;
    return line;
}

/// Variance of the true log-variances about the line, by moments; never negative.
double scatter_about(const Line& line, const std::vector<Point2>& points) {
    double weighted = 0;
    for (const Point2& p : points)
        weighted += (p.y - line.at(p.x)) * (p.y - line.at(p.x)) / p.variance;
    const double freedom = static_cast<double>(points.size()) - (line.sloped ? 2 : 1);
    const double mean_variance = static_cast<double>(points.size()) / line.weight;
    return std::max(0.0, (weighted / freedom - 1) * mean_variance);
}

} // namespace

Spread prior_from_others(std::span<const BandSpread> bands, std::size_t of) {
    std::vector<Point2> points;
    for (std::size_t i = 0; i < bands.size(); ++i) {
        const Spread& own = bands[i].own;
        if (i == of || own.degrees_of_freedom <= 0 || own.variance <= 0)
            continue;
        const double half = own.degrees_of_freedom / 2;
        points.push_back({bands[i].log_frequency,
                          std::log(own.variance / bands[i].expected) - digamma(half) + std::log(half),
                          trigamma(half)});
    }
    if (points.size() < 3)
        return {};
    const Line line = fit_line(points);
    const double scatter = scatter_about(line, points);
    const double mean_variance = static_cast<double>(points.size()) / line.weight;
    const double x = bands[of].log_frequency;
    const double predictive = scatter + line.variance_at(x) * (1 + scatter / mean_variance);
    const double half = std::min(inverse_trigamma(predictive), most_freedom / 2);
    return {bands[of].expected * std::exp(line.at(x) + digamma(half) - std::log(half)), 2 * half};
}

Spread pooled(const Spread& own, const Spread& prior) {
    const double freedom = own.degrees_of_freedom + prior.degrees_of_freedom;
    if (freedom <= 0)
        return {};
    return {(own.degrees_of_freedom * own.variance + prior.degrees_of_freedom * prior.variance) / freedom,
            freedom};
}

} // namespace ebbmark
