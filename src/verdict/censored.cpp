// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/censored.hpp"

#include "base/order_statistics.hpp"

#include <boost/math/distributions/normal.hpp>
#include <boost/math/special_functions/gamma.hpp>

#include <algorithm>
#include <cassert>
#include <cmath>
#include <random>

namespace ebbmark {

namespace {

constexpr int settling = 100; ///< draws left out until the chain forgets its start
constexpr int kept = 400;     ///< their mean is then known to 1/20 of its own spread or better

/// Draws by inverting distribution functions, so that the same bits come out everywhere.
class Draws {
  public:
    /// Strictly between 0 and 1.
    double uniform() { return (static_cast<double>(bits_() >> 11) + 0.5) * 0x1p-53; }
    /// Standard normal between two limits.
    double normal_between(double low, double high) {
        const boost::math::normal standard;
        const bool flip = low > 0; // the lower tail is the one with full precision
        const double from = boost::math::cdf(standard, flip ? -high : low);
        const double to = boost::math::cdf(standard, flip ? -low : high);
        const double p = std::clamp(from + (to - from) * uniform(), 1e-300, 1 - 1e-16);
        const double x = boost::math::quantile(standard, p);
        return flip ? -x : x;
    }
    double normal() { return normal_between(-40, 40); }
    double chi_square(double freedom) { return 2 * boost::math::gamma_p_inv(freedom / 2, uniform()); }

  private:
    std::mt19937_64 bits_{20260101};
};

struct Chain {
    const CensoredSample& sample;
    std::vector<double> before; ///< about its mean, or zeros
    std::vector<double> after;  ///< completed
    double before_squares = 0;
    double level = 0, slope = 0, variance = 1;
    Draws draws;

    explicit Chain(const CensoredSample& s) : sample(s), before(s.after.size(), 0.0), after(s.after.size()) {
        if (!s.before.empty()) {
            const double centre = sample_mean(s.before);
            for (std::size_t i = 0; i < before.size(); ++i)
                before[i] = s.before[i] - centre;
        }
        for (const double b : before)
            before_squares += b * b;
        std::vector<double> known;
        for (std::size_t i = 0; i < after.size(); ++i) {
            after[i] = s.after[i].value_or(s.bound[i]);
            if (s.after[i])
                known.push_back(*s.after[i]);
        }
        level = sample_mean(after);
        variance = std::max(spread_of(known).variance, 1e-12);
    }

    /// Part of the prior variance that is left of after when before is known.
    double share_left() const {
        return sample.before.empty() ? 1 : 1 - (1 - slope) * (1 - slope) * sample.share_before;
    }

    void draw_parameters() {
        const auto n = static_cast<double>(after.size());
        double cross = 0, squares = 0;
        for (std::size_t i = 0; i < after.size(); ++i)
            cross += before[i] * after[i];
        if (before_squares > 0) {
            const double best = cross / before_squares, deviation = std::sqrt(variance / before_squares);
            slope = best + deviation * draws.normal_between((0 - best) / deviation, (1 - best) / deviation);
            slope = std::clamp(slope, 0.0, 1.0);
        }
        level = sample_mean(after) + std::sqrt(variance / n) * draws.normal();
        for (std::size_t i = 0; i < after.size(); ++i) {
            const double residual = after[i] - level - slope * before[i];
            squares += residual * residual;
        }
        const double prior = sample.prior.degrees_of_freedom * sample.prior.variance * share_left();
        variance = std::max((prior + squares) / draws.chi_square(sample.prior.degrees_of_freedom + n), 1e-12);
    }

    void draw_unknown() {
        const double deviation = std::sqrt(variance);
        for (std::size_t i = 0; i < after.size(); ++i) {
            if (sample.after[i])
                continue;
            const double expected = level + slope * before[i];
            after[i] =
                expected + deviation * draws.normal_between(-40, (sample.bound[i] - expected) / deviation);
        }
    }
};

} // namespace

CensoredMean complete_mean(const CensoredSample& sample) {
    const std::size_t n = sample.after.size();
    assert(sample.wanted.size() == n && (sample.before.empty() || sample.before.size() == n));
    Chain chain(sample);
    std::vector<double> all, wanted;
    double squares = 0;
    for (int step = -settling; step < kept; ++step) {
        chain.draw_unknown();
        chain.draw_parameters();
        if (step < 0)
            continue;
        std::vector<double> difference = chain.after, chosen;
        for (std::size_t i = 0; i < n; ++i) {
            difference[i] -= sample.before.empty() ? 0 : sample.before[i];
            if (sample.wanted[i])
                chosen.push_back(difference[i]);
        }
        all.push_back(sample_mean(difference));
        wanted.push_back(chosen.empty() ? all.back() : sample_mean(chosen));
        squares += spread_of(difference).variance / kept;
    }
    const double freedom = static_cast<double>(n) - 1 + sample.prior.degrees_of_freedom;
    const double variance =
        ((static_cast<double>(n) - 1) * squares + sample.prior.degrees_of_freedom * sample.prior.variance) /
        freedom;
    // With few known values the posterior has a long tail towards short decays; its median has not.
    return {upper_median(all),
            upper_median(wanted),
            spread_of(all).variance,
            spread_of(wanted).variance,
            {variance, freedom}};
}

double freedom_after_completion(double within, double between, double complete_freedom) {
    const double missing = between / (within + between);
    return std::max(1.0, complete_freedom * (complete_freedom + 1) / (complete_freedom + 3) * (1 - missing));
}

} // namespace ebbmark
