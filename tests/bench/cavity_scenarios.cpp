// SPDX-License-Identifier: GPL-3.0-or-later
// Prints modes of an invented room of 5 x 4 x 2.6 m before and after two traps in its corners, and how long
// that takes; fails where they are not those of independent solutions.
// cavity_scenarios [--to HZ] [--finer N] [--threads N]
#include "room/cavity_model.hpp"
#include "room/modes.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdlib>
#include <iterator>
#include <string>

using namespace ebbmark;

namespace {

Pores wool(double resistivity, double porosity, double length_m, double frame) {
    return {resistivity, porosity, 1, length_m, 2 * length_m, {}, frame};
}

CavityMedia media(bool traps, double wall) {
    CavityMedia all;
    for (const Pores& pores : {wool(20000, 0.98, 80e-6, 48), wool(5000, 0.995, 160e-6, 12)})
        all.fluids.push_back([=, air = all.air](std::complex<double> hz) {
            return traps ? porous_fluid(hz, pores, air) : EquivalentFluid{};
        });
    for (int i = 0; i < 6; ++i)
        all.surfaces.push_back([=](std::complex<double>) { return std::complex<double>(wall); });
    return all;
}

CavityShape shape() {
    CavityShape room{{{5, 4, 2.6}}, {}, {}, {}};
    for (const double y : {0.0, 3.4})
        for (int layer = 0; layer < 2; ++layer)
            room.parts.push_back(
                {{layer == 0 ? 4.95 : 4.8, y, 0}, {layer == 0 ? 5 : 4.95, y + 0.6, 2.6}, layer + 1});
    return room;
}

void print_pairs(const CavityModel& before, const CavityModel& after) {
    const auto alike = overlaps(before, after);
    for (std::size_t i = 0; i < before.modes().size(); ++i) {
        const auto best = std::max_element(alike[i].begin(), alike[i].end());
        const CavityMode& a = before.modes()[i];
        const CavityMode& b = after.modes()[static_cast<std::size_t>(best - alike[i].begin())];
        fmt::print("{:8.3f} Hz {:.4f} s  {:8.3f} Hz {:.4f} s  overlap {:.3f}\n", a.hz.real(), a.t60_s(),
                   b.hz.real(), b.t60_s(), *best);
    }
}

/// As many modes as the rigid room has, each within 0.05 %.
bool rigid_room_is_right(const CavityOptions& options) {
    const Box box{{5, 4, 2.6}};
    const CavityModel model({box, {}, {}, {}}, {}, options);
    const auto rigid = room_modes(box, 343, options.to_hz);
    double worst = 0;
    for (std::size_t i = 0; i < std::min(model.modes().size(), rigid.size()); ++i)
        worst = std::max(worst, std::abs(model.modes()[i].hz.real() / rigid[i].hz - 1));
    fmt::print("rigid: {} modes of {}, frequencies within {:.4f} %\n", model.modes().size(), rigid.size(),
               100 * worst);
    return model.modes().size() == rigid.size() && worst < 5e-4;
}

/// Source: independent, another program's finite elements of order up to 8 with graded edges.
bool published_rows_are_right(const CavityModel& after) {
    const double hz[] = {34.11, 42.57, 54.25, 65.27, 68.25, 73.23, 77.34, 80.12, 84.96, 83.85, 90.88, 94.30};
    const double decay_s[] = {0.941, 0.858, 0.642, 0.670, 0.768, 0.534,
                              0.408, 0.497, 0.510, 0.389, 0.431, 0.439};
    double worst = 0;
    for (std::size_t row = 0; row < std::size(hz); ++row)
        if (!after.modes().empty() && after.modes().back().hz.real() > hz[row] + 3) {
            const auto near = std::min_element(
                after.modes().begin(), after.modes().end(), [&](const CavityMode& a, const CavityMode& b) {
                    return std::abs(a.hz.real() - hz[row]) < std::abs(b.hz.real() - hz[row]);
                });
            worst = std::max(worst, std::abs(near->t60_s() / decay_s[row] - 1));
        }
    fmt::print("treated modes below 100 Hz: decay times within {:.2f} % of the table\n", 100 * worst);
    return worst < 5e-3;
}

/// Against the orders that are used without --finer.
bool refinement_is_small(const CavityModel& fine, CavityOptions options) {
    options.finer = 0;
    const CavityModel coarse(shape(), media(true, 0.02), options);
    double worst = 0;
    if (coarse.modes().size() == fine.modes().size())
        for (std::size_t i = 0; i < fine.modes().size(); ++i) {
            double least = 1;
            for (const CavityMode& mode : coarse.modes())
                least = std::min(least, std::abs(mode.t60_s() / fine.modes()[i].t60_s() - 1) +
                                            std::abs(mode.hz.real() / fine.modes()[i].hz.real() - 1));
            worst = std::max(worst, least);
        }
    fmt::print("refinement moves decay time and frequency by {:.2f} % at most, modes {} and {}\n",
               100 * worst, coarse.modes().size(), fine.modes().size());
    return coarse.modes().size() == fine.modes().size() && worst < 0.01;
}

double seconds() {
    return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count();
}

} // namespace

int main(int count, char** words) {
    CavityOptions options;
    for (int i = 1; i + 1 < count; i += 2) {
        const std::string word = words[i];
        if (word == "--to")
            options.to_hz = std::atof(words[i + 1]);
        else if (word == "--finer")
            options.finer = std::atoi(words[i + 1]);
        else
            options.threads = std::atoi(words[i + 1]);
    }
    const double start = seconds();
    const CavityModel bare({shape().box, {}, {}, {}}, media(false, 0.02), options);
    const double middle = seconds();
    const CavityModel after(shape(), media(true, 0.02), options);
    const double end = seconds();
    fmt::print("before, on a grid of its own: {} unknowns, {} modes, {:.2f} s; after: {} unknowns, {} modes, "
               "{:.2f} s\n",
               bare.unknowns(), bare.modes().size(), middle - start, after.unknowns(), after.modes().size(),
               end - middle);
    const CavityModel before(shape(), media(false, 0.02), options);
    print_pairs(before, after);
    bool right = rigid_room_is_right(options);
    right = published_rows_are_right(after) && right;
    if (options.finer > 0)
        right = refinement_is_small(after, options) && right;
    return right ? 0 : 1;
}
