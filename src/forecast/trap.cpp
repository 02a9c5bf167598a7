// SPDX-License-Identifier: GPL-3.0-or-later
#include "forecast/trap.hpp"

#include "base/normal.hpp"
#include "base/order_statistics.hpp"

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <utility>

namespace ebbmark {

namespace {

// Books differ by 0.1 to 0.3 on one material, theory from books by up to 0.2: standard deviation of the
// coefficient that the model leaves, alike in neighbouring bands and apart by band.
constexpr double common_error = 0.05, band_error = 0.03;
// Relative part, for small coefficients: a limp frame or a rigid one differ by a factor of 2 at 30 to 50 Hz.
constexpr double relative_error = 0.05;

// Open sides: the wool's edge takes in sound that passes by. Taken as a surface of the face's own
// coefficient, a share of the sides' area: none to all of it, half in the middle. A model, not a measurement.
constexpr double typical_side_share = 0.5;
// Below, open sides lead sound elsewhere and add nothing: a trap of 1.2 m by 21.5 cm added 0.96 of what it
// did with closed sides (mean of 19 modes up to 142 Hz, two-dimensional finite elements; 0.73 to 1.20).
constexpr double sides_from_hz = 150;

double normal(Random& random) {
    return random.normal_pair().real();
}

/// Within the spread's ends for 95 of 100.
double place(Random& random) {
    return normal(random) / normal_two_sided_95;
}

} // namespace

double TrapPlan::depth_m() const {
    double depth = 0;
    for (const LayerPlan& layer : layers)
        depth += layer.material.kind == LayerKind::cloth ? 0 : layer.thickness_m;
    return depth;
}

double TrapPlan::open_sides_m2() const {
    const double upright = (open_sides.left ? height_m : 0) + (open_sides.right ? height_m : 0);
    const double level = (open_sides.top ? width_m : 0) + (open_sides.bottom ? width_m : 0);
    return (upright + level) * depth_m();
}

double frame_board_m(const TrapPlan& plan, Dividers::Run run) {
    double board = 0;
    for (const LayerPlan& layer : plan.layers)
        if (layer.dividers && layer.dividers->run == run)
            board = std::max(board, layer.dividers->thickness_m);
    // Whatever is written, half of the face is left.
    return std::min(board, (run == Dividers::Run::height ? plan.width_m : plan.height_m) / 4);
}

double inside_frame_m(const TrapPlan& plan, Dividers::Run run) {
    return (run == Dividers::Run::height ? plan.width_m : plan.height_m) - 2 * frame_board_m(plan, run);
}

std::vector<Layer> acoustic_layers(const TrapPlan& plan, std::span<const LayerDraw> draws) {
    std::vector<Layer> layers;
    for (std::size_t i = 0; i < draws.size(); ++i) {
        layers.push_back(acoustic_layer(plan.layers[i], draws[i]));
        if (const auto& strips = plan.layers[i].dividers)
            layers.back().strips =
                strips_over_frame(*strips, plan.layers[i].thickness_m, inside_frame_m(plan, strips->run));
    }
    return layers;
}

TrapForecast::TrapForecast(TrapPlan plan, std::vector<Band> bands, const Medium& medium)
    : plan_(std::move(plan)), bands_(std::move(bands)), medium_(medium) {
    for (const Band& band : bands_)
        samples_.emplace_back(plan_.width_m, plan_.height_m, band.exact_hz, medium_);
}

std::vector<double> TrapForecast::area_with(const std::vector<LayerDraw>& draws, double side_share) const {
    const auto layers = acoustic_layers(plan_, draws);
    std::vector<double> areas;
    for (std::size_t b = 0; b < bands_.size(); ++b) {
        const LayerStack stack(layers, bands_[b].exact_hz, medium_);
        areas.push_back(samples_[b].absorption(stack) * taking_in_m2(b, side_share));
    }
    return areas;
}

double TrapForecast::taking_in_m2(std::size_t band, double side_share) const {
    const double face =
        inside_frame_m(plan_, Dividers::Run::height) * inside_frame_m(plan_, Dividers::Run::width);
    return face + (bands_[band].exact_hz < sides_from_hz ? 0 : side_share * plan_.open_sides_m2());
}

TrapForecast TrapForecast::with(TrapPlan plan) const {
    if (std::minmax(plan.width_m, plan.height_m) != std::minmax(plan_.width_m, plan_.height_m))
        throw std::invalid_argument("a face of another size");
    TrapForecast made = *this;
    made.plan_ = std::move(plan);
    return made;
}

std::vector<double> TrapForecast::typical_area_m2() const {
    return area_with(std::vector<LayerDraw>(plan_.layers.size()), typical_side_share);
}

ModelDraw draw_model(Random& random, std::size_t bands) {
    ModelDraw model{random.uniform(),
                    random.uniform(),
                    common_error * normal(random),
                    std::exp(relative_error * normal(random)),
                    {}};
    for (std::size_t b = 0; b < bands; ++b)
        model.by_band.push_back(band_error * normal(random));
    return model;
}

std::vector<double> TrapForecast::draw_area_m2(Random& random, const ModelDraw& model) const {
    std::vector<LayerDraw> layers;
    for (std::size_t i = 0; i < plan_.layers.size(); ++i) {
        LayerDraw layer;
        layer.resistivity = place(random);
        layer.tortuosity = place(random);
        layer.form = place(random);
        layer.frame_held = model.frame_held;
        layers.push_back(layer);
    }
    std::vector<double> areas = area_with(layers, model.side_share);
    for (std::size_t b = 0; b < areas.size(); ++b) {
        const double alpha = areas[b] / plan_.face_m2();
        // What is small is known better than by so many hundredths.
        const double error = (model.added + model.by_band[b]) * std::min(1.0, alpha / 0.3);
        areas[b] = std::min(plan_.face_m2() * std::max(0.0, model.factor * alpha + error),
                            samples_[b].most_absorption() * taking_in_m2(b, model.side_share));
    }
    return areas;
}

std::vector<TrapBand> TrapForecast::table(int draws, std::uint64_t seed) const {
    Random random(seed);
    std::vector<std::vector<double>> drawn(bands_.size());
    for (int i = 0; i < draws; ++i) {
        const auto areas = draw_area_m2(random, draw_model(random, bands_.size()));
        for (std::size_t b = 0; b < bands_.size(); ++b)
            drawn[b].push_back(areas[b] / plan_.face_m2());
    }
    const auto typical = typical_area_m2();
    const auto layers = acoustic_layers(plan_, std::vector<LayerDraw>(plan_.layers.size()));
    std::vector<TrapBand> table;
    for (std::size_t b = 0; b < bands_.size(); ++b)
        table.push_back({bands_[b], absorption_at(layers, bands_[b].exact_hz, medium_),
                         typical[b] / plan_.face_m2(),
                         std::min(typical[b] / plan_.face_m2(), interpolated_quantile(drawn[b], 0.025)),
                         // Where the middle is already the most that is possible, all draws lie below it.
                         std::max(typical[b] / plan_.face_m2(), interpolated_quantile(drawn[b], 0.975))});
    return table;
}

double mean_area_m2(std::span<const TrapForecast> traps, const std::vector<Band>& asked) {
    const auto is_asked = [&](const Band& band) {
        return std::find(asked.begin(), asked.end(), band) != asked.end();
    };
    double sum = 0;
    for (const TrapForecast& trap : traps) {
        const std::vector<double> areas = trap.typical_area_m2();
        for (std::size_t b = 0; b < areas.size(); ++b)
            if (is_asked(trap.bands()[b]))
                sum += areas[b];
    }
    const auto count =
        traps.empty() ? 0
                      : std::count_if(traps.front().bands().begin(), traps.front().bands().end(), is_asked);
    return count > 0 ? sum / static_cast<double>(count) : 0;
}

std::string models_of(const TrapPlan& plan) {
    std::string text;
    for (const LayerPlan& layer : plan.layers) {
        const std::string model = model_of(layer);
        if (!model.empty() && text.find(model) == std::string::npos)
            text += (text.empty() ? "" : "; ") + model;
    }
    return text.empty() ? "no porous layer" : text;
}

} // namespace ebbmark
