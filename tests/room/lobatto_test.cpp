// SPDX-License-Identifier: GPL-3.0-or-later
#include "relative.hpp"
#include "room/lobatto.hpp"

#include <Eigen/Dense>
#include <cmath>
#include <numbers>

using namespace ebbmark;

TEST_CASE("Lobatto's nodes are the published ones") {
    // Source: published, M. Abramowitz, I. Stegun, Handbook of Mathematical Functions, table 25.6.
    const auto& four = lobatto_element(4).nodes;
    CHECK(four(0) == -1);
    CHECK(four(1) == relative(-std::sqrt(3.0 / 7)).epsilon(1e-12));
    CHECK(std::abs(four(2)) < 1e-15);
    CHECK(lobatto_element(5).nodes(1) == relative(-0.7650553239294647).epsilon(1e-12));
}

TEST_CASE("the functions of an element are one together and integrate exactly") {
    for (const int order : {1, 2, 3, 6, 9}) {
        const LobattoElement& element = lobatto_element(order);
        const auto at_end = element.values_at(1);
        CHECK(at_end(order) == relative(1).epsilon(1e-12));
        CHECK(at_end.head(order).cwiseAbs().maxCoeff() < 1e-12);
        const Eigen::VectorXd ends =
            Eigen::VectorXd::Unit(order + 1, 0) + Eigen::VectorXd::Unit(order + 1, order);
        CHECK(ends.dot(element.mass * ends) == relative(2).epsilon(1e-12)); // Source: closed form
        CHECK((element.stiffness * ends).cwiseAbs().maxCoeff() < 1e-10);
    }
}

TEST_CASE("a closed pipe of one element of order 12 has the exact wave numbers") {
    const LobattoElement& element = lobatto_element(12);
    const Eigen::GeneralizedSelfAdjointEigenSolver<Eigen::MatrixXd> eigen(element.stiffness, element.mass);
    for (int n = 1; n <= 3; ++n) // Source: closed form, nπ/L with L = 2
        CHECK(std::sqrt(eigen.eigenvalues()(n)) == relative(n * std::numbers::pi / 2).epsilon(1e-8));
}
