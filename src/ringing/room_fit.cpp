// SPDX-License-Identifier: GPL-3.0-or-later
#include "ringing/room_fit.hpp"

#include "algebra/dense.hpp"
#include "ringing/air_drift.hpp"
#include "ringing/hidden_modes.hpp"
#include "ringing/order_search.hpp"
#include "ringing/subspace.hpp"
#include "ringing/window_fit.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace ebbmark {

namespace {

using Eigen::Index;
using Eigen::MatrixXcd;
using Eigen::MatrixXd;
using Eigen::VectorXcd;
using Eigen::VectorXd;

constexpr double tau = 2 * std::numbers::pi;

// A window's core is what its poles are taken from; the guards on both sides hold the neighbours that reach
// into it. Wider ones cost more and gain nothing on tuning scenes.
constexpr double core_hz = 40, guard_hz = 20;
// Polynomial terms for what is smooth over a window: direct sound, modes far above, the loudspeaker's own
// ringing.
constexpr int background_terms = 3;
constexpr int most_steps = 15;
// Steps for the air before the search, and the change that ends them: at 200 Hz and a decay time of 1 s it
// turns a mode by 1e-3 rad, 60 dB down.
constexpr int most_air_steps = 6;
constexpr double settled_air = 2e-6;
// A pole that keeps less of its strength has been replaced by another.
constexpr double least_strength = 0.3;

/// What a fit of a window may do to its number of poles.
struct Search {
    bool adds = false;
    bool exchanges = false; ///< where it adds
    bool drops = false, merges = false;
};

bool by_frequency(const FittedPole& a, const FittedPole& b) {
    return a.pole.hz < b.pole.hz;
}

/// What the late part of the record has in a window of so many bins.
class LatePart {
  public:
    explicit LatePart(Index bins = 0);
    /// Rms per bin and position, as if all of it were noise.
    VectorXd rms(const MatrixXcd& spectra) const;

  private:
    MatrixXcd turns_; ///< samples × bins
    double power_ = 0;
};

LatePart::LatePart(Index bins) {
    // The window's edges are faded out: cut off sharply, an early strong sound would reach into the late
    // part.
    VectorXd weight(bins);
    for (Index k = 0; k < bins; ++k)
        weight(k) = std::pow(
            std::sin(std::numbers::pi * (static_cast<double>(k) + 0.5) / static_cast<double>(bins)), 2);
    const auto first = static_cast<Index>(0.55 * static_cast<double>(bins));
    const Index count = static_cast<Index>(0.92 * static_cast<double>(bins)) - first;
    turns_.resize(count, bins);
    for (Index n = 0; n < count; ++n)
        for (Index k = 0; k < bins; ++k)
            turns_(n, k) = std::polar(weight(k), tau * static_cast<double>(((first + n) * k) % bins) /
                                                     static_cast<double>(bins));
    power_ = static_cast<double>(count) * weight.squaredNorm();
}

VectorXd LatePart::rms(const MatrixXcd& spectra) const {
    return (product(turns_, spectra).colwise().squaredNorm().transpose() / power_).cwiseSqrt();
}

struct Part {
    double core_from_hz = 0, core_to_hz = 0;
    Index first = 0, size = 0; ///< bins
    LatePart late;
    VectorXd noise; ///< rms per bin, per position
};

class Fitter {
  public:
    Fitter(LowResponses responses, double from_hz, double to_hz);
    RoomFit run();
    RoomFit run_from(const RoomFit& start, Order order);
    DecayCosts costs(const RoomFit& fit, std::size_t pole, const std::vector<double>& decays_per_s,
                     const std::vector<Pole>& further);

  private:
    void load();
    void make_parts();
    void guess(Part& part);
    Window window_of(const Part& part) const;
    std::vector<Pole> poles_in(const Window& window) const;
    void fit(Part& part, const Search& search);
    void search_order(const Window& window, const Search& search, std::vector<Pole>& poles,
                      Projection& at) const;
    void fit_all(const Search& search);
    void keep(const Part& part, const Window& window, const std::vector<Pole>& poles, const Projection& at);
    double update_scale();

    LowResponses responses_;
    double from_hz_, to_hz_;
    std::vector<double> lines_hz_; ///< steady tones
    VectorXd scale_;
    VectorXd hz_;
    MatrixXcd spectra_;
    std::vector<Part> parts_;
    std::vector<FittedPole> poles_;
};

Fitter::Fitter(LowResponses responses, double from_hz, double to_hz)
    : responses_(std::move(responses)), from_hz_(from_hz), to_hz_(to_hz),
      lines_hz_(responses_.steady_lines(from_hz - guard_hz, to_hz + guard_hz)),
      scale_(VectorXd::Ones(static_cast<Index>(responses_.positions()))) {
    load();
    make_parts();
}

void Fitter::load() {
    const double lowest = std::max(1 / responses_.duration_s(), from_hz_ - guard_hz);
    hz_ = responses_.bins(lowest, to_hz_ + guard_hz);
    spectra_ = responses_.spectra(scale_, lowest, to_hz_ + guard_hz);
}

void Fitter::make_parts() {
    const double bin_hz = hz_(1) - hz_(0);
    const auto index_of = [&](double hz) {
        return std::clamp<Index>(static_cast<Index>((hz - hz_(0)) / bin_hz), 0, hz_.size() - 1);
    };
    const int count = std::max(1, static_cast<int>(std::lround((to_hz_ - from_hz_) / core_hz)));
    for (int i = 0; i < count; ++i) {
        Part part;
        part.core_from_hz = from_hz_ + (to_hz_ - from_hz_) * i / count;
        part.core_to_hz = from_hz_ + (to_hz_ - from_hz_) * (i + 1) / count;
        part.first = index_of(part.core_from_hz - guard_hz);
        part.size = index_of(part.core_to_hz + guard_hz) - part.first + 1;
        part.late = LatePart(part.size);
        part.noise = part.late.rms(spectra_.middleRows(part.first, part.size));
        parts_.push_back(std::move(part));
    }
}

void Fitter::guess(Part& part) {
    const MatrixXcd data =
        spectra_.middleRows(part.first, part.size) * part.noise.cwiseInverse().asDiagonal();
    for (const Pole& pole : subspace_poles(hz_.segment(part.first, part.size), data, 0.5 * guard_hz))
        if (pole.hz >= part.core_from_hz && pole.hz < part.core_to_hz)
            poles_.push_back({pole, VectorXcd::Zero(scale_.size())});
}

/// The part's data without what other windows' poles and all mirror images at negative frequency put into it.
Window Fitter::window_of(const Part& part) const {
    const VectorXd hz = hz_.segment(part.first, part.size);
    std::vector<Pole> others;
    MatrixXcd amplitude(static_cast<Index>(2 * poles_.size()), scale_.size());
    const auto other = [&](const Pole& pole, const VectorXcd& its) {
        amplitude.row(static_cast<Index>(others.size())) = its.transpose();
        others.push_back(pole);
    };
    for (const FittedPole& fitted : poles_) {
        other({-fitted.pole.hz, fitted.pole.decay_per_s}, fitted.amplitude.conjugate());
        if (fitted.pole.hz < hz(0) || fitted.pole.hz > hz(hz.size() - 1))
            other(fitted.pole, fitted.amplitude);
    }
    MatrixXcd data = spectra_.middleRows(part.first, part.size);
    if (!others.empty())
        data -= product(exponentials(hz, others, responses_.duration_s()).value,
                        amplitude.topRows(static_cast<Index>(others.size())));
    data *= part.noise.cwiseInverse().asDiagonal();
    return make_window(hz, data, background_terms, responses_.duration_s(), lines_hz_);
}

std::vector<Pole> Fitter::poles_in(const Window& window) const {
    std::vector<Pole> made;
    for (const FittedPole& fitted : poles_)
        if (fitted.pole.hz >= window.hz(0) && fitted.pole.hz <= window.hz(window.hz.size() - 1))
            made.push_back(fitted.pole);
    return made;
}

void Fitter::fit(Part& part, const Search& search) {
    Window window = window_of(part);
    std::vector<Pole> poles = poles_in(window);
    Projection at = refine(window, poles, most_steps);
    const VectorXd rms = part.late.rms(at.residual);
    part.noise.array() *= rms.array();
    window.data *= rms.cwiseInverse().asDiagonal();
    at = with_other_data(window, std::move(at));
    search_order(window, search, poles, at);
    keep(part, window, poles, at);
}

/// `at` need have no slopes before.
void Fitter::search_order(const Window& window, const Search& search, std::vector<Pole>& poles,
                          Projection& at) const {
    if (search.adds) {
        const Places places = places_in(window);
        add_poles(window, places, poles, at);
        if (search.exchanges)
            exchange_broad_poles(window, places, poles, at);
    } else {
        add_slopes(window, poles, at);
    }
    if (search.drops)
        drop_poles(window, poles, at);
    if (search.merges)
        merge_twins(window, poles, at);
}

void Fitter::keep(const Part& part, const Window& window, const std::vector<Pole>& poles,
                  const Projection& at) {
    const bool lowest = &part == &parts_.front(), highest = &part == &parts_.back();
    const auto belongs = [&](const Pole& pole) {
        return (lowest || pole.hz >= part.core_from_hz) && (highest || pole.hz < part.core_to_hz);
    };
    std::erase_if(poles_, [&](const FittedPole& fitted) { return belongs(fitted.pole); });
    if (poles.empty())
        return;
    const auto count = static_cast<Index>(poles.size());
    const VectorXd by_noise = covariance(information(at, poles)).diagonal().cwiseSqrt();
    // A fit that leaves more than noise knows its poles worse by as much.
    const double freedom = static_cast<double>(at.residual.size() - count * (at.residual.cols() + 1));
    const double excess = std::max(1.0, at.cost / std::max(1.0, freedom));
    const VectorXd deviation =
        std::sqrt(excess) * covariance(information_with_hidden(window, at, poles)).diagonal().cwiseSqrt();
    for (Index k = 0; k < count; ++k)
        if (belongs(poles[static_cast<std::size_t>(k)]))
            poles_.push_back({poles[static_cast<std::size_t>(k)],
                              at.amplitude.row(k).transpose().cwiseProduct(part.noise), deviation(k),
                              deviation(count + k), by_noise(count + k)});
    std::sort(poles_.begin(), poles_.end(), by_frequency);
}

/// The largest change.
double Fitter::update_scale() {
    if (scale_.size() < 2)
        return 0;
    struct Fitted {
        std::vector<Pole> poles;
        Projection at;
        double excess; ///< of the residual's power over the noise's
    };
    std::vector<Fitted> windows;
    for (const Part& part : parts_) {
        const Window window = window_of(part);
        std::vector<Pole> poles = poles_in(window);
        if (poles.empty())
            continue;
        Projection at = project(window, poles);
        const double excess = std::max(1.0, at.cost / static_cast<double>(at.residual.size()));
        windows.push_back({std::move(poles), std::move(at), excess});
    }
    double least = std::numeric_limits<double>::infinity();
    for (const Fitted& fitted : windows)
        least = std::min(least, fitted.excess);
    // A window with more in it than its poles say tells little of the air; where all have, by the drift
    // itself or by modes not found yet, the best ones still count.
    DriftEquations equations(scale_.size());
    for (const Fitted& fitted : windows)
        equations.add(fitted.at, fitted.poles,
                      1 / (fitted.excess * (1 + 100 * std::pow(fitted.excess / least - 1, 2))));
    const VectorXd shift = equations.solve();
    scale_ += shift;
    load();
    return shift.cwiseAbs().maxCoeff();
}

void Fitter::fit_all(const Search& search) {
    for (Part& part : parts_)
        fit(part, search);
}

RoomFit Fitter::run_from(const RoomFit& start, Order order) {
    poles_ = start.poles;
    scale_ = start.scale;
    load();
    if (order == Order::kept)
        update_scale();
    // A broad pole that the whole exchanged for others is not tried again, which would take a third of the
    // time.
    const bool searched = order == Order::searched;
    fit_all({.adds = searched, .drops = searched, .merges = searched});
    return {poles_, scale_};
}

DecayCosts Fitter::costs(const RoomFit& fit, std::size_t asked, const std::vector<double>& decays_per_s,
                         const std::vector<Pole>& further) {
    poles_ = fit.poles;
    scale_ = fit.scale;
    load();
    const Pole own = fit.poles[asked].pole;
    const auto part = std::find_if(parts_.begin(), parts_.end(), [&](const Part& one) {
        return own.hz < one.core_to_hz || &one == &parts_.back();
    });
    Window window = window_of(*part);
    std::vector<Pole> poles = poles_in(window);
    const auto which =
        static_cast<std::size_t>(std::min_element(poles.begin(), poles.end(),
                                                  [&](const Pole& a, const Pole& b) {
                                                      return std::abs(a.exponent() - own.exponent()) <
                                                             std::abs(b.exponent() - own.exponent());
                                                  }) -
                                 poles.begin());
    window.data *= part->late.rms(project_values(window, poles).residual).cwiseInverse().asDiagonal();
    for (const Pole& pole : further)
        if (pole.hz > window.hz(0) && pole.hz < window.hz(window.hz.size() - 1))
            poles.push_back(pole);
    const Projection best = refine(window, poles, most_steps);
    const auto row = static_cast<Index>(which);
    const auto strength = [&](const Projection& at, const Pole& pole) {
        return at.amplitude.row(row).norm() / std::sqrt(pole.decay_per_s);
    };
    const double least = least_strength * strength(best, poles[which]);
    DecayCosts made;
    made.free = best.cost;
    const double freedom = static_cast<double>(best.residual.size() -
                                               static_cast<Index>(poles.size()) * (best.residual.cols() + 1));
    made.misfit = std::max(1.0, best.cost / std::max(1.0, freedom));
    for (const double decay : decays_per_s) {
        std::vector<Pole> trial = poles;
        trial[which].decay_per_s = decay;
        const Projection there = refine(window, trial, most_steps, which);
        made.held.push_back(strength(there, trial[which]) < least ? std::numeric_limits<double>::infinity()
                                                                  : there.cost);
    }
    return made;
}

RoomFit Fitter::run() {
    for (Part& part : parts_)
        guess(part);
    std::sort(poles_.begin(), poles_.end(), by_frequency);
    // The air first, by the poles that stand out: what is left of a strong mode at a position whose air is
    // not known yet would be taken for a mode of its own. Then all that the residual shows; then once more
    // with both known.
    // From one position alone two modes at nearly one place differ by nothing but their decay.
    const bool several = scale_.size() > 1;
    for (int i = 0; i < most_air_steps; ++i) {
        fit_all({.drops = true});
        if (update_scale() < settled_air && i > 0)
            break;
    }
    for (int i = 0; i < 2; ++i) {
        fit_all({.adds = true, .exchanges = true, .drops = true, .merges = several});
        update_scale();
    }
    fit_all({.drops = true, .merges = several});
    return {poles_, scale_};
}

} // namespace

RoomFit fit_room(LowResponses responses, double from_hz, double to_hz) {
    return Fitter(std::move(responses), from_hz, to_hz).run();
}

RoomFit refit_room(LowResponses responses, double from_hz, double to_hz, const RoomFit& start, Order order) {
    return Fitter(std::move(responses), from_hz, to_hz).run_from(start, order);
}

DecayCosts decay_costs(const FittedRoom& room, std::size_t pole, const std::vector<double>& decays_per_s,
                       const std::vector<Pole>& further) {
    return Fitter(room.responses, room.from_hz, room.to_hz).costs(room.fit, pole, decays_per_s, further);
}

} // namespace ebbmark
