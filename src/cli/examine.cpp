// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/examine.hpp"

#include "base/error.hpp"
#include "decay/decay.hpp"
#include "signal/faults.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace ebbmark {

namespace {

QualityCheck clipping_check(const Signal& recording) {
    const auto clipped = static_cast<double>(clipped_samples(recording.samples, recording.rate_hz));
    return {"clipping", clipped,      0,
            "samples",  clipped == 0, clipped == 0 ? "" : "lower the recording level and measure again"};
}

std::vector<ResponseBand> bands_of(const Signal& response, const Excitation& excitation) {
    DecayOptions options;
    options.source_from_hz = excitation.from_hz;
    options.source_to_hz = excitation.to_hz;
    options.to_hz = std::min(options.to_hz, 0.4 * response.rate_hz);
    std::vector<ResponseBand> bands;
    for (const BandDecay& band : analyse_decay(response, options).bands)
        bands.push_back({band.band.nominal_hz, band.decay_range_db, {}});
    return bands;
}

} // namespace

Examined examine(const Signal& recording, const Signal& loopback, const Excitation& excitation,
                 const std::string& name) {
    Examined examined;
    DeconvolveReport& report = examined.report;
    try {
        Deconvolved found = deconvolve(recording, excitation, loopback);
        report.delay_s = found.delay_s;
        report.drift_ppm = found.drift_ppm;
        report.checks.push_back(
            {"sweep found", found.peak_over_noise_db, least_peak_over_noise_db, "dB", true, ""});
        examined.response = std::move(found.response);
    } catch (const Error& error) {
        throw Error(error.kind(), fmt::format("{}: {}", name, error.what()));
    }
    report.rate_hz = recording.rate_hz;
    report.checks.push_back(clipping_check(recording));
    report.accepted =
        std::all_of(report.checks.begin(), report.checks.end(), [](const auto& check) { return check.held; });
    report.bands = bands_of(examined.response, excitation);
    return examined;
}

} // namespace ebbmark
