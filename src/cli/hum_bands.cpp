// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/hum_bands.hpp"

#include <algorithm>

namespace ebbmark {

bool is_near(const Band& band, const std::vector<double>& lines_hz) {
    return std::any_of(lines_hz.begin(), lines_hz.end(),
                       [&](double hz) { return hz > 0.87 * band.lower_hz && hz < 1.15 * band.upper_hz; });
}

void leave_out_near(ResponseDecay& decay, const std::vector<double>& lines_hz) {
    for (BandDecay& band : decay.bands) {
        if (!is_near(band.band, lines_hz))
            continue;
        BandDecay left;
        left.band = band.band;
        left.filter_decay_s = band.filter_decay_s;
        for (Measured* value :
             {&left.edt_s, &left.t20_s, &left.t30_s, &left.nonlinearity_permille, &left.curvature_percent,
              &left.c50_db, &left.c80_db, &left.d50_percent, &left.ts_ms, &left.decay_range_db})
            *value = Measured::none(Empty::disturbed);
        left.notes = {"Hum in the recording reaches this band and could not be taken out wholly."};
        band = std::move(left);
    }
}

} // namespace ebbmark
