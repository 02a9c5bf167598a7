// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/examine.hpp"

#include "base/error.hpp"
#include "decay/decay.hpp"
#include "signal/recording.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace ebbmark {

namespace {

// T20 needs 25 dB and 10 dB of distance to the noise: ISO 3382-1, 5.3.3.
constexpr double least_decay_range_db = 35;

bool near_line(const Band& band, const std::vector<double>& lines_hz) {
    return std::any_of(lines_hz.begin(), lines_hz.end(), [&](double hz) {
        return hz > 0.89 * band.lower_hz && hz < 1.12 * band.upper_hz; // the filter's skirts reach that far
    });
}

std::vector<ResponseBand> bands_of(const Recovered& recovered, const Excitation& excitation) {
    DecayOptions options;
    options.source_from_hz = excitation.from_hz;
    options.source_to_hz = excitation.to_hz;
    options.to_hz = std::min(options.to_hz, 0.4 * recovered.found.response.rate_hz);
    std::vector<ResponseBand> bands;
    for (const BandDecay& band : analyse_decay(recovered.found.response, options).bands) {
        ResponseBand row{band.band.nominal_hz, band.decay_range_db, {}};
        if (near_line(band.band, recovered.hum_hz))
            row.decay_range_db = Measured::none(Empty::disturbed);
        for (const BandDistortion& distortion : recovered.found.distortion)
            if (distortion.band == band.band)
                row.distortion_percent = distortion.total_percent;
        bands.push_back(row);
    }
    return bands;
}

/// Of the bands that the source reaches, the shortest decay range.
std::optional<QualityCheck> decay_range_check(const std::vector<ResponseBand>& bands) {
    std::optional<double> least;
    std::string short_bands;
    for (const ResponseBand& band : bands) {
        if (!band.decay_range_db)
            continue;
        least = std::min(least.value_or(*band.decay_range_db), *band.decay_range_db);
        if (*band.decay_range_db < least_decay_range_db)
            short_bands += fmt::format("{}{:g}", short_bands.empty() ? "" : ", ", band.nominal_hz);
    }
    if (!least)
        return {};
    const bool held = short_bands.empty();
    return QualityCheck{
        "decay range",
        *least,
        least_decay_range_db,
        "dB",
        held,
        held ? ""
             : fmt::format("too much noise at {} Hz: stop fans and machines, play louder with ear "
                           "protection, or use a longer sweep",
                           short_bands)};
}

} // namespace

Examined examine(const Signal& recording, const Signal& loopback, const Excitation& excitation,
                 const std::string& name) {
    Recovered recovered;
    try {
        recovered = recover(recording, excitation, loopback);
    } catch (const Error& error) {
        throw Error(error.kind(), fmt::format("{}: {}", name, error.what()));
    }
    Examined examined;
    DeconvolveReport& report = examined.report;
    report.rate_hz = recording.rate_hz;
    report.delay_s = recovered.found.delay_s;
    report.drift_ppm = recovered.found.drift_ppm;
    report.accepted = recovered.accepted();
    report.bands = bands_of(recovered, excitation);
    report.checks = std::move(recovered.checks);
    if (const auto check = decay_range_check(report.bands))
        report.checks.push_back(*check);
    report.notes = std::move(recovered.notes);
    examined.response = std::move(recovered.found.response);
    return examined;
}

} // namespace ebbmark
