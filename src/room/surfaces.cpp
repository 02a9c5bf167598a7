// SPDX-License-Identifier: GPL-3.0-or-later
#include "room/surfaces.hpp"

#include <algorithm>
#include <cmath>

namespace ebbmark {

namespace {

struct Surface {
    std::string_view name;
    OctaveValues alpha;
};

// D. A. Bies, C. H. Hansen, C. Q. Howard, Engineering Noise Control, 5th ed., Table 6.2; M. Long,
// Architectural Acoustics, 2nd ed., Table 7.1; F. A. Everest, Master Handbook of Acoustics, 4th ed., annex.
constexpr std::array<Surface, 8> surfaces = {{
    {"brick or plaster", {0.02, 0.02, 0.03, 0.03, 0.04, 0.05}},
    {"concrete floor", {0.01, 0.01, 0.015, 0.02, 0.02, 0.02}},
    {"gypsum board", {0.29, 0.10, 0.05, 0.04, 0.07, 0.09}},
    {"heavy carpet", {0.02, 0.06, 0.14, 0.37, 0.60, 0.65}},
    {"plywood panel", {0.28, 0.22, 0.17, 0.09, 0.10, 0.11}},
    {"solid door", {0.14, 0.10, 0.06, 0.08, 0.10, 0.10}},
    {"window", {0.35, 0.25, 0.18, 0.12, 0.07, 0.04}},
    {"wood floor", {0.15, 0.11, 0.10, 0.07, 0.06, 0.07}},
}};

} // namespace

double at_frequency(const OctaveValues& values, double hz) {
    // Octaves of the base-10 system: 1000 Hz · 10^(0.3 x), the first with x = −3.
    const double position = std::clamp(std::log10(hz / 1000) / 0.3 + 3, 0.0, 5.0);
    const auto below = std::min<std::size_t>(static_cast<std::size_t>(position), 4);
    const double share = position - static_cast<double>(below);
    return values[below] * (1 - share) + values[below + 1] * share;
}

std::optional<OctaveValues> surface_absorption(std::string_view name) {
    for (const Surface& surface : surfaces)
        if (surface.name == name)
            return surface.alpha;
    return {};
}

std::string surface_names() {
    std::string names;
    for (const Surface& surface : surfaces)
        names += (names.empty() ? "" : ", ") + std::string(surface.name);
    return names;
}

} // namespace ebbmark
