// SPDX-License-Identifier: GPL-3.0-or-later
#include "modal_scene.hpp"
#include "ringing/adjoint_product.hpp"
#include "ringing/ringing.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace ebbmark;
using Eigen::Index;
using Eigen::MatrixXcd;

namespace {

MatrixXcd drawn(Index rows, Index columns, std::uint64_t seed) {
    scene::Random random(seed);
    MatrixXcd made(rows, columns);
    for (Index k = 0; k < columns; ++k)
        for (Index n = 0; n < rows; ++n)
            made(n, k) = {random.normal(), random.normal()};
    return made;
}

} // namespace

TEST_CASE("inner products of columns are those of the library, whatever the number of rows and columns") {
    // Source: Eigen 3.4, product of matrices. A sum of n terms is rounded n times.
    for (const Index rows : {1, 3, 4, 5, 164})
        for (const Index columns : {1, 2, 5, 6}) {
            CAPTURE(rows);
            CAPTURE(columns);
            const MatrixXcd a = drawn(rows, columns, 1), b = drawn(rows, columns + 1, 2);
            const double rounding = 1e-15 * static_cast<double>(rows) * a.norm() * b.norm();
            CHECK((adjoint_product(a, b) - a.adjoint() * b).cwiseAbs().maxCoeff() <= rounding);
            CHECK((gram_of(a) - a.adjoint() * a).cwiseAbs().maxCoeff() <= rounding);
            CHECK(gram_of(a) == gram_of(a).adjoint());
        }
    const MatrixXcd a = drawn(9, 2, 3), b = drawn(9, 1, 4), c = drawn(9, 3, 5);
    MatrixXcd side(9, 4);
    side << b, c;
    CHECK(adjoint_product(SplitColumns({&a}), SplitColumns({&b, &c})) == adjoint_product(a, side));
}

TEST_CASE("the last digits of the samples decide nothing: well-known modes stay within their intervals") {
    scene::SceneOptions options{scene::invented_rooms()[1]};
    options.seed = 4711;
    auto responses = scene::render(options, scene::modes_of(options)).responses;
    RingingOptions range;
    range.to_hz = 120;
    const Ringing one = measure_ringing(responses, range);
    scene::Random random(5);
    for (Signal& response : responses)
        for (double& sample : response.samples)
            sample *= 1 + 1e-12 * random.normal(); // below the rounding of any recording
    const Ringing other = measure_ringing(responses, range);
    std::size_t known = 0, again = 0;
    for (const MeasuredMode& mode : one.modes) {
        if (mode.t60_deviation > 0.05)
            continue;
        ++known;
        for (const MeasuredMode& same : other.modes)
            if (std::abs(*same.hz - *mode.hz) < 0.25 * *mode.hz / mode.q() &&
                std::abs(std::log(*same.t60_s / *mode.t60_s)) < mode.t60_deviation) {
                ++again;
                break;
            }
    }
    REQUIRE(known >= 5);
    CHECK(again == known);
}
