// SPDX-License-Identifier: GPL-3.0-or-later
#include "forecast/design.hpp"

#include "room/modes.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

namespace ebbmark {

namespace {

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
            if (layer.dividers && layer.dividers->path_m)
                *layer.dividers->path_m *= depth_factor;
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

/// Whether two traps are built alike.
bool same_build(const TrapPlan& a, const TrapPlan& b) {
    const auto same_layer = [](const LayerPlan& one, const LayerPlan& other) {
        return one.material.name == other.material.name && one.thickness_m == other.thickness_m &&
               one.free_thickness_m == other.free_thickness_m && one.density_kg_m3 == other.density_kg_m3 &&
               one.flow_resistivity == other.flow_resistivity &&
               one.flow_resistance == other.flow_resistance && one.dividers == other.dividers;
    };
    return a.width_m == b.width_m && a.height_m == b.height_m && a.open_sides == b.open_sides &&
           std::equal(a.layers.begin(), a.layers.end(), b.layers.begin(), b.layers.end(), same_layer);
}

/// Indices of traps that are built alike, in the order of the first of each.
std::vector<std::vector<std::size_t>> builds_of(const std::vector<TrapForecast>& traps) {
    std::vector<std::vector<std::size_t>> builds;
    for (std::size_t i = 0; i < traps.size(); ++i) {
        const auto like = std::find_if(builds.begin(), builds.end(), [&](const auto& build) {
            return same_build(traps[build[0]].plan(), traps[i].plan());
        });
        if (like != builds.end())
            like->push_back(i);
        else
            builds.push_back({i});
    }
    return builds;
}

std::string names_of(const std::vector<TrapForecast>& traps, const std::vector<std::size_t>& build) {
    std::vector<std::string> names;
    for (const std::size_t trap : build)
        names.push_back(traps[trap].plan().name);
    return fmt::format("{}", fmt::join(names, ", "));
}

std::vector<std::optional<TrapPlace>> places_of(const std::vector<TrapForecast>& traps,
                                                const DesignRoom& room) {
    std::vector<std::optional<TrapPlace>> places(room.places.begin(), room.places.end());
    places.resize(traps.size());
    return places;
}

/// The traps that have a place; where they stand.
std::vector<PlacedTrap> placed(const DesignVariant& variant) {
    std::vector<PlacedTrap> result;
    for (std::size_t i = 0; i < variant.traps.size(); ++i)
        if (variant.places[i])
            result.push_back({variant.traps[i].plan(), *variant.places[i]});
    return result;
}

bool is_box(const std::optional<TrapPlace>& place) {
    return place && place->box_across;
}

/// One more of a trap, in the first place that is free.
void add_one(DesignVariant& variant, const TrapForecast& trap, bool box_across, const DesignRoom& room) {
    const auto free = room.box ? free_places(*room.box, trap.plan(), placed(variant), room.clear, box_across)
                               : std::vector<FreePlace>{};
    variant.traps.push_back(free.empty() ? trap : trap.with(free[0].trap.plan));
    variant.places.push_back(free.empty() ? std::nullopt : std::optional(free[0].trap.place));
}

} // namespace

std::vector<DesignVariant> design_variants(const std::vector<TrapForecast>& traps, const DesignRoom& room) {
    std::vector<DesignVariant> made;
    const auto places = places_of(traps, room);
    for (const auto& build : builds_of(traps)) {
        const TrapPlan& plan = traps[build[0]].plan();
        const std::string names = names_of(traps, build);
        const auto instead = [&](const char* what, const TrapPlan& changed) {
            made.push_back({fmt::format("{}: {}", names, what), traps, places});
            for (const std::size_t trap : build) {
                TrapPlan own = changed;
                own.name = traps[trap].plan().name;
                made.back().traps[trap] = traps[trap].with(own);
            }
        };
        if (std::any_of(plan.layers.begin(), plan.layers.end(), is_porous)) {
            instead("half as much wool again in depth", with_wool(plan, 1.5, 1));
            instead("twice the wool in depth", with_wool(plan, 2, 1));
            instead("wool of twice the density", with_wool(plan, 1, 2));
            instead("wool of half the density", with_wool(plan, 1, 0.5));
        }
        instead("10 cm more air between wall and wool", with_gap(plan, 0.1));
        if (!plan.open_sides.all()) {
            TrapPlan opened = plan;
            opened.open_sides = true;
            instead("sides left open", opened);
        }
        for (const int more : {1, 2, 4}) {
            made.push_back({fmt::format("{}: {} more of the same", plan.name, more), traps, places});
            for (int i = 0; i < more; ++i)
                add_one(made.back(), traps[build[0]], is_box(places[build[0]]), room);
            // In a room whose walls are known, those that find no place are no advice.
            const auto& found = made.back().places;
            if (room.box && std::any_of(found.end() - more, found.end(),
                                        [](const auto& place) { return !place.has_value(); }))
                made.pop_back();
        }
    }
    return made;
}

std::vector<DesignVariant> moved_variants(const std::vector<TrapForecast>& traps, const DesignRoom& room) {
    std::vector<DesignVariant> made;
    if (!room.box)
        return made;
    for (std::size_t k = 0; k < traps.size(); ++k) {
        DesignVariant others{"", traps, places_of(traps, room)};
        others.places[k].reset();
        for (const FreePlace& free :
             free_places(*room.box, traps[k].plan(), placed(others), room.clear, room.places[k].box_across)) {
            // Where it stands anyway is no change.
            if (free.trap.place.wall == room.places[k].wall &&
                free.trap.place.corner_with == room.places[k].corner_with)
                continue;
            DesignVariant moved = others;
            moved.what = fmt::format("{}: stands {}", traps[k].plan().name, free.where);
            moved.traps[k] = traps[k].with(free.trap.plan);
            moved.places[k] = free.trap.place;
            made.push_back(std::move(moved));
        }
    }
    return made;
}

std::optional<std::vector<PlacedTrap>> standing(const DesignVariant& variant, const DesignRoom& room) {
    const auto traps = placed(variant);
    if (!room.box || traps.size() != variant.traps.size() || !stand_clear(*room.box, traps, room.clear))
        return {};
    return traps;
}

namespace {

/// Mean over the modes of p² at the walls behind a trap, over its mean in the room.
double loudness_at(const TrapPlace& place, double depth_m, const Box& box,
                   const std::vector<RoomMode>& modes) {
    double sum = 0, count = 0;
    for (const CoveredWall& covered : covered_walls(box, place, depth_m)) {
        const WallRectangle& face = covered.rectangle;
        Point middle{};
        middle[axis_of(face.wall)] = is_far(face.wall) ? box.edges_m[axis_of(face.wall)] : 0;
        const auto along = axes_along(face.wall);
        for (std::size_t i = 0; i < 2; ++i)
            middle[along[i]] = (face.from_m[i] + face.to_m[i]) / 2;
        for (const RoomMode& mode : modes) {
            const double shape = mode_shape(box, mode.order, middle);
            const auto waves =
                std::count_if(mode.order.begin(), mode.order.end(), [](int n) { return n > 0; });
            sum += shape * shape * std::exp2(static_cast<double>(waves)), ++count;
        }
    }
    return count > 0 ? sum / count : 1;
}

} // namespace

void put_likely_first(std::vector<DesignVariant>& variants, const DesignRoom& room, double speed_of_sound,
                      double from_hz, double to_hz) {
    if (!room.box)
        return;
    auto modes = room_modes(*room.box, speed_of_sound, to_hz);
    std::erase_if(modes, [&](const RoomMode& mode) { return mode.hz < from_hz; });
    const auto asked = bands_between(BandWidth::third, from_hz, to_hz);
    std::vector<std::pair<double, std::size_t>> worth;
    for (std::size_t v = 0; v < variants.size(); ++v) {
        double sum = 0;
        for (std::size_t t = 0; t < variants[v].traps.size(); ++t)
            if (const auto& place = variants[v].places[t]) {
                const TrapForecast& trap = variants[v].traps[t];
                sum += mean_area_m2({&trap, 1}, asked) *
                       loudness_at(*place, trap.plan().depth_m(), *room.box, modes);
            }
        worth.emplace_back(-sum, v);
    }
    std::sort(worth.begin(), worth.end());
    std::vector<DesignVariant> sorted;
    for (const auto& [value, v] : worth)
        sorted.push_back(std::move(variants[v]));
    variants = std::move(sorted);
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
