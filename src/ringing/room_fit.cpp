
// SPDX-License-Identifier: GPL-3.0-or-later
#include "ringing/room_fit.hpp"

#include "ringing/subspace.hpp"

#include <Eigen/Cholesky>
#include <Eigen/LU>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <numbers>

namespace ebbmark {

namespace {

using Eigen::Index;
using Eigen::MatrixXcd;
using Eigen::MatrixXd;
using Eigen::VectorXcd;
using Eigen::VectorXd;

constexpr double tau = 2 * std::numbers::pi;

double env(const char* name, double otherwise) {
    const char* text = std::getenv(name);
    return text ? std::atof(text) : otherwise;
}

/// A part of the spectrum that is fitted in one go. Poles in [core_from, core_to) are its own; those around are
/// fitted along with them, and belong to the neighbours.
struct Part {
    double core_from_hz, core_to_hz;
    Index first, size; ///< bins
    VectorXd noise;    ///< rms per bin, per position
};

class Fitter {
  public:
    Fitter(LowResponses responses, double from_hz, double to_hz)
        : responses_(std::move(responses)), from_hz_(from_hz), to_hz_(to_hz) {
        scale_ = VectorXd::Ones(static_cast<Index>(responses_.positions()));
        guard_hz_ = env("GUARD", 20);
        terms_ = static_cast<int>(env("TERMS", 4));
    }

    RoomFit run();

  private:
    void load();
    void make_parts();
    Window window_of(const Part& part, const std::vector<FittedPole>& far) const;
    std::vector<FittedPole> outside(const Part& part) const;
    void fit_part(Part& part, bool search);
    void guess(Part& part);
    void update_scale();
    void search(Part& part, const Window& window, std::vector<Pole>& poles, Projection& at) const;
    void prune(const Part& part, const Window& window, std::vector<Pole>& poles, Projection& at) const;
    void keep(const Part& part, const Window& window, const std::vector<Pole>& poles, const Projection& at);
    double threshold(const Part& part) const;
    void update_noise(Part& part, Window& window, const Projection& at) const;

    LowResponses responses_;
    double from_hz_, to_hz_, guard_hz_;
    int terms_;
    VectorXd scale_, hz_;
    MatrixXcd spectra_;
    std::vector<Part> parts_;
    std::vector<FittedPole> poles_;
};

void Fitter::load() {
    const double lowest = std::max(1 / responses_.duration_s(), from_hz_ - guard_hz_);
    hz_ = responses_.bins(lowest, to_hz_ + guard_hz_);
    spectra_ = responses_.spectra(scale_, lowest, to_hz_ + guard_hz_);
}

void Fitter::make_parts() {
    const double width = env("CORE", 40);
    const double bin = hz_(1) - hz_(0);
    const int count = std::max(1, static_cast<int>(std::lround((to_hz_ - from_hz_) / width)));
    for (int i = 0; i < count; ++i) {
        Part part{};
        part.core_from_hz = from_hz_ + (to_hz_ - from_hz_) * i / count;
        part.core_to_hz = from_hz_ + (to_hz_ - from_hz_) * (i + 1) / count;
        part.first = std::max<Index>(0, static_cast<Index>((part.core_from_hz - guard_hz_ - hz_(0)) / bin));
        const auto last = std::min<Index>(hz_.size() - 1, static_cast<Index>((part.core_to_hz + guard_hz_ - hz_(0)) / bin));
        part.size = last - part.first + 1;
        part.noise = VectorXd::Ones(scale_.size());
        parts_.push_back(part);
    }
}

/// Root mean square per bin and position that the later part of the record has, as if it were all noise.
VectorXd late_rms(const MatrixXcd& spectra) {
    // The window's edges are faded out: cut off sharply, an early strong sound would reach into the late part.
    const Index size = spectra.rows();
    VectorXd weight(size);
    for (Index k = 0; k < size; ++k)
        weight(k) = std::pow(std::sin(std::numbers::pi * (static_cast<double>(k) + 0.5) / static_cast<double>(size)), 2);
    VectorXd made(spectra.cols());
    const auto first = static_cast<Index>(0.55 * static_cast<double>(size));
    const Index count = static_cast<Index>(0.92 * static_cast<double>(size)) - first;
    for (Index p = 0; p < spectra.cols(); ++p) {
        double power = 0;
        for (Index n = first; n < first + count; ++n) {
            const std::complex<double> turn = std::polar(1.0, tau * static_cast<double>(n) / static_cast<double>(size));
            std::complex<double> sum = 0, phase = 1;
            for (Index k = 0; k < size; ++k) {
                sum += weight(k) * spectra(k, p) * phase;
                phase *= turn;
            }
            power += std::norm(sum);
        }
        made(p) = std::sqrt(power / (static_cast<double>(count) * weight.squaredNorm()));
    }
    return made;
}

std::vector<FittedPole> Fitter::outside(const Part& part) const {
    std::vector<FittedPole> made;
    const double from = hz_(part.first), to = hz_(part.first + part.size - 1);
    for (const FittedPole& pole : poles_)
        if (pole.pole.hz < from || pole.pole.hz > to)
            made.push_back(pole);
    return made;
}

Window Fitter::window_of(const Part& part, const std::vector<FittedPole>& far) const {
    const VectorXd hz = hz_.segment(part.first, part.size);
    MatrixXcd data = spectra_.middleRows(part.first, part.size);
    std::vector<Pole> poles;
    for (const FittedPole& pole : far)
        poles.push_back(pole.pole);
    if (!far.empty()) {
        const MatrixXcd shapes = exponentials(hz, poles, responses_.duration_s()).value;
        for (std::size_t k = 0; k < far.size(); ++k)
            data.noalias() -= shapes.col(static_cast<Index>(k)) * far[k].amplitude.transpose();
    }
    // Real responses: every pole has its mirror image at negative frequency.
    poles.clear();
    for (const FittedPole& pole : poles_)
        poles.push_back({-pole.pole.hz, pole.pole.decay_per_s});
    if (!poles.empty()) {
        const MatrixXcd shapes = exponentials(hz, poles, responses_.duration_s()).value;
        for (std::size_t k = 0; k < poles.size(); ++k)
            data.noalias() -= shapes.col(static_cast<Index>(k)) * poles_[k].amplitude.adjoint();
    }
    data *= part.noise.cwiseInverse().asDiagonal();
    return make_window(hz, data, terms_, responses_.duration_s());
}

double Fitter::threshold(const Part& part) const {
    // Half a chi-square of 2P + 2 degrees of freedom exceeds this with probability exp(−x) at most (B. Laurent, P.
    // Massart, Ann. Statist. 28 (2000) 1302, lemma 1); x leaves one false alarm in a thousand among as many
    // independent places as the window has bins.
    const double x = std::log(static_cast<double>(part.size) / 1e-3), half = static_cast<double>(scale_.size()) + 1;
    return half + std::sqrt(2 * half * x) + x;
}

void Fitter::keep(const Part& part, const Window&, const std::vector<Pole>& poles, const Projection& at) {
    std::erase_if(poles_, [&](const FittedPole& p) { return p.pole.hz >= part.core_from_hz && p.pole.hz < part.core_to_hz; });
    if (poles.empty())
        return;
    const MatrixXd info = 2 * information(at, poles);
    const auto count = static_cast<Index>(poles.size());
    MatrixXd prior = info;
    for (Index k = 0; k < count; ++k) {
        prior(k, k) += 1e-4;
        prior(count + k, count + k) += 0.1;
    }
    const MatrixXd covariance = prior.ldlt().solve(MatrixXd::Identity(2 * count, 2 * count));
    const VectorXd value = worth(at);
    for (Index k = 0; k < count; ++k) {
        const Pole& pole = poles[static_cast<std::size_t>(k)];
        const bool first = &part == &parts_.front(), last = &part == &parts_.back();
        if ((pole.hz < part.core_from_hz && !first) || (pole.hz >= part.core_to_hz && !last))
            continue;
        FittedPole kept;
        kept.pole = pole;
        kept.amplitude = at.amplitude.row(k).transpose().cwiseProduct(part.noise);
        kept.covariance << covariance(k, k), covariance(k, count + k), covariance(count + k, k),
            covariance(count + k, count + k);
        kept.worth = value(k);
        poles_.push_back(kept);
    }
    std::sort(poles_.begin(), poles_.end(), [](const auto& a, const auto& b) { return a.pole.hz < b.pole.hz; });
}

void Fitter::guess(Part& part) {
    part.noise = late_rms(spectra_.middleRows(part.first, part.size));
    const MatrixXcd data = spectra_.middleRows(part.first, part.size) * part.noise.cwiseInverse().asDiagonal();
    const VectorXd hz = hz_.segment(part.first, part.size);
    for (const Pole& pole : subspace_poles(hz, data, 0.5 * guard_hz_))
        if (pole.hz >= part.core_from_hz && pole.hz < part.core_to_hz)
            poles_.push_back({pole, VectorXcd::Zero(scale_.size()), Eigen::Matrix2d::Zero(), 0});
}

void Fitter::search(Part& part, const Window& window, std::vector<Pole>& poles, Projection& at) const {
    const double limit = threshold(part);
    std::vector<Pole> candidates;
    for (const double t60 : {0.1, 0.2, 0.4, 0.8, 1.6}) {
        const double step = std::max(0.25 * Pole{0, decay_rate(t60)}.half_power_hz(), hz_(1) - hz_(0));
        for (double hz = window.hz(0); hz <= window.hz(window.hz.size() - 1); hz += step)
            candidates.push_back({hz, decay_rate(t60)});
    }
    MatrixXcd shapes = exponentials(window.hz, candidates, window.duration_s).value;
    shapes -= window.background * (window.background.adjoint() * shapes).eval();
    const VectorXd whole = shapes.colwise().squaredNorm();
    const int most = static_cast<int>(env("ADDS", 30));
    for (int i = 0; i < most; ++i) {
        VectorXd free = whole;
        if (!poles.empty())
            free -= (at.basis.adjoint() * shapes).colwise().squaredNorm().transpose();
        const VectorXd gain = (shapes.adjoint() * at.residual).rowwise().squaredNorm();
        double best = 0;
        Index which = -1;
        for (Index c = 0; c < gain.size(); ++c)
            if (free(c) > 1e-4 * whole(c) && gain(c) / free(c) > best) {
                best = gain(c) / free(c);
                which = c;
            }
        if (best < 0.7 * limit)
            break;
        std::vector<Pole> trial = poles;
        trial.push_back(candidates[static_cast<std::size_t>(which)]);
        Projection there = refine(window, trial, 12);
        if (at.cost - there.cost < limit)
            break;
        poles = std::move(trial);
        at = std::move(there);
    }
}

void Fitter::prune(const Part& part, const Window& window, std::vector<Pole>& poles, Projection& at) const {
    const double limit = threshold(part);
    const double uncertain = env("UNCERTAIN", 0.15);
    std::vector<double> tried;
    while (!poles.empty()) {
        const auto count = static_cast<Index>(poles.size());
        MatrixXd info = 2 * information(at, poles);
        info.diagonal().array() += 1e-3;
        const MatrixXd covariance = info.ldlt().solve(MatrixXd::Identity(2 * count, 2 * count));
        Index worst = -1;
        double most = uncertain;
        for (Index k = 0; k < count; ++k) {
            const double sd = std::sqrt(std::max(0.0, covariance(count + k, count + k)));
            if (sd > most && std::find(tried.begin(), tried.end(), poles[static_cast<std::size_t>(k)].hz) == tried.end()) {
                most = sd;
                worst = k;
            }
        }
        if (worst < 0)
            break;
        std::vector<Pole> fewer = poles;
        fewer.erase(fewer.begin() + worst);
        Projection there = refine(window, fewer, 10);
        if (there.cost - at.cost < limit) {
            poles = std::move(fewer);
            at = std::move(there);
        } else {
            tried.push_back(poles[static_cast<std::size_t>(worst)].hz);
        }
    }
}

void Fitter::update_noise(Part& part, Window& window, const Projection& at) const {
    const VectorXd rms = late_rms(at.residual);
    part.noise.array() *= rms.array();
    window.data *= rms.cwiseInverse().asDiagonal();
}

void Fitter::fit_part(Part& part, bool look) {
    Window window = window_of(part, outside(part));
    std::vector<Pole> poles;
    for (const FittedPole& pole : poles_)
        if (pole.pole.hz >= window.hz(0) && pole.pole.hz <= window.hz(window.hz.size() - 1))
            poles.push_back(pole.pole);
    Projection at = refine(window, poles, 15);
    update_noise(part, window, at);
    at = project(window, poles);
    if (look)
        search(part, window, poles, at);
    prune(part, window, poles, at);
    keep(part, window, poles, at);
}

void Fitter::update_scale() {
    const Index positions = scale_.size();
    if (positions < 2)
        return;
    // Standard deviation of a priori drift: 1 °C.
    const double prior = 1 / (0.0017 * 0.0017);
    MatrixXd normal = prior * MatrixXd::Identity(positions, positions);
    VectorXd right = VectorXd::Zero(positions);
    for (const Part& part : parts_) {
        const Window window = window_of(part, outside(part));
        std::vector<Pole> poles;
        for (const FittedPole& pole : poles_)
            if (pole.pole.hz >= window.hz(0) && pole.pole.hz <= window.hz(window.hz.size() - 1))
                poles.push_back(pole.pole);
        if (poles.empty())
            continue;
        const Projection at = project(window, poles);
        const auto count = static_cast<Index>(poles.size());
        VectorXd omega(count), decay(count);
        for (Index k = 0; k < count; ++k) {
            omega(k) = tau * poles[static_cast<std::size_t>(k)].hz;
            decay(k) = poles[static_cast<std::size_t>(k)].decay_per_s;
        }
        const MatrixXcd gram = at.slope.adjoint() * at.slope;
        const MatrixXcd along = at.slope.adjoint() * at.residual;
        MatrixXd own = 2 * information(at, poles);
        own.diagonal().array() += 1e-3;
        // weight: residual above the noise (missing modes) must not count as information on the air
        const double excess = std::max(1.0, at.cost / (static_cast<double>(positions) * static_cast<double>(part.size)));
        MatrixXd cross(2 * count, positions);
        VectorXd square(positions), gradient(positions);
        for (Index p = 0; p < positions; ++p) {
            const VectorXcd weights = std::complex<double>(0, 1) * omega.cwiseProduct(at.amplitude.col(p).real()).cast<std::complex<double>>();
            VectorXcd w(count);
            for (Index k = 0; k < count; ++k)
                w(k) = std::complex<double>(0, omega(k)) * at.amplitude(k, p);
            const VectorXcd gw = gram * w;
            square(p) = 2 * (w.dot(gw)).real();
            gradient(p) = 2 * (w.dot(along.col(p))).real();
            for (Index k = 0; k < count; ++k) {
                const std::complex<double> inner = std::conj(at.amplitude(k, p)) * gw(k);
                cross(k, p) = 2 * tau * (std::complex<double>(0, -1) * inner).real();
                cross(count + k, p) = -2 * decay(k) * inner.real();
            }
        }
        const Eigen::LDLT<MatrixXd> factor(own);
        VectorXd own_gradient(2 * count);
        for (Index k = 0; k < count; ++k) {
            const std::complex<double> sum = at.amplitude.row(k).conjugate().cwiseProduct(along.row(k)).sum();
            own_gradient(k) = 2 * tau * sum.imag();
            own_gradient(count + k) = -2 * decay(k) * sum.real();
        }
        MatrixXd schur = -cross.transpose() * factor.solve(cross);
        schur.diagonal() += square;
        if (std::getenv("TRACE")) { std::fprintf(stderr, "part %.0f excess %.2f poles %d own estimate", part.core_from_hz, excess, (int)count); MatrixXd m=schur; m.diagonal().array()+=prior; const VectorXd e=m.ldlt().solve(gradient - cross.transpose() * factor.solve(own_gradient)); const MatrixXd inv=m.inverse(); for (Index p=0;p<positions;++p) std::fprintf(stderr, " %.5f(%.5f)", e(p)-e.mean(), std::sqrt(inv(p,p))); std::fprintf(stderr,"\n"); }
        const double weight = 1 / (excess * (1 + 100 * (excess - 1) * (excess - 1)));
        normal += weight * schur;
        right += (gradient - cross.transpose() * factor.solve(own_gradient)) * weight;
    }
    VectorXd step = normal.ldlt().solve(right);
    step.array() -= step.mean();
    scale_ += step;
    if (std::getenv("TRACE")) {
        std::fprintf(stderr, "scale");
        for (Index p = 0; p < positions; ++p)
            std::fprintf(stderr, " %.5f", scale_(p) - 1);
        std::fprintf(stderr, "\n");
    }
}

RoomFit Fitter::run() {
    load();
    make_parts();
    for (Part& part : parts_)
        guess(part);
    std::sort(poles_.begin(), poles_.end(), [](const auto& a, const auto& b) { return a.pole.hz < b.pole.hz; });
    const auto sweep = [&](bool look) {
        for (Part& part : parts_)
            fit_part(part, look);
    };
    sweep(false);
    const int scales = static_cast<int>(env("SCALES", 2));
    for (int i = 0; i < scales; ++i) {
        update_scale();
        load();
        sweep(false);
    }
    sweep(true);
    const int sweeps = static_cast<int>(env("SWEEPS", 1));
    for (int i = 0; i < sweeps; ++i) {
        if (scales) {
            update_scale();
            load();
        }
        sweep(true);
    }
    return {poles_, scale_};
}

} // namespace

RoomFit fit_room(LowResponses responses, double from_hz, double to_hz) {
    return Fitter(std::move(responses), from_hz, to_hz).run();
}

} // namespace ebbmark
