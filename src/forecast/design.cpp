// SPDX-License-Identifier: GPL-3.0-or-later
#include "forecast/design.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace ebbmark {

namespace {

bool is_porous(const LayerPlan& layer) {
    return layer.material.kind == LayerKind::porous;
}

/// The layer with wool of `factor` times its density.
LayerPlan with_density(LayerPlan layer, double factor) {
    const double density = built_density_kg_m3(layer);
    layer.free_thickness_m.reset();
    layer.density_kg_m3 = factor * density;
    if (layer.flow_resistivity)
        *layer.flow_resistivity *= std::pow(factor, std::max(1.0, layer.material.density_exponent));
    return layer;
}

TrapPlan with_wool(TrapPlan plan, double depth_factor, double density_factor) {
    for (LayerPlan& layer : plan.layers)
        if (is_porous(layer)) {
            layer.thickness_m *= depth_factor;
            if (density_factor != 1 && built_density_kg_m3(layer) > 0)
                layer = with_density(layer, density_factor);
        }
    return plan;
}

TrapPlan with_gap(TrapPlan plan, double gap_m) {
    LayerPlan air;
    air.material.kind = LayerKind::air;
    air.thickness_m = gap_m;
    plan.layers.insert(plan.layers.begin(), air);
    return plan;
}

} // namespace

std::vector<DesignVariant> design_variants(const std::vector<TrapForecast>& traps) {
    std::vector<DesignVariant> made;
    for (std::size_t k = 0; k < traps.size(); ++k) {
        const TrapPlan& plan = traps[k].plan();
        const auto instead = [&](const char* what, const TrapPlan& changed) {
            made.push_back({fmt::format("{}: {}", plan.name, what), traps});
            made.back().traps[k] = traps[k].with(changed);
        };
        if (std::any_of(plan.layers.begin(), plan.layers.end(), is_porous)) {
            instead("half as much wool again in depth", with_wool(plan, 1.5, 1));
            instead("twice the wool in depth", with_wool(plan, 2, 1));
            instead("wool of twice the density", with_wool(plan, 1, 2));
            instead("wool of half the density", with_wool(plan, 1, 0.5));
        }
        instead("10 cm more air between wall and wool", with_gap(plan, 0.1));
        if (!plan.open_sides) {
            TrapPlan opened = plan;
            opened.open_sides = true;
            instead("sides left open", opened);
        }
        for (const std::size_t more : {1, 2, 4}) {
            made.push_back({fmt::format("{}: {} more of the same", plan.name, more), traps});
            made.back().traps.insert(made.back().traps.end(), more, traps[k]);
        }
    }
    return made;
}

double wool_m3(const std::vector<TrapForecast>& traps) {
    double sum = 0;
    for (const TrapForecast& trap : traps)
        for (const LayerPlan& layer : trap.plan().layers)
            if (is_porous(layer))
                sum += trap.plan().face_m2() * layer.thickness_m;
    return sum;
}

std::optional<double> question_change_percent(const RoomForecast& forecast, const DesignAim& aim) {
    double sum = 0;
    int covered = 0, asked = 0;
    for (const ForecastBand& band : forecast.bands) {
        if (band.band.nominal_hz < aim.from_hz || band.band.nominal_hz > aim.to_hz)
            continue;
        ++asked;
        if (!band.predicted_s || !band.before_s)
            continue;
        ++covered;
        sum += std::log(*band.predicted_s / *band.before_s);
    }
    if (covered == 0 || 2 * covered < asked)
        return {};
    return 100 * std::expm1(sum / covered);
}

std::optional<bool> meets(const RoomForecast& forecast, const DesignAim& aim) {
    std::optional<bool> answer;
    if (aim.at_least_percent) {
        const auto change = question_change_percent(forecast, aim);
        if (!change)
            return {};
        answer = *change <= -*aim.at_least_percent;
    }
    for (std::size_t b = 0; b < std::min(aim.highest_s.size(), forecast.bands.size()); ++b)
        if (aim.highest_s[b] && forecast.bands[b].predicted_s)
            answer = answer.value_or(true) && *forecast.bands[b].predicted_s <= *aim.highest_s[b];
    return answer;
}

} // namespace ebbmark
