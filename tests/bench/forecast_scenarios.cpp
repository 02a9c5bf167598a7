// SPDX-License-Identifier: GPL-3.0-or-later
// How often the truth lies in the forecast's intervals, the truth being made otherwise than the forecast:
// Miki's rigid wool, flow resistivities anywhere between the material's ends, other shares of the sides, a
// laboratory's own error, furniture that was moved, a decay before that was measured with its error.
// forecast_scenarios [--tuning] [--cases N]; random numbers for tuning and for judging are apart.
// forecast_scenarios modal [--tuning] [--cases N] [--after M]: the same below the Schroeder frequency, N
// rooms, after the first M. forecast_scenarios loose MATERIALS.toml: loose wool against dense boards in deep
// traps, mode by mode. forecast_scenarios published MATERIALS.toml: boards and blankets on a hard wall
// against printed tables.
#include "base/random.hpp"
#include "files/material_file.hpp"
#include "forecast/finite_size.hpp"
#include "forecast/room_forecast.hpp"
#include "forecast_modal.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <fstream>
#include <iterator>
#include <map>
#include <string>
#include <utility>

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
    const double sides = plan.open_sides_m2();
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
        const DecayFormula formula = random.uniform() < 0.5 ? DecayFormula::eyring : DecayFormula::sabine;
        for (std::size_t b = 0; b < before.bands.size(); ++b) {
            const ForecastBand& band = found.bands[b];
            const double hz = band.band.nominal_hz;
            const std::string range = hz < 80 ? "31.5-63 Hz" : hz < 250 ? "80-200 Hz" : "from 250 Hz";
            note(counts["area " + range], added[b], band.added_absorption_m2);
            const auto after = decay_after_s(before, real_s / furniture,
                                             air_attenuation_per_m(band.band.exact_hz, before.air), added[b],
                                             covered, volume, formula);
            if (band.predicted_s && after)
                note(counts["decay after"], *after, band.predicted_s);
        }
    }
    for (const auto& [name, count] : counts)
        fmt::print("{:<20} inside {:.1f} %, above {:.1f} % of {} values in {} rooms\n", name,
                   100.0 * count.inside / count.all, 100.0 * count.above / count.all, count.all, cases);
}

/// Printed random-incidence coefficients of porous layers straight on a hard wall, octaves 125 Hz to 4 kHz.
struct Print {
    const char* source;
    const char* material;
    int thickness_mm;
    double alpha[6];
};

// Long: M. Long, Architectural Acoustics, 2nd ed., table 7.1, glass-fibre board, mounting A (ASTM C423, up
// to 1.24). Bies: D. A. Bies, C. H. Hansen, C. Q. Howard, Engineering Noise Control, 5th ed., table 6.2 (cut
// off at 1.00).
const Print prints[] = {{"Long", "glass wool 48", 25, {0.03, 0.22, 0.69, 0.91, 0.96, 0.99}},
                        {"Long", "glass wool 48", 50, {0.22, 0.82, 1.21, 1.10, 1.02, 1.05}},
                        {"Long", "glass wool 48", 100, {0.84, 1.24, 1.24, 1.08, 1.00, 0.97}},
                        {"Long", "glass wool 96", 25, {0.08, 0.25, 0.74, 0.95, 0.97, 1.00}},
                        {"Long", "glass wool 96", 50, {0.19, 0.74, 1.17, 1.11, 1.01, 1.01}},
                        {"Long", "glass wool 96", 100, {0.75, 1.19, 1.17, 1.05, 0.97, 0.98}},
                        {"Bies", "glass wool 16", 25, {0.12, 0.28, 0.55, 0.71, 0.74, 0.83}},
                        {"Bies", "glass wool 16", 50, {0.17, 0.45, 0.80, 0.89, 0.97, 0.94}},
                        {"Bies", "glass wool 16", 100, {0.43, 0.86, 1.00, 1.00, 1.00, 1.00}},
                        {"Bies", "glass wool 24", 25, {0.11, 0.32, 0.56, 0.77, 0.89, 0.91}},
                        {"Bies", "glass wool 24", 50, {0.27, 0.54, 0.94, 1.00, 1.00, 1.00}},
                        {"Bies", "glass wool 24", 100, {0.46, 1.00, 1.00, 1.00, 1.00, 1.00}},
                        {"Bies", "glass wool 48", 50, {0.30, 0.80, 1.00, 1.00, 1.00, 1.00}},
                        {"Bies", "glass wool 48", 100, {0.65, 1.00, 1.00, 1.00, 1.00, 1.00}}};

/// Mean over the three thirds of each octave, in a sample of the size that laboratories measure. `held`: see
/// LayerDraw.
std::vector<double> octave_alphas(const Material& material, double thickness_m, double held) {
    const Layer layer = acoustic_layer({material, thickness_m, {}, {}, {}, {}}, {0, 0, 0, held});
    std::vector<double> alphas;
    double sum = 0;
    int thirds = 0;
    for (const Band& band : bands_between(BandWidth::third, 100, 5000)) {
        const FiniteSample sample(2.44, 2.74, band.exact_hz, {});
        sum += sample.absorption(LayerStack({&layer, 1}, band.exact_hz, {})) / 3;
        if (++thirds % 3 == 0)
            alphas.push_back(std::exchange(sum, 0));
    }
    return alphas;
}

void compare_with_print(const std::vector<Material>& materials, double held) {
    double sum = 0, worst = 0;
    int count = 0, beyond = 0;
    fmt::print("\n| frame held {} of the way: print | board | 125 | 250 | 500 | 1k | 2k | 4k |\n"
               "| --- | --- | --- | --- | --- | --- | --- | --- |\n",
               held);
    for (const Print& print : prints) {
        const bool cut = std::string(print.source) == "Bies";
        fmt::print("| {} | {}, {} mm |", print.source, print.material, print.thickness_mm);
        const auto alphas =
            octave_alphas(find_material(materials, print.material), print.thickness_mm / 1000.0, held);
        for (std::size_t i = 0; i < alphas.size(); ++i) {
            const double off = (cut ? std::min(1.0, alphas[i]) : alphas[i]) - print.alpha[i];
            fmt::print(" {:+.2f} |", off);
            sum += std::abs(off);
            worst = std::max(worst, std::abs(off));
            beyond += std::abs(off) > 0.2;
            ++count;
        }
        fmt::print("\n");
    }
    fmt::print("mean of the absolute deviations {:.3f}, largest {:.2f}, beyond 0.2 {} of {}\n", sum / count,
               worst, beyond, count);
}

std::vector<Material> materials_in(const std::string& path) {
    std::ifstream file(path);
    const std::string text((std::istreambuf_iterator<char>(file)), {});
    return materials_from(text, path);
}

} // namespace

int main(int count, char** words) {
    if (count == 3 && std::string(words[1]) == "published") {
        for (const double held : {0.0, 1.0})
            compare_with_print(materials_in(words[2]), held);
        return 0;
    }
    if (count == 3 && std::string(words[1]) == "loose") {
        compare_loose_with_dense(materials_in(words[2]));
        return 0;
    }
    std::uint64_t first = 7'000'000'000;
    const bool modal = count > 1 && std::string(words[1]) == "modal";
    int cases = modal ? 60 : 1000;
    for (int i = 1; i < count; ++i) {
        if (std::string(words[i]) == "--tuning")
            first = 100'000;
        else if (std::string(words[i]) == "--cases" && i + 1 < count)
            cases = std::atoi(words[++i]);
        else if (std::string(words[i]) == "--after" && i + 1 < count)
            first += static_cast<std::uint64_t>(std::atoi(words[++i]));
    }
    if (modal)
        judge_modal_forecasts(cases, first);
    else
        run(cases, first);
    return 0;
}
