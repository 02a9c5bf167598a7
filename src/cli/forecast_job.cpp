// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/forecast_job.hpp"

#include "base/error.hpp"
#include "cli/job_analysis.hpp"
#include "decay/average.hpp"
#include "job/trap_plan.hpp"
#include "job/visit_result.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace ebbmark {

namespace {

std::string layer_text(const LayerPlan& layer) {
    if (layer.material.kind == LayerKind::cloth)
        return layer.material.name;
    const double density = layer.material.kind == LayerKind::porous ? built_density_kg_m3(layer) : 0;
    return fmt::format("{:.3g} cm of {}{}", 100 * layer.thickness_m, layer.material.name,
                       density > 0 ? fmt::format(" ({:.3g} kg/m³)", density) : "");
}

std::vector<TrapPlan> plans_of(const std::vector<JobTrap>& traps, const std::vector<Material>& materials,
                               bool as_built) {
    std::vector<TrapPlan> plans;
    for (const JobTrap& trap : traps)
        plans.push_back(trap_plan(trap, materials, as_built));
    return plans;
}

ForecastTrap row_of(const TrapForecast& trap, const ForecastOptions& options) {
    const TrapPlan& plan = trap.plan();
    ForecastTrap row{plan.name, plan.face_m2(), plan.depth_m(), models_of(plan), {}, {}};
    for (const LayerPlan& layer : plan.layers)
        row.layers.push_back(layer_text(layer));
    row.bands = trap.table(std::min(options.draws, 300), options.seed);
    return row;
}

std::vector<TrapForecast> forecasts_of(const std::vector<TrapPlan>& plans, const std::vector<Band>& bands,
                                       const Medium& medium) {
    std::vector<TrapForecast> forecasts;
    for (const TrapPlan& plan : plans)
        forecasts.emplace_back(plan, bands, medium);
    return forecasts;
}

double mean_area_m2(const TrapPlan& plan, const std::vector<Band>& bands) {
    double sum = 0;
    for (const double area : TrapForecast(plan, bands, {}).typical_area_m2())
        sum += area;
    return sum / static_cast<double>(bands.size());
}

/// Changes that a builder can make to one trap, each worked out anew over the bands of the question.
void add_variants(ForecastReport& report, const TrapPlan& plan, const std::vector<Band>& bands) {
    const double planned = mean_area_m2(plan, bands);
    const auto add = [&](const std::string& what, const TrapPlan& changed) {
        report.variants.push_back({plan.name + ": " + what, mean_area_m2(changed, bands) - planned});
    };
    TrapPlan deeper = plan, denser = plan, looser = plan, gapped = plan;
    bool porous = false;
    for (std::size_t i = 0; i < plan.layers.size(); ++i) {
        if (plan.layers[i].material.kind != LayerKind::porous)
            continue;
        porous = true;
        deeper.layers[i].thickness_m *= 1.5;
        for (auto [changed, factor] : {std::pair{&denser, 2.0}, std::pair{&looser, 0.5}}) {
            LayerPlan& layer = changed->layers[i];
            const double density = built_density_kg_m3(layer);
            layer.free_thickness_m.reset();
            layer.density_kg_m3 = factor * density;
            if (layer.flow_resistivity)
                *layer.flow_resistivity *= std::pow(factor, std::max(1.0, layer.material.density_exponent));
        }
    }
    if (porous) {
        add("half as much wool again in depth", deeper);
        add("wool of twice the density", denser);
        add("wool of half the density", looser);
    }
    LayerPlan air;
    air.material.kind = LayerKind::air;
    air.thickness_m = 0.1;
    gapped.layers.insert(gapped.layers.begin(), air);
    add("10 cm more air between wall and wool", gapped);
    report.variants.push_back({plan.name + ": one more of the same", planned});
}

std::string before_visit(const JobFolder& job) {
    for (const auto& [name, protocol] : job.visits())
        if (is_before(name) && !job.takes_in_use(name).empty())
            return name;
    return "";
}

RoomBefore room_before(const JobFolder& job, const std::string& visit, const ForecastOptions& options,
                       Progress& progress) {
    const JobRoom& room = job.description().room;
    if (!room.volume_m3 || !room.surface_m2)
        throw Error(ErrorKind::unusable,
                    fmt::format("{}: job.toml gives the room no volume or no surface; a forecast "
                                "needs both",
                                job.path().string()));
    DecayOptions decay;
    decay.from_hz = options.from_hz;
    decay.to_hz = options.to_hz;
    std::vector<ResponseDecay> positions;
    for (const PositionDecay& position : analyse_visit(job, visit, decay, false, progress))
        positions.push_back(position.decay);
    RoomBefore before{*room.volume_m3, *room.surface_m2, air_of(job.visits().at(visit)), {}, {}};
    for (const BandAverage& band : average_over_positions(positions)) {
        before.bands.push_back(band.band);
        before.decay_s.push_back(band.t20_s);
    }
    return before;
}

} // namespace

ForecastReport forecast_traps(const std::vector<JobTrap>& traps, const std::vector<Material>& materials,
                              const ForecastOptions& options) {
    ForecastReport report;
    const auto bands = bands_between(BandWidth::third, options.from_hz, options.to_hz);
    for (const TrapForecast& trap : forecasts_of(plans_of(traps, materials, options.as_built), bands, {}))
        report.traps.push_back(row_of(trap, options));
    return report;
}

ForecastReport forecast_job(const JobFolder& job, const std::vector<Material>& materials,
                            const ForecastOptions& options, Progress& progress) {
    const JobDescription& description = job.description();
    if (description.traps.empty())
        throw Error(
            ErrorKind::unusable,
            fmt::format("{}: job.toml plans no trap; add [[trap]] with its layers", job.path().string()));
    const auto plans = plans_of(description.traps, materials, options.as_built);
    const std::string visit = before_visit(job);
    ForecastReport report = forecast_traps(description.traps, materials, options);
    report.simulated = job.simulated();
    report.job = job.path().string();
    report.visit = visit;
    report.as_built = options.as_built;
    if (!visit.empty()) {
        const RoomBefore before = room_before(job, visit, options, progress);
        report.room = forecast(before, forecasts_of(plans, before.bands, medium_of(before.air)),
                               options.draws, options.seed);
    }
    const JobQuestion& question = description.question;
    report.question_from_hz = question.from_hz;
    report.question_to_hz = question.to_hz;
    const auto asked = bands_between(BandWidth::third, question.from_hz, question.to_hz);
    for (const TrapPlan& plan : plans)
        if (!asked.empty())
            add_variants(report, plan, asked);
    std::stable_sort(report.variants.begin(), report.variants.end(),
                     [](const auto& a, const auto& b) { return a.question_m2 > b.question_m2; });
    return report;
}

} // namespace ebbmark
