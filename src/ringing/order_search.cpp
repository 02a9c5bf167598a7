// SPDX-License-Identifier: GPL-3.0-or-later
#include "ringing/order_search.hpp"

#include "algebra/dense.hpp"
#include "ringing/adjoint_product.hpp"

#include <algorithm>
#include <cmath>

namespace ebbmark {

namespace {

using Eigen::Index;
using Eigen::MatrixXcd;
using Eigen::MatrixXd;
using Eigen::VectorXcd;
using Eigen::VectorXd;

// Chosen on tuning scenes among 0.001, 0.03, 0.3 and 0.5.
constexpr double chance_per_window = 0.3;
constexpr double uncertain = 0.15;
// A candidate that lies in the span of what is there already to this degree cannot be told from it.
constexpr double least_own_share = 1e-4;
constexpr int most_added = 40, most_steps = 12;
// A resonance that fills a good part of a window: of the loudspeaker, of what is smooth, or in place of
// others.
constexpr double broad_hz = 15;
// Two poles this close, in shares of their width, and both uncertain, are one mode and what its model leaves
// out, unless one alone costs more than so many thresholds. Chosen on tuning scenes among 0.25 and 0.4;
// 0, 1.5, 5, 20.
constexpr double twin_widths = 0.25, most_twin_loss = 5;

/// Places where a pole may be missing, with what of each is new beside background and poles.
struct Candidates {
    std::vector<Pole> poles;
    MatrixXcd shapes; ///< orthogonal to the background
    VectorXd whole;   ///< squared norms
    VectorXd own;     ///< the same beside the poles
};

Candidates candidates_in(const Window& window, const Projection& at) {
    const Index last = window.hz.size() - 1;
    Candidates made;
    for (const double t60 : {0.1, 0.2, 0.4, 0.8, 1.6}) {
        const Pole there{0, decay_rate(t60)};
        const double step = std::max(0.3 * there.half_power_hz(), window.hz(1) - window.hz(0));
        for (double hz = window.hz(0); hz <= window.hz(last); hz += step)
            made.poles.push_back({hz, there.decay_per_s});
    }
    made.shapes = exponentials(window.hz, made.poles, window.duration_s).value;
    made.shapes -= product(window.background, adjoint_product(window.background, made.shapes));
    made.whole = made.shapes.colwise().squaredNorm();
    made.own = made.whole;
    if (at.basis.cols() > 0)
        made.own -= adjoint_product(at.basis, made.shapes).colwise().squaredNorm().transpose();
    return made;
}

/// The candidate that explains most of the residual, and how much.
std::pair<Index, double> best_of(const Candidates& candidates, const MatrixXcd& residual) {
    const VectorXd along = adjoint_product(residual, candidates.shapes).colwise().squaredNorm();
    std::pair<Index, double> best{-1, 0};
    for (Index c = 0; c < along.size(); ++c)
        if (candidates.own(c) > least_own_share * candidates.whole(c) &&
            along(c) > best.second * candidates.own(c))
            best = {c, along(c) / candidates.own(c)};
    return best;
}

/// Accounts for the new direction of candidate `c` beside what spans `at.basis`.
void take(Candidates& candidates, Index c, const Projection& at) {
    VectorXcd direction = candidates.shapes.col(c);
    if (at.basis.cols() > 0)
        direction -= at.basis * (at.basis.adjoint() * direction).eval();
    direction.normalize();
    candidates.own -= (direction.adjoint() * candidates.shapes).cwiseAbs2().transpose();
}

/// Poles narrower than `broad_hz` whose damping is certain.
int certain_narrow_poles(const Projection& at, const std::vector<Pole>& poles) {
    const auto count = static_cast<Index>(poles.size());
    const VectorXd spread = covariance(information(at, poles)).diagonal().tail(count);
    int certain = 0;
    for (Index k = 0; k < count; ++k)
        certain += poles[static_cast<std::size_t>(k)].half_power_hz() < broad_hz &&
                   spread(k) <= uncertain * uncertain;
    return certain;
}

} // namespace

double order_threshold(Index bins, Index positions) {
    const double x = std::log(static_cast<double>(bins) / chance_per_window);
    const double half = static_cast<double>(positions) + 1;
    return half + std::sqrt(2 * half * x) + x;
}

void add_poles(const Window& window, std::vector<Pole>& poles, Projection& at) {
    const double limit = order_threshold(window.hz.size(), window.data.cols());
    Candidates candidates = candidates_in(window, at);
    for (int i = 0; i < most_added; ++i) {
        const auto [which, gain] = best_of(candidates, at.residual);
        // A candidate sits near the best place only: moving there gains up to as much again.
        if (gain < 0.45 * limit)
            return;
        std::vector<Pole> more = poles;
        more.push_back(candidates.poles[static_cast<std::size_t>(which)]);
        take(candidates, which, at);
        Projection there = refine(window, more, most_steps);
        if (at.cost - there.cost < limit)
            return;
        poles = std::move(more);
        at = std::move(there);
    }
}

void drop_poles(const Window& window, std::vector<Pole>& poles, Projection& at) {
    const double limit = order_threshold(window.hz.size(), window.data.cols());
    std::vector<double> needed; // frequencies of poles found worth keeping
    while (!poles.empty()) {
        const auto count = static_cast<Index>(poles.size());
        const MatrixXd spread = covariance(information(at, poles));
        Index worst = -1;
        double most = uncertain * uncertain;
        for (Index k = 0; k < count; ++k) {
            const double hz = poles[static_cast<std::size_t>(k)].hz;
            if (spread(count + k, count + k) > most &&
                std::find(needed.begin(), needed.end(), hz) == needed.end()) {
                most = spread(count + k, count + k);
                worst = k;
            }
        }
        if (worst < 0)
            return;
        std::vector<Pole> fewer = poles;
        fewer.erase(fewer.begin() + worst);
        Projection there = refine(window, fewer, most_steps);
        if (there.cost - at.cost < limit) {
            poles = std::move(fewer);
            at = std::move(there);
        } else {
            needed.push_back(poles[static_cast<std::size_t>(worst)].hz);
        }
    }
}

void merge_twins(const Window& window, std::vector<Pole>& poles, Projection& at) {
    const double most_loss = most_twin_loss * order_threshold(window.hz.size(), window.data.cols());
    std::sort(poles.begin(), poles.end(), [](const Pole& a, const Pole& b) { return a.hz < b.hz; });
    at = project(window, poles);
    std::vector<double> kept; // frequencies of lower twins found to be needed
    for (;;) {
        const auto count = static_cast<Index>(poles.size());
        if (count < 2)
            return;
        const VectorXd spread = covariance(information(at, poles)).diagonal().tail(count);
        std::size_t found = 0;
        for (std::size_t k = 1; k < poles.size() && found == 0; ++k) {
            const double width = 0.5 * (poles[k - 1].half_power_hz() + poles[k].half_power_hz());
            const bool both_uncertain = std::min(spread(static_cast<Index>(k) - 1),
                                                 spread(static_cast<Index>(k))) > uncertain * uncertain;
            if (both_uncertain && std::abs(poles[k].hz - poles[k - 1].hz) < twin_widths * width &&
                std::find(kept.begin(), kept.end(), poles[k - 1].hz) == kept.end())
                found = k;
        }
        if (found == 0)
            return;
        std::vector<Pole> fewer = poles;
        fewer.erase(fewer.begin() + static_cast<std::ptrdiff_t>(found));
        Projection there = refine(window, fewer, most_steps);
        if (there.cost - at.cost < most_loss) {
            poles = std::move(fewer);
            at = std::move(there);
        } else {
            kept.push_back(poles[found - 1].hz);
        }
    }
}

void exchange_broad_poles(const Window& window, std::vector<Pole>& poles, Projection& at) {
    const double limit = order_threshold(window.hz.size(), window.data.cols());
    const auto price = [&](const Projection& fitted, const std::vector<Pole>& its) {
        return fitted.cost + limit * static_cast<double>(its.size());
    };
    for (std::size_t k = poles.size(); k-- > 0;) {
        if (k >= poles.size() || poles[k].half_power_hz() < broad_hz)
            continue;
        std::vector<Pole> others = poles;
        others.erase(others.begin() + static_cast<std::ptrdiff_t>(k));
        Projection there = refine(window, others, most_steps);
        add_poles(window, others, there);
        if (price(there, others) < price(at, poles) &&
            certain_narrow_poles(there, others) >= certain_narrow_poles(at, poles)) {
            poles = std::move(others);
            at = std::move(there);
        }
    }
}

} // namespace ebbmark
