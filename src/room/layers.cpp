// SPDX-License-Identifier: GPL-3.0-or-later
#include "room/layers.hpp"

#include "base/error.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace ebbmark {

std::string_view name(LayerKind kind) {
    switch (kind) {
    case LayerKind::air:
        return "air";
    case LayerKind::porous:
        return "porous";
    case LayerKind::cloth:
        break;
    }
    return "cloth";
}

std::optional<LayerKind> layer_kind_named(std::string_view word) {
    for (const LayerKind kind : {LayerKind::air, LayerKind::porous, LayerKind::cloth})
        if (word == name(kind))
            return kind;
    return {};
}

namespace {

using Complex = std::complex<double>;
constexpr Complex j{0, 1};

EquivalentFluid fluid_of(const Layer& layer, Complex hz, const Medium& medium) {
    if (layer.pores)
        return porous_fluid(hz, *layer.pores, medium);
    return layer.kind == LayerKind::porous ? miki(hz, layer.flow_resistivity) : EquivalentFluid{};
}

// Simpson's rule; the integrand is smooth in cos θ, and 256 intervals leave less than 1e-6 even for two
// metres of air at 10 kHz behind a cloth.
constexpr int simpson_intervals = 256;

} // namespace

Medium medium_of(const Air& air) {
    return {speed_of_sound(air), density_kg_m3(air)};
}

EquivalentFluid miki(Complex hz, double flow_resistivity) {
    const Complex ratio = hz / flow_resistivity;
    const Complex loss = std::pow(ratio, -0.632), slowness = std::pow(ratio, -0.618);
    return {1.0 + (0.0699 - 0.1071 * j) * loss, 1.0 + (0.1093 - 0.1597 * j) * slowness};
}

EquivalentFluid delany_bazley(double hz, double flow_resistivity, double density_kg_m3) {
    const double x = density_kg_m3 * hz / flow_resistivity;
    if (!(x >= 0.01 && x <= 1))
        throw Error(ErrorKind::unusable,
                    fmt::format("the Delany-Bazley model holds for ρf/σ from 0.01 to 1, not for {:.4f} "
                                "({} Hz, {} Pa s/m2); use the Miki model",
                                x, hz, flow_resistivity));
    return {1.0 + 0.0571 * std::pow(x, -0.754) - 0.087 * j * std::pow(x, -0.732),
            1.0 + 0.0978 * std::pow(x, -0.700) - 0.189 * j * std::pow(x, -0.595)};
}

LayerStack::LayerStack(std::span<const Layer> layers, Complex hz, const Medium& medium) {
    for (const Layer& layer : layers) {
        const double rho_c = medium.density_kg_m3 * medium.speed_of_sound;
        const Complex phase = 2 * std::numbers::pi * hz / medium.speed_of_sound * layer.thickness_m;
        if (layer.kind == LayerKind::cloth)
            sheets_.push_back({true, layer.flow_resistance / rho_c, 0, {}});
        else if (layer.strips) {
            // Along the strips the filling's own wave number holds, across them nothing moves: the mean over
            // all directions is half of sin².
            const Strips& strips = *layer.strips;
            sheets_.push_back({false, 0, phase, between_strips(fluid_of(layer, hz, medium), strips),
                               strips.lengthening / 2});
        } else
            sheets_.push_back({false, 0, phase, fluid_of(layer, hz, medium)});
    }
}

Complex LayerStack::admittance(double sine) const {
    Complex admittance = 0;
    for (const Sheet& sheet : sheets_) {
        if (sheet.is_cloth) {
            admittance /= 1.0 + sheet.resistance * admittance;
            continue;
        }
        const EquivalentFluid& fluid = sheet.fluid;
        // The wave number along the surface is that of the arriving wave.
        const Complex normal = std::sqrt(fluid.wave_number * fluid.wave_number - sheet.along * sine * sine);
        const Complex own = normal / (fluid.wave_number * fluid.impedance);
        const Complex tangent = std::tan(sheet.phase * normal);
        admittance = own * (admittance + j * own * tangent) / (own + j * admittance * tangent);
    }
    return admittance;
}

Complex surface_admittance(std::span<const Layer> layers, Complex hz, const Medium& medium,
                           double angle_rad) {
    return LayerStack(layers, hz, medium).admittance(std::sin(angle_rad));
}

namespace {

/// The layers nearest to the room, as many as this depth holds.
std::vector<Layer> outer_layers(std::span<const Layer> layers, double depth_m) {
    std::vector<Layer> outer;
    for (std::size_t i = layers.size(); i-- > 0;) {
        outer.push_back(layers[i]);
        outer.back().thickness_m = std::min(outer.back().thickness_m, depth_m);
        depth_m -= outer.back().thickness_m;
    }
    outer.push_back({LayerKind::air, depth_m, 0, 0});
    std::reverse(outer.begin(), outer.end());
    return outer;
}

} // namespace

Complex corner_admittance(std::span<const Layer> layers, Complex hz, const Medium& medium, double depth_m,
                          double least_m) {
    constexpr int slices = 12; // within 1 % of many, as the admittance is smooth over the depth
    Complex sum = 0;
    for (int i = 0; i < slices; ++i)
        sum += surface_admittance(outer_layers(layers, least_m + (depth_m - least_m) * (i + 0.5) / slices),
                                  hz, medium);
    return sum / static_cast<double>(slices);
}

double absorption_at(std::span<const Layer> layers, double hz, const Medium& medium, double angle_rad) {
    const Complex admittance = surface_admittance(layers, hz, medium, angle_rad);
    const double cosine = std::cos(angle_rad);
    return 4 * admittance.real() * cosine / std::norm(cosine + admittance);
}

double diffuse_absorption(std::span<const Layer> layers, double hz, const Medium& medium, double to_rad) {
    const double lowest = std::cos(to_rad), step = (1 - lowest) / simpson_intervals;
    const LayerStack stack(layers, hz, medium);
    double sum = 0;
    for (int i = 0; i <= simpson_intervals; ++i) {
        const double cosine = lowest + i * step;
        if (cosine < 1e-9)
            continue; // grazing incidence adds nothing
        const double weight = i == 0 || i == simpson_intervals ? 1 : i % 2 == 1 ? 4 : 2;
        const double sine = std::sqrt(std::max(0.0, 1 - cosine * cosine));
        const Complex admittance = stack.admittance(sine);
        sum += weight * cosine * 4 * admittance.real() * cosine / std::norm(cosine + admittance);
    }
    return 2 * sum * step / 3 / (1 - lowest * lowest);
}

double local_diffuse_absorption(Complex admittance) {
    const double g = admittance.real(), b = admittance.imag();
    const double modulus = g * g + b * b;
    // The arctangent term tends to this where b vanishes.
    const double angle = std::abs(b) < 1e-8 ? 1 / (modulus + g) : std::atan2(b, modulus + g) / b;
    return 8 * g * (1 - g * std::log(((1 + g) * (1 + g) + b * b) / modulus) + (g * g - b * b) * angle);
}

double local_admittance(double alpha) {
    // M. Long and others quote 0.951 at z = 1.567 for the largest value; the branch below it is rising.
    double low = 0, high = 1 / 1.567;
    if (!(alpha >= 0 && alpha <= local_diffuse_absorption(high)))
        throw Error(
            ErrorKind::unusable,
            fmt::format("an absorption coefficient of {} is not possible for a wall surface; give 0 to "
                        "0.95",
                        alpha));
    for (int i = 0; i < 60; ++i) {
        const double middle = (low + high) / 2;
        (local_diffuse_absorption(middle) < alpha ? low : high) = middle;
    }
    return (low + high) / 2;
}

} // namespace ebbmark
