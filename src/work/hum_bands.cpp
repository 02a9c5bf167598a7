// SPDX-License-Identifier: GPL-3.0-or-later
#include "work/hum_bands.hpp"

#include <algorithm>
#include <cmath>

namespace ebbmark {

namespace {

// The mains wander by 0.2 Hz; a frame of 0.5 s in which lines are followed tells 2 Hz apart.
constexpr double beside_line_hz = 1;

BandDecay emptied(const BandDecay& band, const DecayNote& why) {
    BandDecay left;
    left.band = band.band;
    left.filter_decay_s = band.filter_decay_s;
    for (Measured* value :
         {&left.edt_s, &left.t20_s, &left.t30_s, &left.nonlinearity_permille, &left.curvature_percent,
          &left.c50_db, &left.c80_db, &left.d50_percent, &left.ts_ms, &left.decay_range_db})
        *value = Measured::none(Empty::disturbed);
    left.notes = {why};
    return left;
}

} // namespace

bool is_near(const Band& band, const std::vector<double>& lines_hz) {
    return std::any_of(lines_hz.begin(), lines_hz.end(),
                       [&](double hz) { return hz > 0.87 * band.lower_hz && hz < 1.15 * band.upper_hz; });
}

bool is_disturbed(const Band& band, const std::vector<double>& middles_hz) {
    return std::any_of(middles_hz.begin(), middles_hz.end(),
                       [&](double hz) { return hz > band.lower_hz && hz < band.upper_hz; });
}

void leave_out_near(ResponseDecay& decay, const std::vector<double>& lines_hz) {
    for (BandDecay& band : decay.bands)
        if (is_near(band.band, lines_hz))
            band = emptied(band, HumReaches{});
}

void leave_out_disturbed(ResponseDecay& decay, const std::vector<double>& middles_hz) {
    for (BandDecay& band : decay.bands)
        if (is_disturbed(band.band, middles_hz))
            band = emptied(band, SoundWouldMove{});
}

void leave_out_near(Ringing& ringing, const std::vector<double>& lines_hz, double from_hz, double to_hz) {
    std::vector<double> told;
    for (const double line_hz : lines_hz) {
        const auto is_beside = [&](double hz) { return std::abs(hz - line_hz) < beside_line_hz; };
        std::erase_if(ringing.modes, [&](const MeasuredMode& mode) { return is_beside(*mode.hz); });
        // Several takes hold the same line.
        if (line_hz < from_hz || line_hz > to_hz || std::any_of(told.begin(), told.end(), is_beside))
            continue;
        told.push_back(line_hz);
        ringing.unresolved.push_back({line_hz - beside_line_hz, line_hz + beside_line_hz, Empty::disturbed});
    }
    std::stable_sort(
        ringing.unresolved.begin(), ringing.unresolved.end(),
        [](const UnresolvedRange& a, const UnresolvedRange& b) { return a.from_hz < b.from_hz; });
}

} // namespace ebbmark
