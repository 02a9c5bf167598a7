// SPDX-License-Identifier: GPL-3.0-or-later
#include "work/examine.hpp"

#include "base/bands.hpp"
#include "base/error.hpp"
#include "decay/decay.hpp"
#include "signal/band_filter.hpp"
#include "signal/samples.hpp"
#include "work/hum_bands.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

namespace ebbmark {

namespace {

// T20 needs 25 dB and 10 dB of distance to the noise: ISO 3382-1, 5.3.3.
constexpr double least_decay_range_db = 35;

std::vector<ResponseBand> bands_of(const Recovered& recovered, const Excitation& excitation) {
    DecayOptions options;
    options.source_from_hz = excitation.from_hz;
    options.source_to_hz = excitation.to_hz;
    options.to_hz = std::min(options.to_hz, 0.4 * recovered.found.response.rate_hz);
    std::vector<ResponseBand> bands;
    for (const BandDecay& band : analyse_decay(recovered.found.response, options).bands) {
        ResponseBand row{band.band.nominal_hz, band.decay_range_db, {}};
        if (is_near(band.band, recovered.hum_hz) || is_disturbed(band.band, recovered.disturbed_hz))
            row.decay_range_db = Measured::none(Empty::disturbed);
        for (const BandDistortion& distortion : recovered.found.distortion)
            if (distortion.band == band.band)
                row.distortion_percent = distortion.total_percent;
        bands.push_back(row);
    }
    return bands;
}

Band third_at(double nominal_hz) {
    return bands_between(BandWidth::third, nominal_hz, nominal_hz).front();
}

/// The noise before the first sweep, where there is enough of it for the band: a full-scale sine is 0 dB.
void add_noise(std::vector<ResponseBand>& bands, const Signal& recording, double first_sweep_s) {
    constexpr double clear_s = 0.05, least_bandwidth_time = 4;
    const std::size_t count = std::min(frames(first_sweep_s - clear_s, recording.rate_hz), recording.size());
    const Signal silence{
        {recording.samples.begin(), recording.samples.begin() + static_cast<std::ptrdiff_t>(count)},
        recording.rate_hz};
    if (bands.empty() || silence.size() < 2)
        return;
    BandFilterBank bank(silence, third_at(bands.front().nominal_hz).bandwidth_hz());
    for (ResponseBand& row : bands) {
        const Band band = third_at(row.nominal_hz);
        if (band.bandwidth_hz() * silence.duration_s() < least_bandwidth_time)
            continue;
        const BandEnvelope& envelope = bank.envelope(band);
        const double sum = std::accumulate(envelope.energy.begin(), envelope.energy.end(), 0.0);
        row.noise_db = 10 * std::log10(std::max(2 * sum * envelope.step_s / silence.duration_s(), 1e-20));
    }
}

/// Of the bands that the source reaches, the shortest decay range. Where no band has enough the take is
/// rejected.
std::optional<QualityCheck> decay_range_check(const std::vector<ResponseBand>& bands) {
    std::optional<double> least, most;
    std::string short_bands;
    for (const ResponseBand& band : bands) {
        if (!band.decay_range_db)
            continue;
        least = std::min(least.value_or(*band.decay_range_db), *band.decay_range_db);
        most = std::max(most.value_or(*band.decay_range_db), *band.decay_range_db);
        if (*band.decay_range_db < least_decay_range_db)
            short_bands += fmt::format("{}{:g}", short_bands.empty() ? "" : ", ", band.nominal_hz);
    }
    if (!least)
        return {};
    QualityCheck check{CheckName::decay_range, *least, least_decay_range_db, "dB"};
    if (short_bands.empty())
        return check;
    check.advice = fmt::format("too much noise at {} Hz: stop fans and machines, play louder with ear "
                               "protection, or use a longer sweep",
                               short_bands);
    check.finding = fmt::format("noise at {} Hz", short_bands);
    if (*most < least_decay_range_db) {
        check.outcome = CheckOutcome::rejected;
        check.effect = "no band has a T20; nothing of this take is used";
    } else {
        check.outcome = CheckOutcome::widened;
        check.effect = fmt::format("{} Hz: this take gives no T20 there", short_bands);
    }
    return check;
}

} // namespace

Examined examine(const Signal& recording, const Signal& loopback, const Excitation& excitation,
                 const std::string& name, const RecordingOptions& options) {
    Recovered recovered;
    try {
        recovered = recover(recording, excitation, loopback, options);
    } catch (const Error& error) {
        throw Error(error.kind(), fmt::format("{}: {}", name, error.what()));
    }
    Examined examined;
    DeconvolveReport& report = examined.report;
    report.rate_hz = recording.rate_hz;
    report.delay_s = recovered.found.delay_s;
    if (recovered.found.drift_ppm) // known to 0.01 ppm at best
        report.drift_ppm = std::round(1000 * *recovered.found.drift_ppm) / 1000 + 0.0;
    report.bands = bands_of(recovered, excitation);
    add_noise(report.bands, recording, recovered.found.sweep_starts_s.front());
    const bool accepted = recovered.accepted();
    report.checks = std::move(recovered.checks);
    const auto range = decay_range_check(report.bands);
    if (range)
        report.checks.push_back(*range);
    report.accepted = accepted && (!range || range->outcome != CheckOutcome::rejected);
    report.notes.assign(recovered.notes.begin(), recovered.notes.end());
    examined.made = take_response(std::move(recovered), excitation, recording);
    examined.made.delay_s = *report.delay_s - options.first_s;
    return examined;
}

} // namespace ebbmark
