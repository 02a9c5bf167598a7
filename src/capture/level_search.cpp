// SPDX-License-Identifier: GPL-3.0-or-later
#include "capture/level_search.hpp"

#include "base/error.hpp"
#include "decay/decay.hpp"
#include "signal/band_filter.hpp"
#include "signal/deconvolution.hpp"
#include "signal/samples.hpp"

#include <algorithm>
#include <cmath>

namespace ebbmark {

namespace {

constexpr double test_seconds = 3;
constexpr double step_db = 6;
constexpr double listening_s = 3;
constexpr double clipping_dbfs = -1; // a converter's filters overshoot
constexpr double most_distortion_percent =
    10; // its products would be read as decay; common practice, no source

struct TestSweep {
    LevelStep step;
    std::vector<BandDecay> bands;
    bool clipped = false, distorted = false;
};

double dbfs(double amplitude) {
    return 20 * std::log10(std::max(amplitude, 1e-10));
}

Sweep sweep_of(const LevelOptions& options, double rate_hz, double level_dbfs, double seconds, int repeats) {
    Sweep sweep;
    sweep.start_hz = options.start_hz;
    sweep.stop_hz = std::min(options.stop_hz, 0.45 * rate_hz);
    sweep.rate_hz = rate_hz;
    sweep.level_dbfs = level_dbfs;
    sweep.seconds = seconds;
    sweep.repeats = repeats;
    sweep.repeat_period_s = seconds + sweep.tail_silence_s + 2;
    return sweep;
}

bool of_interest(const Band& band, const LevelOptions& options) {
    return band.nominal_hz >= options.from_hz && band.nominal_hz <= options.to_hz &&
           band.lower_hz >= options.start_hz;
}

TestSweep judge(const Signal& recording, const Sweep& sweep, const LevelOptions& options) {
    TestSweep result;
    result.step.level_dbfs = sweep.level_dbfs;
    result.step.peak_dbfs = dbfs(std::abs(recording.samples[strongest(recording.samples)]));
    result.clipped = result.step.peak_dbfs > clipping_dbfs;
    try {
        const Deconvolved found = deconvolve(recording, excitation_of(sweep), {}, {.shared_clock = true});
        DecayOptions decay;
        decay.source_from_hz = sweep.start_hz;
        decay.source_to_hz = sweep.stop_hz;
        result.bands = analyse_decay(found.response, decay).bands;
        double least = 1e9, most = 0;
        for (const BandDecay& band : result.bands)
            if (of_interest(band.band, options))
                least = std::min(least, band.decay_range_db.value.value_or(0));
        for (const BandDistortion& band : found.distortion)
            if (of_interest(band.band, options))
                most = std::max(most, band.rough_percent.value_or(0));
        if (least < 1e9)
            result.step.least_range_db = least;
        result.step.most_distortion_percent = most;
        result.distorted = most > most_distortion_percent;
    } catch (const Error& error) {
        if (error.kind() == ErrorKind::bug)
            throw;
        // The sweep drowns in the noise: the next step is louder.
    }
    return result;
}

/// Levels in thirds of a silent recording.
std::vector<LevelBand> noise_of(const Signal& silence, const LevelOptions& options) {
    std::vector<LevelBand> levels;
    const auto bands = bands_between(BandWidth::third, 20, std::min(10000.0, 0.4 * silence.rate_hz));
    BandFilterBank bank(silence, bands.front().bandwidth_hz());
    for (const Band& band : bands) {
        const BandEnvelope& envelope = bank.envelope(band);
        double sum = 0;
        for (const double energy : envelope.energy)
            sum += energy;
        // Energy is mean square, 1/2 for a full-scale sine; the filter rings beyond the recording's end.
        const double mean = 2 * sum * envelope.step_s / silence.duration_s();
        levels.push_back({band, 10 * std::log10(std::max(mean, 1e-20)), {}, {}, of_interest(band, options)});
    }
    return levels;
}

double gain_db(const Sweep& sweep) {
    return 10 * std::log10(sweep.seconds * sweep.repeats / test_seconds);
}

void propose(FoundLevel& found, const TestSweep& best, const LevelOptions& options, double rate_hz) {
    const double missing = aimed_decay_range_db - best.step.least_range_db.value_or(0);
    found.sweep = sweep_for_gain(options, rate_hz, best.step.level_dbfs, missing);
    for (LevelBand& band : found.bands)
        for (const BandDecay& measured : best.bands)
            if (measured.band == band.band && measured.decay_range_db) {
                band.range_db = *measured.decay_range_db;
                band.predicted_db = *measured.decay_range_db + gain_db(*found.sweep);
            }
}

} // namespace

double whole_duration_s(const Sweep& sweep) {
    return sweep.lead_silence_s + (sweep.repeats - 1) * sweep.repeat_period_s + sweep.seconds +
           sweep.tail_silence_s;
}

Sweep sweep_for_gain(const LevelOptions& options, double rate_hz, double level_dbfs, double wanted_db) {
    std::vector<Sweep> choices;
    for (const double seconds : {5, 10, 15, 20, 30})
        for (const int repeats : {2, 3, 4}) // two fix the clock, and one that is disturbed can be left out
            choices.push_back(sweep_of(options, rate_hz, level_dbfs, seconds, repeats));
    std::stable_sort(choices.begin(), choices.end(), [](const Sweep& a, const Sweep& b) {
        return whole_duration_s(a) < whole_duration_s(b);
    });
    const auto enough = std::find_if(choices.begin(), choices.end(),
                                     [&](const Sweep& sweep) { return gain_db(sweep) >= wanted_db; });
    return enough == choices.end() ? choices.back() : *enough;
}

FoundLevel find_level(SoundDevice& device, const LevelOptions& options, const Watch& watch) {
    FoundLevel found;
    const double rate_hz = device.rate_hz();
    const Signal silence{std::vector<double>(frames(listening_s, rate_hz)), rate_hz};
    const auto failed = [&](const Recording& recording) {
        found.end = LevelEnd::stopped;
        found.fault = recording.fault;
        return recording.ending != Ending::complete;
    };
    const Recording quiet = device.play_and_record(silence, watch);
    if (failed(quiet))
        return found;
    found.bands = noise_of(quiet.channels[0], options);
    std::optional<TestSweep> best;
    found.end = LevelEnd::limit;
    for (double level = std::min(options.first_dbfs, options.limit_dbfs);;
         level = std::min(level + step_db, options.limit_dbfs)) {
        const Sweep sweep = sweep_of(options, rate_hz, level, test_seconds, 1);
        const Recording recording = device.play_and_record(whole_signal(sweep), watch);
        if (recording.ending != Ending::complete) {
            failed(recording);
            return found;
        }
        TestSweep now = judge(recording.channels[0], sweep, options);
        found.steps.push_back(now.step);
        if (now.clipped || now.distorted) {
            found.end = now.clipped ? LevelEnd::clipping : LevelEnd::distortion;
            break;
        }
        best = std::move(now);
        // Two sweeps of 10 s make the rest; louder would only save time.
        const double reach = gain_db(sweep_of(options, rate_hz, level, 10, 2));
        if (best->step.least_range_db.value_or(-1e9) + reach >= aimed_decay_range_db) {
            found.end = LevelEnd::enough;
            break;
        }
        if (level >= options.limit_dbfs)
            break;
    }
    if (best && best->step.least_range_db)
        propose(found, *best, options, rate_hz);
    return found;
}

} // namespace ebbmark
