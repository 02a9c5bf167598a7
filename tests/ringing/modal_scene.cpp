// SPDX-License-Identifier: GPL-3.0-or-later
#include "modal_scene.hpp"

#include "room/air.hpp"
#include "room/modes.hpp"
#include "signal/fft.hpp"

#include <Eigen/Cholesky>
#include <algorithm>
#include <cmath>
#include <numbers>

namespace ebbmark::scene {

namespace {

constexpr double to_hz = 300; ///< modes below, diffuse field above
constexpr double tau = 2 * std::numbers::pi;
const double sixty_db = 3 * std::log(10.0); ///< damping times T60

Point somewhere(const Box& box, Random& random, double margin_m) {
    Point point{};
    for (std::size_t i = 0; i < 3; ++i)
        point[i] = margin_m + random.uniform() * (box.edges_m[i] - 2 * margin_m);
    return point;
}

/// Loudspeaker near a corner, as the trade places it for modes.
Point near_corner(const Box& box, Random& random, bool far) {
    Point point{};
    for (std::size_t i = 0; i < 3; ++i) {
        const double from_wall = 0.15 + 0.5 * random.uniform();
        point[i] = far && i == 1 ? box.edges_m[i] - from_wall : from_wall;
    }
    return point;
}

struct Places {
    std::array<Point, 2> sources;
    std::vector<Point> microphones;
};

Places places_in(const SceneOptions& options, Random& random) {
    Places places;
    places.sources = {near_corner(options.box, random, false), near_corner(options.box, random, true)};
    for (int i = 0; i < std::min(options.positions, 3); ++i)
        places.microphones.push_back(somewhere(options.box, random, 0.3));
    return places;
}

std::vector<double> diffuse_above(std::size_t size, double rate_hz, double t60_s, double rms,
                                  Random& random) {
    RealFft fft(fast_fft_size(size));
    std::vector<double> samples(fft.size(), 0.0);
    for (std::size_t n = 0; n < size; ++n)
        samples[n] = rms * random.normal() * std::exp(-sixty_db / t60_s * static_cast<double>(n) / rate_hz);
    auto spectrum = fft.forward(samples);
    for (std::size_t k = 0; k < spectrum.size(); ++k) {
        const double hz = static_cast<double>(k) * rate_hz / static_cast<double>(fft.size());
        const double step = std::clamp((hz - 0.95 * to_hz) / (0.1 * to_hz), 0.0, 1.0);
        spectrum[k] *= 0.5 - 0.5 * std::cos(std::numbers::pi * step);
    }
    samples = fft.inverse(spectrum);
    samples.resize(size);
    return samples;
}

/// Sums t^k exp(s t) over 0 ≤ t < duration as integrals, k = 0, 1, 2.
std::array<std::complex<double>, 3> moments(std::complex<double> s, double duration_s) {
    const auto end = std::exp(s * duration_s);
    const auto zero = (end - 1.0) / s;
    const auto one = (duration_s * end - zero) / s;
    const auto two = (duration_s * duration_s * end - 2.0 * one) / s;
    return {zero, one, two};
}

} // namespace

double Random::uniform() {
    return static_cast<double>(engine_() >> 11) * 0x1p-53;
}

double Random::normal() {
    const double radius = std::sqrt(-2 * std::log(1 - uniform()));
    return radius * std::cos(tau * uniform());
}

const std::array<Box, 4>& invented_rooms() {
    static const std::array<Box, 4> rooms = {Box{{5.1, 3.9, 2.5}}, Box{{4.1, 3.3, 2.6}}, Box{{6.2, 4.4, 2.7}},
                                             Box{{3.3, 3.2, 3.1}}};
    return rooms;
}

std::vector<TrueMode> modes_of(const SceneOptions& options) {
    Random random(options.seed);
    Places places = places_in(options, random);
    if (options.places_seed != 0) {
        Random elsewhere(options.places_seed);
        places = places_in(options, elsewhere);
    }
    std::vector<TrueMode> modes;
    for (const RoomMode& mode : room_modes(options.box, speed_of_sound(Air{options.celsius}), to_hz)) {
        // Modes along walls meet less absorption than oblique ones; the rest is the walls' own variety.
        const double kind = mode.kind() == ModeKind::axial        ? 1.25
                            : mode.kind() == ModeKind::tangential ? 1
                                                                  : 0.8;
        const double t60 = std::clamp(options.t60_s * kind * std::exp(0.15 * random.normal()), 0.15, 1.5);
        TrueMode made{mode.order, mode.hz, t60, {}};
        for (int i = 0; i < options.positions; ++i) {
            const Point& source = places.sources[static_cast<std::size_t>(i / 3)];
            const Point& microphone = places.microphones[static_cast<std::size_t>(i % 3)];
            const double gain = mode_weight(mode.order) * mode_shape(options.box, mode.order, source) *
                                mode_shape(options.box, mode.order, microphone) / mode.hz;
            // Volume acceleration constant over frequency: each mode starts as a sine.
            made.amplitude.push_back(std::complex<double>(0, -gain));
        }
        modes.push_back(std::move(made));
    }
    return modes;
}

Scene render(const SceneOptions& options, std::vector<TrueMode> modes) {
    Random random(options.seed * 7919 + 17);
    const auto size = static_cast<std::size_t>(options.seconds * options.rate_hz);
    Scene made{std::move(modes), {}, 0};
    for (int p = 0; p < options.positions; ++p) {
        const double celsius =
            options.positions > 1 ? options.drift_celsius * (p / (options.positions - 1.0) - 0.5) : 0;
        const double scale =
            speed_of_sound(Air{options.celsius + celsius}) / speed_of_sound(Air{options.celsius});
        std::vector<double> samples(size, 0.0);
        double power = 0;
        for (const TrueMode& mode : made.modes) {
            const std::complex<double> step = std::exp(
                std::complex<double>(-sixty_db / mode.t60_s, tau * mode.hz * scale) / options.rate_hz);
            std::complex<double> value = mode.amplitude[static_cast<std::size_t>(p)];
            if (mode.hz > 0.8 * to_hz)
                power += std::norm(value) / 2;
            for (double& sample : samples) {
                sample += value.real();
                value *= step;
            }
        }
        const auto diffuse =
            diffuse_above(size, options.rate_hz, options.t60_s, 2 * std::sqrt(power), random);
        for (std::size_t n = 0; n < size; ++n)
            samples[n] += diffuse[n];
        made.responses.push_back({std::move(samples), options.rate_hz});
    }
    double peak = 0;
    for (const Signal& response : made.responses)
        for (const double sample : response.samples)
            peak = std::max(peak, std::abs(sample));
    // Noise density as if 1200 Hz were the rate, so that a higher rate changes nothing below 600 Hz.
    made.noise_rms = peak * std::pow(10, -options.noise_db / 20) * std::sqrt(options.rate_hz / 1200);
    for (Signal& response : made.responses)
        for (double& sample : response.samples)
            sample += made.noise_rms * random.normal();
    return made;
}

std::vector<Bound> joint_bound(const Scene& scene) {
    using Eigen::MatrixXcd;
    using Eigen::MatrixXd;
    const auto count = static_cast<Eigen::Index>(scene.modes.size());
    const double duration = scene.responses[0].duration_s();
    const double rate = scene.responses[0].rate_hz;
    const auto positions = static_cast<Eigen::Index>(scene.responses.size());
    std::vector<std::complex<double>> s;
    for (const TrueMode& mode : scene.modes)
        s.emplace_back(-sixty_db / mode.t60_s, tau * mode.hz);
    MatrixXcd g(count, count), g1(count, count), g2(count, count), a(positions, count);
    for (Eigen::Index i = 0; i < count; ++i) {
        for (Eigen::Index p = 0; p < positions; ++p)
            a(p, i) = scene.modes[static_cast<std::size_t>(i)].amplitude[static_cast<std::size_t>(p)];
        for (Eigen::Index j = 0; j < count; ++j) {
            const auto m =
                moments(std::conj(s[static_cast<std::size_t>(i)]) + s[static_cast<std::size_t>(j)], duration);
            g(i, j) = m[0];
            g1(i, j) = m[1];
            g2(i, j) = m[2];
        }
    }
    // Real noise of rms σ: information rate/σ² · ½ per complex inner product. A very wide prior on amplitudes
    // (ten times the strongest) keeps the sums of many overlapping modes above rounding.
    const double information = rate / (2 * scene.noise_rms * scene.noise_rms);
    const double widest = 10 * a.cwiseAbs().maxCoeff();
    g.diagonal().array() += 1 / (information * widest * widest);
    const MatrixXcd c = g2 - g1.adjoint() * g.llt().solve(g1);
    const MatrixXcd q = information * (a.adjoint() * a).cwiseProduct(c);
    MatrixXd fisher(2 * count, 2 * count); // per relative change of frequency and of damping
    Eigen::VectorXd damping(count), omega(count);
    for (Eigen::Index i = 0; i < count; ++i) {
        damping(i) = -s[static_cast<std::size_t>(i)].real();
        omega(i) = s[static_cast<std::size_t>(i)].imag();
    }
    fisher.topLeftCorner(count, count) = omega.asDiagonal() * q.real() * omega.asDiagonal();
    fisher.topRightCorner(count, count) = -(omega.asDiagonal() * q.imag() * damping.asDiagonal());
    fisher.bottomLeftCorner(count, count) = fisher.topRightCorner(count, count).transpose();
    fisher.bottomRightCorner(count, count) = damping.asDiagonal() * q.real() * damping.asDiagonal();
    // Equally harmless: nobody doubts a decay time by more than a factor of 20, or a frequency by half.
    fisher.topLeftCorner(count, count).diagonal().array() += 4;
    fisher.bottomRightCorner(count, count).diagonal().array() += 1 / 9.0;
    const MatrixXd covariance = fisher.llt().solve(MatrixXd::Identity(2 * count, 2 * count));
    std::vector<Bound> bounds;
    for (Eigen::Index i = 0; i < count; ++i)
        bounds.push_back({std::sqrt(covariance(count + i, count + i)), std::sqrt(covariance(i, i))});
    return bounds;
}

} // namespace ebbmark::scene
