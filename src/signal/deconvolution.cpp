// SPDX-License-Identifier: GPL-3.0-or-later
#include "signal/deconvolution.hpp"

#include "base/error.hpp"
#include "signal/compression.hpp"
#include "signal/drift.hpp"
#include "signal/repeats.hpp"
#include "signal/resampling.hpp"
#include "signal/samples.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace ebbmark {

namespace {

// A sweep that is found is compressed: this part of the energy within 1 s of the peak lies within 100 ms of
// it.
constexpr double least_compressed_part = 0.2;

// Kept before the arrival: the division's own ringing at the band's lower end, faded in.
constexpr double longest_lead_s = 0.35;
constexpr double lead_faded_part = 0.8;
constexpr double shortest_response_s = 2;
constexpr double longest_response_s = 8;
// A tail rises where a block has 6 dB more than the quietest one before, or 10 dB with its low part, which
// scatters more.
constexpr double tail_block_s = 0.1, high_rise = 4, rise = 10;
constexpr double decay_seen_s = 3;             // of a response, for what the sweep may leave in the room
constexpr double kept_clear_of_harmonics = 10; // up to this order, before the next repeat

// A clock difference smears a 10 s sweep, 1 s per octave, by an error of −83 dB at 0.005 ppm and −27 dB
// at 2.5 ppm. Two sweeps give it finer than the first; a loudspeaker's own phase looks like about the second.
constexpr double least_drift_of_repeats_ppm = 0.005;
constexpr double least_drift_of_one_ppm_s = 2.5; // ppm times seconds per octave

using Samples = std::vector<double>;

void require_sweep(std::span<const double> circle, std::size_t peak, double scattered, double rate_hz) {
    const auto at = static_cast<std::ptrdiff_t>(peak);
    const auto second = static_cast<std::ptrdiff_t>(rate_hz);
    const double near = energy(cut(circle, at - second / 200, static_cast<std::size_t>(second / 10)));
    const double around = energy(cut(circle, at - second, static_cast<std::size_t>(2 * second)));
    const bool stands_out =
        20 * std::log10(std::abs(circle[peak]) / std::max(scattered, 1e-300)) >= least_peak_over_noise_db;
    if (stands_out && near >= least_compressed_part * around)
        return;
    throw Error(ErrorKind::unusable,
                stands_out
                    ? "a sweep may be in the recording, but not this one; check that --sweep describes what "
                      "was played (start, stop and length), and that the player did not change its speed"
                    : "the sweep is not in the recording; check that --sweep describes what was played, and "
                      "that the microphone was connected and its gain up");
}

/// Where the sweep arrives: the earliest sample within 12 dB of the strongest one, up to 50 ms before it.
std::size_t arrival(std::span<const double> circle, std::size_t peak, double rate_hz) {
    const std::size_t back = std::min(peak, frames(0.05, rate_hz));
    const double limit = 0.25 * std::abs(circle[peak]);
    for (std::size_t n = peak - back; n < peak; ++n)
        if (std::abs(circle[n]) >= limit)
            return n;
    return peak;
}

double response_seconds(const Excitation& excitation, double recording_s, double last_arrival_s) {
    const double sweep_s = excitation.sweep.duration_s();
    double seconds = std::max(shortest_response_s, recording_s - last_arrival_s - sweep_s);
    if (excitation.repeats > 1) {
        const double harmonics_s = excitation.harmonic_lead_s * std::log2(kept_clear_of_harmonics);
        seconds = std::min(
            seconds, std::max(excitation.repeat_period_s - harmonics_s, 0.5 * excitation.repeat_period_s));
    }
    return std::min(seconds, longest_response_s);
}

/// How many samples of a response belong to it: all, or those before its tail rises again, because the
/// recording goes on with something else, such as the way to the next place. At least the shortest response.
std::size_t without_later_sounds(std::span<const double> response, std::size_t lead, double rate_hz) {
    const std::size_t block = frames(tail_block_s, rate_hz);
    double least = INFINITY, least_high = INFINITY;
    for (std::size_t at = lead + frames(0.5, rate_hz); at + block <= response.size(); at += block) {
        const auto piece = response.subspan(at, block);
        double high = 0; // of the differences: a later sound comes with its high part first
        for (std::size_t n = 1; n < block; ++n)
            high += (piece[n] - piece[n - 1]) * (piece[n] - piece[n - 1]);
        const double all = energy(piece);
        if (at >= lead + frames(shortest_response_s, rate_hz) &&
            (high > high_rise * least_high || all > rise * least))
            return at;
        least = std::min(least, all);
        least_high = std::min(least_high, high);
    }
    return response.size();
}

/// The start of a response: faded in where nothing but the division's ringing is.
void fade_in(Samples& response, std::size_t lead) {
    const auto length = static_cast<std::size_t>(lead_faded_part * static_cast<double>(lead));
    for (std::size_t n = 0; n < length; ++n)
        response[n] *=
            0.5 *
            (1 - std::cos(std::numbers::pi * (static_cast<double>(n) + 0.5) / static_cast<double>(length)));
}

/// Only the loopback's own short response, with the same start as the microphone's and a soft end: what lies
/// beyond is noise. Long enough for the ringing of the band's lower end, which the microphone's response has
/// too.
Samples gated_loopback(std::span<const double> divided, double place, std::size_t lead, double rate_hz) {
    const std::size_t after = frames(0.5, rate_hz), whole = after / 2;
    auto gated = cut(divided, std::llround(place) - static_cast<std::ptrdiff_t>(lead), lead + after);
    fade_in(gated, lead);
    for (std::size_t n = whole; n < after; ++n)
        gated[lead + n] *= 0.5 * (1 + std::cos(std::numbers::pi * static_cast<double>(n - whole) /
                                               static_cast<double>(after - whole)));
    return gated;
}

/// `response` divided by the loopback's, inside the band that both reach; both start `lead` samples early.
Samples without_loopback(std::span<const double> response, std::span<const double> loopback, std::size_t lead,
                         const Excitation& excitation) {
    RealFft fft(fast_fft_size(2 * response.size()));
    auto result = fft.forward(response);
    const auto loop = fft.forward(loopback);
    double strongest_bin = 0;
    for (const Complex& bin : loop)
        strongest_bin = std::max(strongest_bin, std::norm(bin));
    const double hz_per_bin = excitation.sweep.rate_hz / static_cast<double>(fft.size());
    for (std::size_t k = 0; k < result.size(); ++k) {
        // Both fade out alike beyond the band; the quotient has to fade out again.
        const double weight =
            band_weight(static_cast<double>(k) * hz_per_bin, excitation.from_hz, excitation.to_hz);
        const double floor = strongest_bin * (1e-10 + 0.01 * (1 - weight));
        result[k] =
            weight == 0 ? 0 : result[k] * std::conj(loop[k]) * (weight / (std::norm(loop[k]) + floor));
    }
    // The quotient counts from the loopback's arrival.
    return cut(fft.inverse(result), -static_cast<std::ptrdiff_t>(lead), response.size());
}

void check_input(const Signal& recording, const Excitation& excitation) {
    if (recording.rate_hz != excitation.sweep.rate_hz)
        throw Error(ErrorKind::unusable,
                    fmt::format("the recording has {:g} Hz, the sweep {:g} Hz; give the sweep's "
                                "description for the rate that was recorded",
                                recording.rate_hz, excitation.sweep.rate_hz));
    if (energy(recording.samples) == 0)
        throw Error(ErrorKind::unusable,
                    "the recording is silent: every sample is zero; check that the microphone's "
                    "channel was recorded, and pick it with --channel");
}

/// One channel divided by the sweep, and where the sweeps are in it.
struct Divided {
    Samples samples; ///< circular: what lies before the recording's start is at the end
    std::vector<std::size_t> peaks;
    Places places; ///< of the peaks
    double scattered = 0;
};

Divided divided(Compressor& compress, std::span<const double> recording, const Excitation& excitation) {
    Divided found;
    found.samples = compress(recording);
    found.peaks = find_repeats(found.samples, excitation, recording.size());
    found.scattered = scatter(std::span(found.samples).first(recording.size()));
    require_sweep(found.samples, found.peaks.front(), found.scattered, excitation.sweep.rate_hz);
    found.places = exact_places(found.samples, found.peaks, excitation);
    return found;
}

/// That of a loopback recorded at another time.
Samples gated_stored_loopback(const Signal& stored, const Excitation& excitation, std::size_t lead) {
    try {
        check_input(stored, excitation);
        Compressor compress(excitation, stored.size());
        const Divided looped = divided(compress, stored.samples, excitation);
        return gated_loopback(looped.samples, looped.places.samples.front(), lead, stored.rate_hz);
    } catch (const Error& error) {
        throw Error(error.kind(), std::string("the stored loopback: ") + error.what());
    }
}

/// Both channels, divided.
struct Channels {
    Samples recording, loopback;
    Divided heard;
    std::optional<Divided> looped;

    const Divided& clock() const { return looped ? *looped : heard; }
};

void divide(Channels& channels, Compressor& compress, const Excitation& excitation) {
    channels.heard = divided(compress, channels.recording, excitation);
    if (channels.loopback.empty())
        return;
    channels.looped = divided(compress, channels.loopback, excitation);
    if (channels.looped->peaks.size() < channels.heard.peaks.size())
        throw Error(ErrorKind::unusable,
                    "the loopback channel holds fewer sweeps than the microphone's; check its "
                    "cable and the channel number");
}

/// Without those at which a sweep itself begins or ends, which a bare cable or a dead room shows as a break.
std::vector<std::size_t> without_sweep_ends(std::vector<std::size_t> breaks, const Divided& clock,
                                            const Excitation& excitation) {
    const double slack = 0.03 * excitation.sweep.rate_hz;
    std::erase_if(breaks, [&](std::size_t at) {
        return std::any_of(clock.places.samples.begin(), clock.places.samples.end(), [&](double start) {
            const double after = static_cast<double>(at) - start;
            return std::abs(after) < slack ||
                   std::abs(after - static_cast<double>(excitation.sweep.size())) < slack;
        });
    });
    return breaks;
}

/// Whether samples may be missing between the first and the last sweep's start, so that their distance says
/// nothing.
bool distance_is_known(const Divided& clock, const std::vector<std::size_t>& breaks) {
    return std::none_of(breaks.begin(), breaks.end(), [&](std::size_t at) {
        return static_cast<double>(at) > clock.places.samples.front() &&
               static_cast<double>(at) < clock.places.samples.back();
    });
}

void correct_drift(Deconvolved& found, Channels& channels, Compressor& compress, const Excitation& excitation,
                   const std::vector<std::size_t>& breaks) {
    const bool repeated = channels.clock().peaks.size() > 1 && distance_is_known(channels.clock(), breaks);
    found.clock = repeated ? Clock::repeats : Clock::single_sweep;
    if (!repeated && channels.looped)
        return; // both channels are smeared alike, and the division takes it out
    const std::optional<double> known =
        repeated ? drift_of_repeats_ppm(channels.clock().places.samples, excitation)
                 : drift_of_one_sweep_ppm(channels.heard.samples, channels.heard.peaks.front(), excitation);
    const double least_ppm =
        repeated ? least_drift_of_repeats_ppm : least_drift_of_one_ppm_s / excitation.harmonic_lead_s;
    const double ppm = known.value_or(0);
    if (repeated || std::abs(ppm) >= least_ppm)
        found.drift_ppm = known;
    if (std::abs(ppm) < least_ppm)
        return;
    const auto slowed = [&](const Samples& samples) {
        auto result = resampled(samples, 1 + 1e-6 * ppm);
        result.resize(std::min(result.size(), samples.size()));
        return result;
    };
    channels.recording = slowed(channels.recording);
    channels.loopback = slowed(channels.loopback);
    divide(channels, compress, excitation);
}

std::vector<double> chosen(const std::vector<double>& values, const std::vector<std::size_t>& indices) {
    std::vector<double> result;
    for (const std::size_t index : indices)
        result.push_back(values[index]);
    return result;
}

/// Leaves out sweeps with a break in them, unless all have one.
void leave_out_broken(std::vector<std::size_t>& kept, const std::vector<double>& starts,
                      const std::vector<std::size_t>& breaks, const Excitation& excitation) {
    const auto is_broken = [&](std::size_t sweep) {
        return std::any_of(breaks.begin(), breaks.end(), [&](std::size_t at) {
            const double after = static_cast<double>(at) - starts[sweep];
            return after > -0.1 * excitation.sweep.rate_hz &&
                   after < static_cast<double>(excitation.sweep.size()) + 0.5 * excitation.sweep.rate_hz;
        });
    };
    if (!std::all_of(kept.begin(), kept.end(), is_broken))
        std::erase_if(kept, is_broken);
}

/// The loudspeaker's harmonics, from the mean of the used sweeps.
std::vector<BandDistortion> distortion_of(const Divided& heard, const std::vector<double>& places,
                                          const Excitation& excitation) {
    const double rate_hz = excitation.sweep.rate_hz;
    double before_s = excitation.harmonic_lead_s * std::log2(7.0);
    if (excitation.repeats > 1)
        before_s = std::min(before_s, 0.5 * excitation.repeat_period_s);
    const std::size_t before = frames(before_s, rate_hz);
    Samples mean(before + frames(0.6, rate_hz));
    for (const double place : places) {
        const auto piece =
            cut(heard.samples, std::llround(place) - static_cast<std::ptrdiff_t>(before), mean.size());
        for (std::size_t n = 0; n < mean.size(); ++n)
            mean[n] += piece[n] / static_cast<double>(places.size());
    }
    return harmonic_distortion(mean, before, excitation);
}

/// Where sweeps arrive, and how far the first stands out.
struct Arrivals {
    std::size_t first = 0;      ///< sample at which the first sweep arrives
    std::vector<double> starts; ///< of the recorded sweeps, but for the same fraction of a sample
};

Arrivals describe_arrivals(Deconvolved& found, const Divided& heard, const Excitation& excitation,
                           double rate_hz) {
    const std::size_t peak = heard.peaks.front();
    Arrivals arrivals{arrival(heard.samples, peak, rate_hz), heard.places.samples};
    const auto before_peak = static_cast<double>(peak - arrivals.first);
    found.sweeps_found = static_cast<int>(heard.peaks.size());
    found.delay_s = static_cast<double>(arrivals.first) / rate_hz;
    found.peak_over_noise_db =
        20 * std::log10(std::abs(heard.samples[peak]) / std::max(heard.scattered, 1e-300));
    found.lead_s = std::min(longest_lead_s, 0.45 * excitation.harmonic_lead_s);
    for (double& start : arrivals.starts) {
        start -= before_peak;
        found.sweep_starts_s.push_back(start / rate_hz);
    }
    return arrivals;
}

/// Looks for disturbances, and says which sweeps are free of them and of breaks.
std::vector<std::size_t> usable_sweeps(Deconvolved& found, const Channels& channels, const Arrivals& arrivals,
                                       const Excitation& excitation, double rate_hz) {
    found.stretch = channels.heard.places.stretch;
    const auto decaying = cut(channels.heard.samples, static_cast<std::ptrdiff_t>(arrivals.first),
                              frames(decay_seen_s, rate_hz));
    found.disturbances =
        find_disturbances(channels.recording, {arrivals.starts, found.stretch, decaying}, excitation);
    auto kept = undisturbed(arrivals.starts.size(), found.disturbances);
    leave_out_broken(kept, arrivals.starts, found.breaks, excitation);
    return kept;
}

/// The response with the loopback's taken out, where there is one; `zero` is the loopback's first place.
Samples cleared_of_loopback(Samples response, const Channels& channels, double zero, std::size_t lead,
                            const Excitation& excitation, const DeconvolveOptions& options) {
    Samples loop;
    if (channels.looped)
        loop = gated_loopback(channels.looped->samples, zero, lead, excitation.sweep.rate_hz);
    else if (!options.stored_loopback.samples.empty())
        loop = gated_stored_loopback(options.stored_loopback, excitation, lead);
    if (loop.empty())
        return response;
    response = without_loopback(response, loop, lead, excitation);
    fade_in(response, lead);
    return response;
}

} // namespace

Deconvolved deconvolve(const Signal& recording, const Excitation& excitation, const Signal& loopback,
                       const DeconvolveOptions& options) {
    const double rate_hz = recording.rate_hz;
    check_input(recording, excitation);
    if (!loopback.samples.empty())
        check_input(loopback, excitation);
    Compressor compress(excitation, recording.size());
    Channels channels{recording.samples, loopback.samples, {}, {}};
    divide(channels, compress, excitation);
    Deconvolved found;
    found.breaks = without_sweep_ends(options.breaks, channels.heard, excitation);
    if (options.remove_hum) {
        found.hum = remove_hum(channels.recording, channels.heard.places.samples, excitation);
        if (!found.hum.lines.empty())
            divide(channels, compress, excitation);
    }
    if (!options.shared_clock)
        correct_drift(found, channels, compress, excitation, found.breaks);

    const Arrivals arrivals = describe_arrivals(found, channels.heard, excitation, rate_hz);
    const std::vector<double>& starts = arrivals.starts;
    const auto kept = usable_sweeps(found, channels, arrivals, excitation, rate_hz);

    // Time zero of each repeat: the arrival, or the loopback's peak.
    const auto zeros = chosen(channels.looped ? channels.looped->places.samples : starts, kept);
    const double seconds = response_seconds(excitation, recording.duration_s(), starts.back() / rate_hz);
    const std::size_t lead = frames(found.lead_s, rate_hz);
    auto average = average_repeats(channels.heard.samples, {zeros, chosen(found.stretch, kept)}, lead,
                                   lead + frames(seconds, rate_hz), excitation);
    average.samples.resize(without_later_sounds(average.samples, lead, rate_hz));
    found.sweeps_used = average.used;
    found.used = kept;
    found.used.resize(static_cast<std::size_t>(average.used));
    found.variation_db = average.variation_db;
    found.distortion = distortion_of(channels.heard, chosen(starts, kept), excitation);
    fade_in(average.samples, lead);
    found.response = {
        cleared_of_loopback(std::move(average.samples), channels, zeros.front(), lead, excitation, options),
        rate_hz};
    return found;
}

} // namespace ebbmark
