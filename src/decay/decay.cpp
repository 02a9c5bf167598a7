// SPDX-License-Identifier: GPL-3.0-or-later
#include "decay/decay.hpp"

#include "base/error.hpp"
#include "decay/band_notes.hpp"
#include "decay/clarity.hpp"
#include "decay/curve.hpp"
#include "decay/evidence.hpp"
#include "decay/interval.hpp"
#include "decay/noise.hpp"
#include "decay/onset.hpp"
#include "decay/shape.hpp"
#include "signal/band_filter.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace ebbmark {

namespace {

// ISO 3382-1:2009, 5.3.3: the noise at least 10 dB below the lower end of the range.
constexpr double needed_range_t20_db = 35;
constexpr double needed_range_t30_db = 45;

// A tone beats with the decay: 15 dB below the end of the range it moves the curve there by 1.5 dB at most,
// and less where the band's modes are many.
constexpr double tone_below_range_db = 5;

// ISO 3382-1 and -2:2008, 7.3, note: B · T of time-reversed filtering.
constexpr double least_bandwidth_time = 4;

// The last stretch of a record is missing what the backward filter would read after its end.
constexpr double end_bandwidth_times = 1.5;

// Noise alone seemed to decay by up to 13 dB in one bass band of 2 in 60 records of noise.
constexpr double least_decay_db = 15;

constexpr std::size_t points_of_a_drawing = 200;

/// The response without offset and without the zeros that some recorders and editors append.
Signal prepare(const Signal& response) {
    Signal prepared = response;
    while (!prepared.samples.empty() && prepared.samples.back() == 0)
        prepared.samples.pop_back();
    const std::size_t tenth = prepared.size() / 10;
    if (tenth == 0)
        return prepared;
    double offset = 0;
    for (std::size_t n = prepared.size() - tenth; n < prepared.size(); ++n)
        offset += prepared.samples[n];
    offset /= static_cast<double>(tenth);
    for (double& sample : prepared.samples)
        sample -= offset;
    return prepared;
}

void leave_empty(BandDecay& decay, Empty why) {
    for (Measured* measured :
         {&decay.edt_s, &decay.t20_s, &decay.t30_s, &decay.nonlinearity_permille, &decay.curvature_percent,
          &decay.c50_db, &decay.c80_db, &decay.d50_percent, &decay.ts_ms, &decay.decay_range_db})
        *measured = Measured::none(why);
}

// Below 10 dB it cannot be told whether the record or the noise ended a decay.
Empty why_too_short(const Tail& tail, double range_db) {
    if (range_db < 10)
        return Empty::noise;
    switch (tail.end) {
    case DecayEnd::length:
        return Empty::length;
    case DecayEnd::disturbed:
        return Empty::disturbed;
    case DecayEnd::noise:
        break;
    }
    return Empty::noise;
}

struct Lines {
    std::optional<Line> edt, t20, t30;
};

Measured decay_time(DecayQuantity quantity, const std::optional<Line>& line, double bandwidth_hz,
                    bool enough_range, Empty too_short) {
    if (!enough_range)
        return Measured::none(too_short);
    if (!line || bandwidth_hz * line->decay_s < least_bandwidth_time)
        return Measured::none(Empty::filter);
    return with_interval(quantity, line->decay_s, bandwidth_hz);
}

/// Whether a steady line sets the noise of this band, or may do so where too little of the noise is seen.
bool line_sets_noise(const Band& band, const Tail& tail, const std::vector<double>& lines_hz) {
    constexpr double skirt = 1.12; // of the band filter, at which a tone is some 6 dB down
    const bool inside = std::any_of(lines_hz.begin(), lines_hz.end(), [&](double hz) {
        return hz * skirt > band.lower_hz && hz < band.upper_hz * skirt;
    });
    return inside && (tail.noise_deviation < 0.75 || tail.noise_deviation == 1);
}

void decay_times(BandDecay& decay, const EnergyCurve& curve, const Tail& tail,
                 const std::vector<double>& lines_hz) {
    const Lines lines = {fit_line(curve, 0, -10), fit_line(curve, -5, -25), fit_line(curve, -5, -35)};
    const double bandwidth = decay.band.bandwidth_hz();
    const double range = curve.range_db;
    const bool tone = line_sets_noise(decay.band, tail, lines_hz);
    const double more_db = tone ? tone_below_range_db : 0;
    const auto too_short = [&](double needed_db) {
        return tone && range >= needed_db ? Empty::disturbed : why_too_short(tail, range);
    };
    decay.edt_s = decay_time(DecayQuantity::edt, lines.edt, bandwidth, range >= needed_range_early_db,
                             too_short(needed_range_early_db));
    decay.t20_s = decay_time(DecayQuantity::t20, lines.t20, bandwidth, range >= needed_range_t20_db + more_db,
                             too_short(needed_range_t20_db));
    decay.t30_s = decay_time(DecayQuantity::t30, lines.t30, bandwidth, range >= needed_range_t30_db + more_db,
                             too_short(needed_range_t30_db));
    const bool longest_is_t30 = decay.t30_s.value.has_value();
    const auto& longest = longest_is_t30 ? lines.t30 : lines.t20;
    if (decay.t30_s || decay.t20_s) {
        decay.nonlinearity_permille = Measured::of(longest->nonlinearity_permille);
        decay.bandwidth_time = bandwidth * longest->decay_s;
    } else {
        decay.nonlinearity_permille = Measured::none(*decay.t20_s.empty);
        if (decay.edt_s)
            decay.bandwidth_time = bandwidth * *decay.edt_s;
    }
    if (decay.t20_s && decay.t30_s)
        decay.curvature_percent = Measured::of(100 * (*decay.t30_s / *decay.t20_s - 1));
    else
        decay.curvature_percent = Measured::none(*(decay.t30_s ? decay.t20_s : decay.t30_s).empty);
    if (decay.t20_s.empty == Empty::filter || decay.t30_s.empty == Empty::filter) {
        const double shown = longest ? longest->decay_s : 0;
        const double limit = least_bandwidth_time / bandwidth;
        const double high = shown > 0 ? *with_interval(DecayQuantity::t20, shown, bandwidth).high : 0;
        decay.at_most_s = std::max(limit, high);
    }
}

std::vector<DecayPoint> drawing(const EnergyCurve& curve) {
    std::vector<DecayPoint> points;
    const auto values = curve.after_onset();
    const std::size_t stride =
        std::max<std::size_t>(1, (values.size() + points_of_a_drawing - 1) / points_of_a_drawing);
    for (std::size_t i = 0; i < values.size(); i += stride)
        if (values[i] > 0)
            points.push_back(
                {static_cast<double>(i) * curve.step_s, 10 * std::log10(values[i] / curve.start)});
    return points;
}

BandEnergy energy_of(const BandEnvelope& envelope, double onset_s, double duration_s, const Band& band) {
    BandEnergy energy;
    energy.energy = envelope.energy;
    energy.step_s = envelope.step_s;
    energy.bandwidth_hz = band.bandwidth_hz();
    const auto index = [&](double time_s) {
        const double place = std::ceil((time_s - envelope.start_s) / envelope.step_s - 1e-6);
        return std::min(static_cast<std::size_t>(std::max(0.0, place)), envelope.energy.size());
    };
    energy.onset = index(onset_s);
    const double after_onset_s = duration_s - onset_s;
    const double guard_s = std::min(end_bandwidth_times / band.bandwidth_hz(), 0.2 * after_onset_s);
    energy.end = std::max(energy.onset, index(duration_s - guard_s));
    return energy;
}

/// Memory that the bands use one after another.
struct Storage {
    std::vector<double> sums, curve;
};

BandDecay analyse_band(BandFilterBank& bank, const Band& band, double onset_s, double duration_s,
                       const std::vector<double>& lines_hz, Storage& storage) {
    BandDecay decay;
    decay.band = band;
    decay.filter_decay_s = band_filter_decay_s(band);
    const BandEnvelope& envelope = bank.envelope(band);
    const BandEnergy energy = energy_of(envelope, onset_s, duration_s, band);
    sum_from_end(energy.energy, energy.end, storage.sums);
    const Tail tail = find_tail(energy, storage.sums);
    if (!tail.decays) {
        leave_empty(decay,
                    static_cast<double>(energy.end - energy.onset) * energy.step_s * energy.bandwidth_hz <
                            least_bandwidth_time
                        ? Empty::length
                        : Empty::noise);
        return decay;
    }
    EnergyCurve curve = integrate_backwards(energy, tail, std::move(storage.curve));
    if (!(curve.range_db > 0)) {
        leave_empty(decay, why_too_short(tail, 0));
        return decay;
    }
    decay.decay_range_db = Measured::of(curve.range_db);
    decay.truncation_s = tail.truncation_s;
    decay_times(decay, curve, tail, lines_hz);
    add_clarity(decay, curve, envelope.group_delay_s, why_too_short(tail, curve.range_db));
    judge_shape(decay, curve);
    decay.curve = drawing(curve);
    decay.notes = notes_on(decay, tail);
    storage.curve = std::move(curve.remaining);
    return decay;
}

bool reached(const Band& band, const DecayOptions& options, double emitted_from_hz) {
    return band.lower_hz >= std::max(options.source_from_hz, emitted_from_hz) * (1 - 1e-9) &&
           band.upper_hz <= options.source_to_hz;
}

} // namespace

std::string name(DecayShape shape) {
    switch (shape) {
    case DecayShape::single:
        return "single";
    case DecayShape::double_slope:
        return "double";
    case DecayShape::unclear:
        break;
    }
    return "unclear";
}

ResponseDecay analyse_decay(const Signal& response, const DecayOptions& options) {
    const Signal prepared = prepare(response);
    const bool silent = std::all_of(prepared.samples.begin(), prepared.samples.end(),
                                    [](double sample) { return sample == 0; });
    if (silent)
        throw Error(ErrorKind::rejected, "The response is silent; there is no decay to measure in it.");
    ResponseDecay result;
    result.onset_s = find_onset_s(prepared);
    const ResponseEvidence evidence = evidence_of(prepared, result.onset_s);
    double narrowest_hz = response.rate_hz;
    std::vector<Band> bands;
    for (const Band& band : bands_between(options.width, options.from_hz, options.to_hz))
        if (band.exact_hz <= 0.4 * response.rate_hz)
            bands.push_back(band);
    for (const Band& band : bands)
        narrowest_hz = std::min(narrowest_hz, band.bandwidth_hz());
    BandFilterBank bank(prepared, narrowest_hz);
    bool anything = bands.empty();
    Storage storage;
    storage.sums.reserve(bank.forward_size() / 2 + 2);
    for (const Band& band : bands) {
        if (!reached(band, options, evidence.emitted_from_hz)) {
            BandDecay decay;
            decay.band = band;
            decay.filter_decay_s = band_filter_decay_s(band);
            leave_empty(decay, Empty::source);
            decay.notes.push_back(reached(band, options, 0) ? DecayNote(NothingEmitted{})
                                                            : SourceFallsShort{});
            result.bands.push_back(std::move(decay));
            continue;
        }
        result.bands.push_back(
            analyse_band(bank, band, result.onset_s, prepared.duration_s(), evidence.steady_hz, storage));
        const auto& range = result.bands.back().decay_range_db;
        anything = anything || (range && *range >= least_decay_db);
    }
    if (!anything)
        throw Error(
            ErrorKind::rejected,
            "Nothing but noise: no band of the response decays by 15 dB or more. Measure again, louder "
            "or with a longer sweep.");
    return result;
}

} // namespace ebbmark
