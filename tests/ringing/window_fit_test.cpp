// SPDX-License-Identifier: GPL-3.0-or-later
#include "modal_scene.hpp"
#include "relative.hpp"
#include "ringing/order_search.hpp"
#include "ringing/window_fit.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace ebbmark;

namespace {

const std::vector<Pole> truth = {{41, decay_rate(0.8)}, {44, decay_rate(0.5)}, {52, decay_rate(0.6)}};

Eigen::MatrixXcd amplitudes(double strength) {
    Eigen::MatrixXcd made(3, 2);
    made << std::complex<double>(1, 0.2), std::complex<double>(-0.5, 0.4), std::complex<double>(0.7, -1),
        std::complex<double>(0.9, 0.1), std::complex<double>(0.4, 0.4), std::complex<double>(-0.8, 0.3);
    return strength * made;
}

Window window_with(const std::vector<Pole>& poles, const Eigen::MatrixXcd& amplitude, double noise,
                   std::uint64_t seed) {
    const double duration = 1.5;
    const Eigen::VectorXd hz = Eigen::VectorXd::LinSpaced(76, 30, 80) * 1.0;
    Eigen::VectorXd bins = hz;
    for (Eigen::Index k = 0; k < bins.size(); ++k)
        bins(k) = (45 + static_cast<double>(k)) / duration;
    Eigen::MatrixXcd data = exponentials(bins, poles, duration).value * amplitude;
    scene::Random random(seed);
    for (Eigen::Index k = 0; k < data.rows(); ++k)
        for (Eigen::Index p = 0; p < data.cols(); ++p)
            data(k, p) += noise * std::complex<double>(random.normal(), random.normal()) * std::sqrt(0.5);
    return make_window(bins, data, 3, duration);
}

} // namespace

TEST_CASE("the fit finds exact poles again from a wrong start") {
    // Source: property, exact data have their minimum at the truth.
    const Window window = window_with(truth, amplitudes(1e4), 0, 1);
    std::vector<Pole> poles = {{40.7, decay_rate(0.6)}, {44.5, decay_rate(0.6)}, {51.6, decay_rate(0.4)}};
    const Projection at = refine(window, poles, 30);
    CHECK(at.cost < 0.05);
    for (std::size_t k = 0; k < 3; ++k) {
        CHECK(poles[k].hz == relative(truth[k].hz).epsilon(1e-5));
        CHECK(poles[k].t60_s() == relative(truth[k].t60_s()).epsilon(1e-4));
    }
}

TEST_CASE("downhill points down, as steeply as the cost really falls") {
    // Source: closed form against finite differences. Kaufman's Jacobian gives the exact gradient.
    const Window window = window_with(truth, amplitudes(100), 1, 2);
    std::vector<Pole> poles = {{40.9, decay_rate(0.7)}, {44.1, decay_rate(0.55)}, {52.2, decay_rate(0.65)}};
    const auto down = downhill(project(window, poles), poles);
    for (std::size_t k = 0; k < 3; ++k) {
        auto moved = poles;
        moved[k].hz += 1e-5;
        auto back = poles;
        back[k].hz -= 1e-5;
        const double by_hz = (project(window, moved).cost - project(window, back).cost) / 2e-5;
        CHECK(down(static_cast<Eigen::Index>(k)) == relative(-by_hz).epsilon(1e-4));
        moved = back = poles;
        moved[k].decay_per_s *= std::exp(1e-5);
        back[k].decay_per_s *= std::exp(-1e-5);
        const double by_decay = (project(window, moved).cost - project(window, back).cost) / 2e-5;
        CHECK(down(static_cast<Eigen::Index>(k) + 3) == relative(-by_decay).epsilon(1e-4));
    }
}

TEST_CASE("the cost without vectors is that with them, within its doubt, and poles that coincide are more "
          "doubtful") {
    // Source: property, both are the squared norm of one residual.
    const Window window = window_with(truth, amplitudes(1e4), 1, 4);
    const auto cost_from = [&](std::vector<Pole> poles, int steps) {
        const Cost cost = move_to_minimum(window, poles, steps);
        CHECK(std::abs(cost.value - project(window, poles).cost) <= cost.doubt);
        return cost;
    };
    std::vector<Pole> poles = {{40.9, decay_rate(0.7)}, {44.1, decay_rate(0.55)}, {52.2, decay_rate(0.65)}};
    const Cost apart = cost_from(poles, 12);
    CHECK(apart.doubt < 0.1);
    poles.push_back({52.2 + 1e-4, decay_rate(0.65)});
    CHECK(cost_from(poles, 0).doubt > 10 * apart.doubt);
    const Cost nothing = cost_from({}, 12);
    CHECK(nothing.value == window.data.squaredNorm());
    CHECK(nothing.doubt == 0);
}

TEST_CASE("values and slopes made apart, and with other data, are those of the whole") {
    // Source: property.
    Window window = window_with(truth, amplitudes(100), 1, 5);
    const Projection first = project_values(window, truth), whole_before = project(window, truth);
    CHECK(first.slope.size() == 0);
    window.data *= 0.25;
    Projection at = with_other_data(window, first);
    CHECK(with_other_data(window, whole_before).slope.size() == 0);
    add_slopes(window, truth, at);
    const Projection whole = project(window, truth);
    CHECK(at.cost == whole.cost);
    CHECK(at.amplitude == whole.amplitude);
    CHECK(at.residual == whole.residual);
    CHECK(at.gram == whole.gram);
    CHECK(at.along == whole.along);
}

TEST_CASE("poles are added until the residual is noise, and spurious ones taken out again") {
    const Window window = window_with(truth, amplitudes(200), 1, 3);
    std::vector<Pole> poles;
    Projection at = project(window, poles);
    add_poles(window, places_in(window), poles, at);
    drop_poles(window, poles, at);
    CHECK(poles.size() == 3);
    // Source: property, the residual of 76 bins at 2 positions is noise of variance 1: 152 − 2·(3 + 3) − 3
    // within 4 standard deviations of 12.
    CHECK(at.cost == relative(137).epsilon(0.35));
    poles.push_back({60, decay_rate(0.3)});
    at = refine(window, poles, 10);
    add_slopes(window, poles, at);
    drop_poles(window, poles, at);
    CHECK(poles.size() == 3);
}

TEST_CASE("noise alone holds few poles, and none with a certain damping") {
    int found = 0;
    for (std::uint64_t seed = 1; seed <= 40; ++seed) {
        const Window window = window_with({truth[0]}, amplitudes(0).topRows(1), 1, seed);
        std::vector<Pole> poles;
        Projection at = project(window, poles);
        add_poles(window, places_in(window), poles, at);
        found += static_cast<int>(poles.size());
        const Eigen::MatrixXd spread = covariance(information(at, poles));
        for (Eigen::Index k = 0; k < spread.rows() / 2; ++k)
            CHECK(spread(spread.rows() / 2 + k, spread.rows() / 2 + k) > 0.15 * 0.15);
    }
    CHECK(found <= 40 * 0.3 + 2 * std::sqrt(40 * 0.3)); // at most three windows of ten, and chance
}
