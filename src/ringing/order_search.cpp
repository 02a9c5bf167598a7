// SPDX-License-Identifier: GPL-3.0-or-later
#include "ringing/order_search.hpp"

#include "algebra/dense.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

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

/// Squared norms of the places' shapes beside what spans `at.basis`.
VectorXd own_parts(const Places& places, const Projection& at) {
    VectorXd own = places.whole;
    if (at.basis.cols() > 0)
        own -= adjoint_product(SplitColumns({&at.basis}), places.split).colwise().squaredNorm().transpose();
    return own;
}

/// The place that explains most of the residual, and how much.
std::pair<Index, double> best_of(const Places& places, const VectorXd& own, const MatrixXcd& residual) {
    const VectorXd along = adjoint_product(SplitColumns({&residual}), places.split).colwise().squaredNorm();
    std::pair<Index, double> best{-1, 0};
    for (Index c = 0; c < along.size(); ++c)
        if (own(c) > least_own_share * places.whole(c) && along(c) > best.second * own(c))
            best = {c, along(c) / own(c)};
    return best;
}

/// Takes the new direction of place `c`, beside what spans `at.basis`, out of what is all places' own.
void take(const Places& places, Index c, const Projection& at, VectorXd& own) {
    VectorXcd direction = places.shapes.col(c);
    if (at.basis.cols() > 0)
        direction -= at.basis * (at.basis.adjoint() * direction).eval();
    direction.normalize();
    own -= (direction.adjoint() * places.shapes).cwiseAbs2().transpose();
}

/// The state at the minimum next to `poles`, which are moved there, without slopes; nothing where its cost is
/// not `acceptable`, as any lower one would be.
template <class Acceptable>
std::optional<Projection> minimum_from(std::vector<Pole>& poles, const Window& window,
                                       const Acceptable& acceptable) {
    const Cost moved = move_to_minimum(window, poles, most_steps);
    if (!acceptable(moved.value - moved.doubt))
        return {};
    Projection there = project_values(window, poles);
    return acceptable(there.cost) ? std::optional(std::move(there)) : std::nullopt;
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

Places places_in(const Window& window) {
    const Index last = window.hz.size() - 1;
    std::vector<Pole> poles;
    for (const double t60 : {0.1, 0.2, 0.4, 0.8, 1.6}) {
        const Pole there{0, decay_rate(t60)};
        const double step = std::max(0.3 * there.half_power_hz(), window.hz(1) - window.hz(0));
        for (double hz = window.hz(0); hz <= window.hz(last); hz += step)
            poles.push_back({hz, there.decay_per_s});
    }
    MatrixXcd shapes = exponentials(window.hz, poles, window.duration_s).value;
    shapes -= product(window.background, adjoint_product(window.background, shapes));
    SplitColumns split({&shapes});
    VectorXd whole = shapes.colwise().squaredNorm();
    return {std::move(poles), std::move(shapes), std::move(split), std::move(whole)};
}

void add_poles(const Window& window, const Places& places, std::vector<Pole>& poles, Projection& at) {
    const double limit = order_threshold(window.hz.size(), window.data.cols());
    VectorXd own = own_parts(places, at);
    for (int i = 0; i < most_added; ++i) {
        const auto [which, gain] = best_of(places, own, at.residual);
        // A place lies near the best one only: moving there gains up to as much again.
        if (gain < 0.45 * limit)
            break;
        std::vector<Pole> more = poles;
        more.push_back(places.poles[static_cast<std::size_t>(which)]);
        take(places, which, at, own);
        auto there = minimum_from(more, window, [&](double cost) { return !(at.cost - cost < limit); });
        if (!there)
            break;
        poles = std::move(more);
        at = std::move(*there);
    }
    if (at.slope.size() == 0)
        add_slopes(window, poles, at);
}

void drop_poles(const Window& window, std::vector<Pole>& poles, Projection& at) {
    const double limit = order_threshold(window.hz.size(), window.data.cols());
    std::vector<double> needed; // frequencies of poles found worth keeping
    MatrixXd spread = covariance(information(at, poles));
    while (!poles.empty()) {
        const auto count = static_cast<Index>(poles.size());
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
        if (auto there = minimum_from(fewer, window, [&](double cost) { return cost - at.cost < limit; })) {
            poles = std::move(fewer);
            at = std::move(*there);
            add_slopes(window, poles, at);
            spread = covariance(information(at, poles));
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
        if (auto there =
                minimum_from(fewer, window, [&](double cost) { return cost - at.cost < most_loss; })) {
            poles = std::move(fewer);
            at = std::move(*there);
            add_slopes(window, poles, at);
        } else {
            kept.push_back(poles[found - 1].hz);
        }
    }
}

void exchange_broad_poles(const Window& window, const Places& places, std::vector<Pole>& poles,
                          Projection& at) {
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
        add_poles(window, places, others, there);
        if (price(there, others) < price(at, poles) &&
            certain_narrow_poles(there, others) >= certain_narrow_poles(at, poles)) {
            poles = std::move(others);
            at = std::move(there);
        }
    }
}

} // namespace ebbmark
