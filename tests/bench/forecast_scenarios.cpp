// SPDX-License-Identifier: GPL-3.0-or-later
// How often the truth lies in the forecast's intervals, the truth being made otherwise than the forecast:
// Miki's rigid wool, flow resistivities anywhere between the material's ends, other shares of the sides, a
// laboratory's own error, furniture that was moved, a decay before that was measured with its error.
// forecast_scenarios [--tuning] [--cases N]; random numbers for tuning and for judging are apart.
#include "base/random.hpp"
#include "forecast/room_forecast.hpp"

#include <fmt/format.h>

#include <cmath>
#include <cstdlib>
#include <map>
#include <string>

using namespace ebbmark;

namespace {

struct Count {
    int inside = 0, above = 0, all = 0;
};

void note(Count& count, double truth, const Measured& interval) {
    ++count.all;
    count.inside += *interval.low <= truth && truth <= *interval.high;
    count.above += truth > *interval.high;
}

double normal(Random& random) {
    return random.normal_pair().real();
}

Material material_with(Random& random) {
    Material material;
    material.density_kg_m3 = 12 + 48 * random.uniform();
    // Bies and Hansen's range for fibres of 5.2 to 8 µm.
    const double middle = 3.18e-9 * std::pow(material.density_kg_m3, 1.53) / std::pow(6.5e-6, 2);
    material.flow_resistivity = {middle * 0.66, middle, middle * 1.56};
    material.density_exponent = 1.53;
    return material;
}

TrapPlan plan_with(Random& random) {
    TrapPlan plan{"trap", 0.5 + random.uniform(), 1 + random.uniform(), random.uniform() < 0.5, {}};
    Material air;
    air.kind = LayerKind::air;
    if (random.uniform() < 0.5)
        plan.layers.push_back({air, 0.02 + 0.1 * random.uniform(), {}, {}, {}, {}});
    plan.layers.push_back({material_with(random), 0.05 + 0.15 * random.uniform(), {}, {}, {}, {}});
    return plan;
}

/// The area that a trap really has.
std::vector<double> true_area(const TrapPlan& plan, const std::vector<Band>& bands, Random& random) {
    const Medium medium;
    std::vector<Layer> layers;
    const bool rigid = random.uniform() < 0.5;
    for (const LayerPlan& layer : plan.layers) {
        Layer real{layer.material.kind, layer.thickness_m, 0, 0};
        const FigureRange& range = layer.material.flow_resistivity;
        if (layer.material.kind == LayerKind::porous)
            real.flow_resistivity = range.low * std::pow(range.high / range.low, random.uniform());
        if (layer.material.kind == LayerKind::porous && !rigid) {
            Pores pores{real.flow_resistivity, 0.97, 1 + 0.1 * random.uniform(), 0, 0, {}, {}};
            pores.viscous_length_m =
                viscous_length_m(real.flow_resistivity, 0.97, pores.tortuosity, 0.7 + 0.6 * random.uniform());
            pores.thermal_length_m = (1.5 + random.uniform()) * pores.viscous_length_m;
            pores.frame_density_kg_m3 = layer.material.density_kg_m3 * (1 + random.uniform());
            real.pores = pores;
        }
        layers.push_back(real);
    }
    const double sides = plan.open_sides ? 2 * (plan.width_m + plan.height_m) * plan.depth_m() : 0;
    const double area = plan.face_m2() + random.uniform() * sides, laboratory = 0.08 * normal(random);
    std::vector<double> result;
    for (const Band& band : bands) {
        const FiniteSample sample(plan.width_m, plan.height_m, band.exact_hz, medium);
        const double alpha = sample.absorption(LayerStack(layers, band.exact_hz, medium));
        result.push_back(area *
                         std::max(0.0, alpha + (laboratory + 0.03 * normal(random)) * std::min(1.0, alpha)));
    }
    return result;
}

void run(int cases, std::uint64_t first) {
    std::map<std::string, Count> counts;
    for (int run = 0; run < cases; ++run) {
        Random random(first + static_cast<std::uint64_t>(run));
        RoomBefore before{25 + 50 * random.uniform(), 0, {}, bands_between(BandWidth::third, 31.5, 5000), {}};
        before.surface_m2 = 6.5 * std::pow(before.volume_m3, 2.0 / 3);
        const double real_s = 0.4 + 0.8 * random.uniform(), furniture = std::exp(0.03 * normal(random));
        for (std::size_t b = 0; b < before.bands.size(); ++b) {
            const double measured = real_s * std::exp(0.04 * normal(random));
            before.decay_s.push_back({measured, measured * std::exp(-0.08), measured * std::exp(0.08), {}});
        }
        std::vector<TrapForecast> traps;
        std::vector<double> added(before.bands.size());
        double covered = 0, volume = 0;
        for (int t = 0; t < 2 + static_cast<int>(4 * random.uniform()); ++t) {
            const TrapPlan plan = plan_with(random);
            traps.emplace_back(plan, before.bands, Medium{});
            const auto area = true_area(plan, before.bands, random);
            for (std::size_t b = 0; b < area.size(); ++b)
                added[b] += area[b];
            covered += plan.face_m2(), volume += plan.face_m2() * plan.depth_m();
        }
        const RoomForecast found = forecast(before, traps, 300, 1);
        const bool eyring = random.uniform() < 0.5;
        for (std::size_t b = 0; b < before.bands.size(); ++b) {
            const ForecastBand& band = found.bands[b];
            const double hz = band.band.nominal_hz;
            const std::string range = hz < 80 ? "31.5-63 Hz" : hz < 250 ? "80-200 Hz" : "from 250 Hz";
            note(counts["area " + range], added[b], band.added_absorption_m2);
            const auto after = decay_after_s(before, real_s / furniture,
                                             air_attenuation_per_m(band.band.exact_hz, before.air), added[b],
                                             covered, volume, eyring);
            if (band.predicted_s && after)
                note(counts["decay after"], *after, band.predicted_s);
        }
    }
    for (const auto& [name, count] : counts)
        fmt::print("{:<20} inside {:.1f} %, above {:.1f} % of {} values in {} rooms\n", name,
                   100.0 * count.inside / count.all, 100.0 * count.above / count.all, count.all, cases);
}

} // namespace

int main(int count, char** words) {
    std::uint64_t first = 7'000'000'000;
    int cases = 1000;
    for (int i = 1; i < count; ++i) {
        if (std::string(words[i]) == "--tuning")
            first = 100'000;
        else if (std::string(words[i]) == "--cases" && i + 1 < count)
            cases = std::atoi(words[++i]);
    }
    run(cases, first);
    return 0;
}
