// SPDX-License-Identifier: GPL-3.0-or-later
#include "signal/recording.hpp"

#include "base/error.hpp"
#include "signal/disturbance_effect.hpp"
#include "signal/faults.hpp"
#include "signal/repeats.hpp"
#include "signal/samples.hpp"
#include "signal/takes.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace ebbmark {

namespace {

// Limits that are common practice, no source: what the advice asks for is more, what is refused is worse.
constexpr double most_distortion_percent = 10;
constexpr double least_direct_db = -6;
constexpr double most_drift_ppm = 300; // crystals stay within 100; more is another speed
constexpr double delay_slack_m = 0.3, delay_slack_part = 0.1;
constexpr double direct_s = 0.001;
constexpr double most_moved_percent = 1; // of a T20: as with hum, bands beyond it are left out
// 3 % of second and of third harmonics, 4.2 % together, moved T20 by 0.03 % at most in 120 invented rooms:
// tests/bench, recording_scenarios response.
constexpr double judged_distortion_percent = 4.2, moved_percent_by_distortion = 0.03;

// The speed of sound goes with the root of the absolute temperature, here at 20 °C: closed form.
constexpr double stretch_per_kelvin = 0.5 / 293.15;
constexpr double told_stretch = 0.05 * stretch_per_kelvin; // a take in still air stays far below

std::string listed(const std::vector<std::string>& parts) {
    std::string text;
    for (std::size_t n = 0; n < parts.size() && n < 4; ++n)
        text += (n > 0 ? ", " : "") + parts[n];
    return parts.size() > 4 ? fmt::format("{} and {} more", text, parts.size() - 4) : text;
}

CheckOutcome outcome(bool held, CheckOutcome otherwise) {
    return held ? CheckOutcome::held : otherwise;
}

constexpr const char* nothing_used = "nothing of this take is used";

QualityCheck clipping_check(std::size_t clipped) {
    return {CheckName::clipping,
            static_cast<double>(clipped),
            0,
            "samples",
            outcome(clipped == 0, CheckOutcome::rejected),
            "lower the recording level by 6 dB or the player's volume, and measure again",
            nothing_used,
            fmt::format("{} clipped samples", clipped)};
}

/// Sweeps that count, as stretches of seconds with their decay.
bool inside_used_sweep(const Deconvolved& found, double time_s, double length_s) {
    return std::any_of(found.used.begin(), found.used.end(), [&](std::size_t k) {
        return time_s > found.sweep_starts_s[k] - 0.1 && time_s < found.sweep_starts_s[k] + length_s;
    });
}

QualityCheck lost_check(const Deconvolved& found, const Excitation& excitation, double first_s) {
    std::vector<std::string> places;
    for (const std::size_t at : found.breaks) {
        const double time_s = static_cast<double>(at) / excitation.sweep.rate_hz;
        if (inside_used_sweep(found, time_s, excitation.sweep.duration_s() + 0.5))
            places.push_back(fmt::format("{:.2f} s", first_s + time_s));
    }
    return {CheckName::lost_samples,
            static_cast<double>(places.size()),
            0,
            "breaks",
            outcome(places.empty(), CheckOutcome::rejected),
            fmt::format(
                "the recording breaks at {}: close other programs, use a larger buffer or a faster memory "
                "card, and measure again",
                listed(places)),
            nothing_used,
            fmt::format("samples lost at {}", listed(places))};
}

/// Disturbances of the sweeps that are used.
std::vector<Disturbance> those_in_use(const Deconvolved& found, const Excitation& excitation) {
    std::vector<Disturbance> in_use;
    for (const Disturbance& d : found.disturbances)
        if (d.sweep < 0 ||
            std::count(found.used.begin(), found.used.end(), static_cast<std::size_t>(d.sweep)) > 0)
            if (inside_used_sweep(found, d.from_s, excitation.sweep.duration_s() + 2))
                in_use.push_back(d);
    return in_use;
}

/// Other sounds, not the loudspeaker's rattles; fills in the bands that they spoil.
QualityCheck disturbance_check(Recovered& recovered, const Excitation& excitation, double first_s) {
    auto sounds = those_in_use(recovered.found, excitation);
    std::erase_if(sounds, [](const Disturbance& d) { return d.rattle_hz.has_value(); });
    std::vector<std::string> places, moved_bands;
    for (const Disturbance& d : sounds)
        places.push_back(
            fmt::format("{:.1f} s in {:.0f} to {:.0f} Hz", first_s + d.from_s, d.from_hz, d.to_hz));
    double most = 0;
    bool any = false;
    for (const MovedBand& moved : moved_by(sounds, recovered.found.response, recovered.found.lead_s,
                                           recovered.found.used.size(), excitation)) {
        any = true;
        most = std::max(most, moved.t20_percent);
        if (moved.t20_percent < most_moved_percent)
            continue;
        moved_bands.push_back(label(moved.band));
        recovered.disturbed_hz.push_back(moved.band.exact_hz);
    }
    QualityCheck check{CheckName::disturbance, static_cast<double>(places.size()), 0, "sounds"};
    if (places.empty())
        return check;
    check.advice = fmt::format("another sound at {}: measure again when it is quiet", listed(places));
    check.finding = fmt::format("another sound at {}", listed(places));
    check.outcome = moved_bands.empty() ? CheckOutcome::noted : CheckOutcome::widened;
    check.effect =
        !moved_bands.empty()
            ? fmt::format(
                  "T20 at {} Hz would move by up to {:.2g} % (estimated): these bands are left out of this "
                  "take",
                  listed(moved_bands), most)
        : any ? fmt::format("no T20 of a band moves by more than {:.1g} % (estimated)",
                            std::max(0.1, std::ceil(10 * most) / 10))
              : "not estimated: no band has a T20";
    return check;
}

QualityCheck hum_check(const Recovered& recovered) {
    std::vector<std::string> lines;
    for (const double hz : recovered.hum_hz)
        lines.push_back(fmt::format("{:.0f} Hz", hz));
    return {CheckName::hum,
            static_cast<double>(lines.size()),
            0,
            "bands",
            outcome(lines.empty(), CheckOutcome::widened),
            fmt::format("hum at {}: use balanced cables, other sockets, switch lamps and chargers off",
                        listed(lines)),
            fmt::format("the bands around {} and modes within 1 Hz of it are left out of this take",
                        listed(lines)),
            fmt::format("hum at {}", listed(lines))};
}

std::optional<QualityCheck> variation_check(const Deconvolved& found) {
    if (!found.variation_db)
        return {};
    return QualityCheck{
        CheckName::variation,
        *found.variation_db,
        most_variation_db,
        "dB",
        outcome(*found.variation_db <= most_variation_db, CheckOutcome::noted),
        "the repeats differ, so that one alone was used: nothing may move during a take, and the player must "
        "not correct or equalise",
        fmt::format("in all bands the noise lies {:.1f} dB higher than with all {} sweeps, and the decay "
                    "range is shorter by that",
                    10 * std::log10(found.sweeps_found), found.sweeps_found),
        fmt::format("repeats that differ ({:.0f} dB)", *found.variation_db)};
}

/// What is left of harmonics that were cut off, in decay times of the bands in which they lie.
std::string distortion_effect(double percent, const Excitation& excitation) {
    if (short_sweep(excitation))
        return "the sweep is short: harmonics ring into the response, as its note says";
    return fmt::format(
        "the harmonics lie before the response and are cut off; decay times move by {:.2f} % or "
        "less",
        moved_percent_by_distortion * percent / judged_distortion_percent);
}

/// "rattle at 84 Hz", from the rattles of the sweeps in use; empty where there is none.
std::string rattles(const Deconvolved& found, const Excitation& excitation) {
    std::vector<double> tones_hz;
    for (const Disturbance& d : those_in_use(found, excitation))
        if (d.rattle_hz)
            tones_hz.push_back(*d.rattle_hz);
    std::sort(tones_hz.begin(), tones_hz.end());
    std::vector<std::string> words;
    for (const double hz : tones_hz)
        if (std::string word = fmt::format("{:.0f}", hz); words.empty() || words.back() != word)
            words.push_back(std::move(word));
    return words.empty() ? "" : fmt::format("rattle at {} Hz", listed(words));
}

std::optional<QualityCheck> distortion_check(const Deconvolved& found, const Excitation& excitation) {
    double most = 0;
    std::vector<std::string> bands;
    bool any = false;
    for (const BandDistortion& band : found.distortion)
        if (band.rough_percent) {
            any = true;
            most = std::max(most, *band.rough_percent);
            if (*band.rough_percent > most_distortion_percent)
                bands.push_back(label(band.band));
        }
    const std::string rattle = rattles(found, excitation);
    if (!any && rattle.empty())
        return {};
    QualityCheck check{CheckName::distortion, most, most_distortion_percent, "%"};
    if (!bands.empty()) {
        check.advice =
            fmt::format("the loudspeaker distorts with tones of {} Hz: play more quietly or longer, and "
                        "look for rattles",
                        listed(bands));
        check.effect = distortion_effect(most, excitation);
        check.finding = fmt::format("{}{}distortion of {:.0f} % at {} Hz", rattle, rattle.empty() ? "" : ", ",
                                    most, listed(bands));
    } else if (!rattle.empty()) {
        check.advice = "look for what rattles at the loudspeaker or on it, or play more quietly";
        check.effect = no_effect; // it sounds before the sweep comes to its bands
        check.finding = rattle;
    } else {
        return check;
    }
    check.outcome = CheckOutcome::noted;
    return check;
}

QualityCheck direct_check(double level_db) {
    return {
        CheckName::direct_sound,
        level_db,
        least_direct_db,
        "dB",
        outcome(level_db >= least_direct_db, CheckOutcome::noted),
        "a reflection is louder than the first sound: turn the loudspeaker to the microphone, clear the "
        "line of "
        "sight, keep the microphone away from walls",
        "in all bands early decay time and clarity count from the weak first sound; T20, T30 and modes do "
        "not depend on it",
        fmt::format("direct sound {:.0f} dB below a reflection", -level_db)};
}

QualityCheck polarity_check(bool positive) {
    return {CheckName::polarity,
            positive ? 1.0 : -1.0,
            1,
            "",
            outcome(positive, CheckOutcome::noted),
            "the first sound pulls instead of pushing: swap the loudspeaker's two wires or check the cable; "
            "decay "
            "times do not depend on it",
            std::string(no_effect),
            "polarity reversed"};
}

QualityCheck delay_check(double heard_m, double stated_m) {
    const double limit_m = delay_slack_m + delay_slack_part * stated_m;
    return {
        CheckName::delay,
        std::abs(heard_m - stated_m),
        limit_m,
        "m",
        outcome(std::abs(heard_m - stated_m) <= limit_m, CheckOutcome::noted),
        fmt::format(
            "the sound travelled {:.2f} m, {:.2f} m were stated: check the position's name and the distance",
            heard_m, stated_m),
        "none if the position's name is right; else all bands and modes stand for another place",
        fmt::format("{:.2f} m of sound path instead of {:.2f} m", heard_m, stated_m)};
}

QualityCheck drift_check(double ppm) {
    return {CheckName::drift,
            ppm,
            most_drift_ppm,
            "ppm",
            outcome(std::abs(ppm) <= most_drift_ppm, CheckOutcome::noted),
            "player and recorder run at different speeds: set both to one sampling rate and play the file "
            "itself",
            fmt::format(
                "the difference was taken out; frequencies and times of all bands and modes are off by up "
                "to {:.2g} % if it is the recorder that is right",
                1e-4 * std::abs(ppm)),
            fmt::format("clocks {:.0f} ppm apart", ppm)};
}

/// Level of the first sound against the strongest sample, its sign, and when it comes.
struct Direct {
    double level_db = 0;
    bool positive = true;
    double time_s = 0;
};

Direct direct_of(const Deconvolved& found) {
    const auto& h = found.response.samples;
    const double rate_hz = found.response.rate_hz;
    const std::size_t best = strongest(h);
    const std::size_t back = std::min(best, frames(0.05, rate_hz));
    std::size_t first = best - back;
    while (first < best && std::abs(h[first]) < 0.25 * std::abs(h[best]))
        ++first;
    const auto piece = std::span(h).subspan(first, std::min(frames(direct_s, rate_hz) + 1, h.size() - first));
    const double top = piece[strongest(piece)];
    return {20 * std::log10(std::abs(top) / std::abs(h[best])), top > 0,
            static_cast<double>(first) / rate_hz - found.lead_s};
}

std::vector<RecordingNote> notes_of(const Deconvolved& found, const Excitation& excitation) {
    std::vector<RecordingNote> notes;
    if (found.sweeps_found < excitation.repeats)
        notes.push_back(SweepsMissing{found.sweeps_found, excitation.repeats});
    if (found.sweeps_used < found.sweeps_found)
        notes.push_back(SweepsLeftOut{found.sweeps_used, found.sweeps_found});
    if (!found.hum.lines.empty())
        notes.push_back(HumTakenOut{found.hum.mains_hz, found.hum.lines.size()});
    if (found.clock == Clock::single_sweep && found.drift_ppm)
        notes.push_back(ClockFromOneSweep{});
    if (!found.stretch.empty()) {
        const auto [least, most] = std::minmax_element(found.stretch.begin(), found.stretch.end());
        if (*most - *least >= told_stretch)
            notes.push_back(AirChanged{100 * (*most - *least), (*most - *least) / stretch_per_kelvin});
    }
    if (const auto note = short_sweep(excitation))
        notes.push_back(*note);
    return notes;
}

Signal part_of(const Signal& signal, const TakePart& part) {
    const auto first = signal.samples.begin() + static_cast<std::ptrdiff_t>(part.first);
    return {{first, first + static_cast<std::ptrdiff_t>(part.count)}, signal.rate_hz};
}

/// Where the one take is, in a recording much longer than the test signal.
std::optional<TakePart> part_with_sweeps(const Signal& recording, const Excitation& excitation) {
    if (recording.rate_hz != excitation.sweep.rate_hz || !is_long(recording.duration_s(), excitation))
        return {};
    const auto parts = takes_in(recording.samples, excitation);
    if (parts.empty())
        return {}; // the plain way says what is wrong
    return takes_in(recording.samples, excitation, 1).front();
}

} // namespace

bool Recovered::accepted() const {
    return std::none_of(checks.begin(), checks.end(),
                        [](const QualityCheck& check) { return check.outcome == CheckOutcome::rejected; });
}

Recovered recover(const Signal& recording, const Excitation& excitation, const Signal& loopback,
                  const RecordingOptions& options) {
    if (const auto part = part_with_sweeps(recording, excitation)) {
        RecordingOptions inside = options;
        inside.first_s += static_cast<double>(part->first) / recording.rate_hz;
        return recover(part_of(recording, *part), excitation,
                       loopback.samples.empty() ? Signal{} : part_of(loopback, *part), inside);
    }
    const std::size_t clipped = clipped_samples(recording.samples, recording.rate_hz);
    const auto broken =
        clipped > 0 ? std::vector<std::size_t>() : breaks(recording.samples, recording.rate_hz);
    Recovered recovered;
    recovered.found = deconvolve(recording, excitation, loopback,
                                 {.breaks = broken, .stored_loopback = options.stored_loopback});
    recovered.found.delay_s += options.first_s;
    const Deconvolved& found = recovered.found;
    for (const HumLine& line : found.hum.lines)
        if (line.decay_range_db < least_hum_range_db)
            recovered.hum_hz.push_back(line.hz);
    const Direct direct = direct_of(found);
    auto& checks = recovered.checks;
    checks.push_back({CheckName::sweep_found, found.peak_over_noise_db, least_peak_over_noise_db, "dB"});
    checks.push_back(clipping_check(clipped));
    checks.push_back(lost_check(found, excitation, options.first_s));
    checks.push_back(disturbance_check(recovered, excitation, options.first_s));
    checks.push_back(hum_check(recovered));
    if (const auto check = variation_check(found))
        checks.push_back(*check);
    if (const auto check = distortion_check(found, excitation))
        checks.push_back(*check);
    checks.push_back(direct_check(direct.level_db));
    checks.push_back(polarity_check(direct.positive));
    if (options.distance_m && !loopback.samples.empty())
        checks.push_back(delay_check(direct.time_s * options.speed_of_sound_m_s, *options.distance_m));
    if (found.drift_ppm)
        checks.push_back(drift_check(*found.drift_ppm));
    for (QualityCheck& check : checks)
        if (check.held())
            check.advice = check.effect = check.finding = "";
    recovered.notes = notes_of(found, excitation);
    return recovered;
}

} // namespace ebbmark
