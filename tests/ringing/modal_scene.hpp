// SPDX-License-Identifier: GPL-3.0-or-later
// Invented rooms as sums of damped modes, with everything about them known: the truth that the estimator is
// judged against, and the bound that no unbiased estimator can beat.
#pragma once

#include "base/signal.hpp"
#include "room/geometry.hpp"

#include <array>
#include <complex>
#include <cstdint>
#include <random>
#include <vector>

namespace ebbmark::scene {

struct TrueMode {
    std::array<int, 3> order{};
    double hz = 0;
    double t60_s = 0;
    std::vector<std::complex<double>> amplitude; ///< one per position
};

struct SceneOptions {
    Box box;
    int positions = 6; ///< 1, 3 or 6: microphones in front of one source, from 6 on of two
    double t60_s = 0.5;
    double noise_db = 60; ///< peak of the response over the rms of the noise in 0 to 600 Hz
    double drift_celsius = 0;
    double seconds = 3;
    double rate_hz = 1200;
    double celsius = 20;
    std::uint64_t seed = 1;
    std::uint64_t places_seed = 0; ///< not 0: the same room and decays, other places
};

struct Scene {
    std::vector<TrueMode> modes; ///< by frequency, up to 300 Hz
    std::vector<Signal> responses;
    double noise_rms = 0;
};

/// Portable random numbers.
class Random {
  public:
    explicit Random(std::uint64_t seed) : engine_(seed) {}
    double uniform(); ///< [0, 1)
    double normal();

  private:
    std::mt19937_64 engine_;
};

/// Four invented rooms; the last is nearly a cube.
const std::array<Box, 4>& invented_rooms();

std::vector<TrueMode> modes_of(const SceneOptions& options);

/// The responses of these modes with diffuse field above 300 Hz and noise; `seed` draws the last two.
Scene render(const SceneOptions& options, std::vector<TrueMode> modes);

/// Relative standard deviation of each mode's decay time and frequency at the joint Cramér-Rao bound: all
/// modes' frequencies, dampings and complex amplitudes unknown, white noise of the scene.
struct Bound {
    double t60 = 0, hz = 0;
};
std::vector<Bound> joint_bound(const Scene& scene);

} // namespace ebbmark::scene
