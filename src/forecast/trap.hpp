// SPDX-License-Identifier: GPL-3.0-or-later
// How much one trap absorbs, and how surely.
#pragma once

#include "base/bands.hpp"
#include "base/random.hpp"
#include "forecast/finite_size.hpp"
#include "forecast/material.hpp"
#include "room/geometry.hpp"

#include <span>
#include <string>
#include <vector>

namespace ebbmark {

struct TrapPlan {
    std::string name;
    double width_m = 0, height_m = 0; ///< of the face
    OpenSides open_sides;
    std::vector<LayerPlan> layers; ///< from the wall outwards

    double face_m2() const { return width_m * height_m; }
    double depth_m() const;
    /// Of the sides that are open.
    double open_sides_m2() const;
};

/// The wood that a frame's sides along strips of this direction take from each edge of the face: as thick as
/// the strips. 0 without such strips: then the frame is not known.
double frame_board_m(const TrapPlan& plan, Dividers::Run run);
/// Inside that frame, across strips of this direction.
double inside_frame_m(const TrapPlan& plan, Dividers::Run run);

/// The layers with these figures, strips counted over the whole frame; one draw for each.
std::vector<Layer> acoustic_layers(const TrapPlan& plan, std::span<const LayerDraw> draws);

/// One trap in one band. Coefficients are per area of the face.
struct TrapBand {
    Band band;
    double alpha_normal = 0;
    /// Statistical, of the finite face, from 150 Hz on with what its open sides add; can exceed 1, but not
    /// what the radiation resistance of the area lets in.
    double alpha_random = 0;
    double alpha_low = 0, alpha_high = 0; ///< 95 % interval
};

/// What the model leaves open, alike for all traps of a room: they are made and mounted by the same hands.
struct ModelDraw {
    double frame_held = 0;       ///< see LayerDraw
    double side_share = 0;       ///< of the area of open sides, from 150 Hz on
    double added = 0;            ///< to every coefficient
    double factor = 1;           ///< on every coefficient
    std::vector<double> by_band; ///< to each band's coefficient
};

ModelDraw draw_model(Random& random, std::size_t bands);

/// A trap whose geometry is worked out once for many materials.
class TrapForecast {
  public:
    TrapForecast(TrapPlan plan, std::vector<Band> bands, const Medium& medium);

    /// Other layers or sides behind a face of the same size, or the same on its side: what is known of the
    /// face stays.
    TrapForecast with(TrapPlan plan) const;

    const TrapPlan& plan() const { return plan_; }
    const std::vector<Band>& bands() const { return bands_; }
    /// Equivalent absorption area with the figures in the middle of their spreads.
    std::vector<double> typical_area_m2() const;
    /// The same for figures drawn at random from their ranges, with what the model leaves open.
    std::vector<double> draw_area_m2(Random& random, const ModelDraw& model) const;
    /// With the interval of `draws` draws.
    std::vector<TrapBand> table(int draws, std::uint64_t seed) const;

  private:
    /// Of the face with that share of its open sides which takes in sound in a band.
    double taking_in_m2(std::size_t band, double side_share) const;
    std::vector<double> area_with(const std::vector<LayerDraw>& layers, double side_share) const;

    TrapPlan plan_;
    std::vector<Band> bands_;
    Medium medium_;
    std::vector<FiniteSample> samples_;
};

/// Typical absorption area of all traps together, mean over those of their bands (the same for all) that are
/// `asked`; 0 where there is none.
double mean_area_m2(std::span<const TrapForecast> traps, const std::vector<Band>& asked);

/// The models that serve its porous layers, each once.
std::string models_of(const TrapPlan& plan);

} // namespace ebbmark
