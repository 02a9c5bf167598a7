// SPDX-License-Identifier: GPL-3.0-or-later
#include "signal/recording.hpp"

#include "base/error.hpp"
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

// The speed of sound goes with the root of the absolute temperature, here at 20 °C: closed form.
constexpr double stretch_per_kelvin = 0.5 / 293.15;
constexpr double told_stretch = 0.05 * stretch_per_kelvin; // a take in still air stays far below

std::string listed(const std::vector<std::string>& parts) {
    std::string text;
    for (std::size_t n = 0; n < parts.size() && n < 4; ++n)
        text += (n > 0 ? ", " : "") + parts[n];
    return parts.size() > 4 ? fmt::format("{} and {} more", text, parts.size() - 4) : text;
}

QualityCheck clipping_check(std::size_t clipped) {
    return {"clipping",
            static_cast<double>(clipped),
            0,
            "samples",
            clipped == 0,
            "lower the recording level by 6 dB or the player's volume, and measure again"};
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
    return {"lost samples",
            static_cast<double>(places.size()),
            0,
            "breaks",
            places.empty(),
            fmt::format(
                "the recording breaks at {}: close other programs, use a larger buffer or a faster memory "
                "card, and measure again",
                listed(places))};
}

QualityCheck disturbance_check(const Deconvolved& found, const Excitation& excitation, double first_s) {
    std::vector<std::string> places;
    for (const Disturbance& d : found.disturbances)
        if (d.sweep < 0 ||
            std::count(found.used.begin(), found.used.end(), static_cast<std::size_t>(d.sweep)) > 0)
            if (inside_used_sweep(found, d.from_s, excitation.sweep.duration_s() + 2))
                places.push_back(
                    fmt::format("{:.1f} s in {:.0f} to {:.0f} Hz", first_s + d.from_s, d.from_hz, d.to_hz));
    return {"disturbance",
            static_cast<double>(places.size()),
            0,
            "sounds",
            places.empty(),
            fmt::format("another sound at {}: measure again when it is quiet", listed(places))};
}

QualityCheck hum_check(const Recovered& recovered) {
    std::vector<std::string> lines;
    for (const double hz : recovered.hum_hz)
        lines.push_back(fmt::format("{:.0f} Hz", hz));
    return {
        "hum",
        static_cast<double>(lines.size()),
        0,
        "bands",
        lines.empty(),
        fmt::format(
            "hum at {}: use balanced cables, other sockets, switch lamps and chargers off; bands around it "
            "may be wrong",
            listed(lines))};
}

std::optional<QualityCheck> variation_check(const Deconvolved& found) {
    if (!found.variation_db)
        return {};
    return QualityCheck{
        "variation",
        *found.variation_db,
        most_variation_db,
        "dB",
        *found.variation_db <= most_variation_db,
        "the repeats differ, so that one alone was used: nothing may move during a take, and the player must "
        "not correct or equalise"};
}

std::optional<QualityCheck> distortion_check(const Deconvolved& found) {
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
    if (!any)
        return {};
    return QualityCheck{
        "distortion",
        most,
        most_distortion_percent,
        "%",
        bands.empty(),
        fmt::format("the loudspeaker distorts with tones of {} Hz: play more quietly or longer, and look for "
                    "rattles",
                    listed(bands))};
}

QualityCheck direct_check(double level_db) {
    return {"direct sound",
            level_db,
            least_direct_db,
            "dB",
            level_db >= least_direct_db,
            "a reflection is louder than the first sound: turn the loudspeaker to the microphone, clear the "
            "line of "
            "sight, keep the microphone away from walls"};
}

QualityCheck polarity_check(bool positive) {
    return {"polarity",
            positive ? 1.0 : -1.0,
            1,
            "",
            positive,
            "the first sound pulls instead of pushing: swap the loudspeaker's two wires or check the cable; "
            "decay "
            "times do not depend on it"};
}

QualityCheck delay_check(double heard_m, double stated_m) {
    const double limit_m = delay_slack_m + delay_slack_part * stated_m;
    return {
        "delay",
        std::abs(heard_m - stated_m),
        limit_m,
        "m",
        std::abs(heard_m - stated_m) <= limit_m,
        fmt::format(
            "the sound travelled {:.2f} m, {:.2f} m were stated: check the position's name and the distance",
            heard_m, stated_m)};
}

QualityCheck drift_check(double ppm) {
    return {"drift",
            ppm,
            most_drift_ppm,
            "ppm",
            std::abs(ppm) <= most_drift_ppm,
            "player and recorder run at different speeds: set both to one sampling rate and play the file "
            "itself"};
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

std::vector<std::string> notes_of(const Deconvolved& found, const Excitation& excitation) {
    std::vector<std::string> notes;
    if (found.sweeps_found < excitation.repeats)
        notes.push_back(
            fmt::format("{} of {} sweeps are in the recording.", found.sweeps_found, excitation.repeats));
    if (found.sweeps_used < found.sweeps_found)
        notes.push_back(fmt::format("{} of {} sweeps were used; the others are disturbed or differ.",
                                    found.sweeps_used, found.sweeps_found));
    if (!found.hum.lines.empty())
        notes.push_back(fmt::format("Hum of the {:g} Hz mains was taken out at {} frequencies.",
                                    found.hum.mains_hz, found.hum.lines.size()));
    if (found.clock == Clock::single_sweep && found.drift_ppm)
        notes.push_back(
            "The clocks' difference comes from a single sweep, to about 1 ppm: a loudspeaker whose delay "
            "changes with frequency looks alike.");
    if (!found.stretch.empty()) {
        const auto [least, most] = std::minmax_element(found.stretch.begin(), found.stretch.end());
        if (*most - *least >= told_stretch)
            notes.push_back(fmt::format("Between the sweeps the sound in the room changed its speed by "
                                        "{:.2g} %, as {:.2g} degrees C do: "
                                        "taken out. Let ventilation and heating settle before the next take.",
                                        100 * (*most - *least), (*most - *least) / stretch_per_kelvin));
    }
    if (const auto note = short_sweep_note(excitation))
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

bool is_decisive(const QualityCheck& check) {
    return check.name == "sweep found" || check.name == "clipping" || check.name == "lost samples";
}

bool Recovered::accepted() const {
    return std::all_of(checks.begin(), checks.end(),
                       [](const QualityCheck& check) { return check.held || !is_decisive(check); });
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
                                 {options.shared_clock, true, broken, options.stored_loopback});
    recovered.found.delay_s += options.first_s;
    const Deconvolved& found = recovered.found;
    for (const HumLine& line : found.hum.lines)
        if (line.decay_range_db < least_hum_range_db)
            recovered.hum_hz.push_back(line.hz);
    const Direct direct = direct_of(found);
    auto& checks = recovered.checks;
    checks.push_back({"sweep found", found.peak_over_noise_db, least_peak_over_noise_db, "dB", true, ""});
    checks.push_back(clipping_check(clipped));
    checks.push_back(lost_check(found, excitation, options.first_s));
    checks.push_back(disturbance_check(found, excitation, options.first_s));
    checks.push_back(hum_check(recovered));
    if (const auto check = variation_check(found))
        checks.push_back(*check);
    if (const auto check = distortion_check(found))
        checks.push_back(*check);
    checks.push_back(direct_check(direct.level_db));
    checks.push_back(polarity_check(direct.positive));
    if (options.distance_m && !loopback.samples.empty())
        checks.push_back(delay_check(direct.time_s * options.speed_of_sound_m_s, *options.distance_m));
    if (found.drift_ppm)
        checks.push_back(drift_check(*found.drift_ppm));
    for (QualityCheck& check : checks)
        if (check.held)
            check.advice.clear();
    recovered.notes = notes_of(found, excitation);
    return recovered;
}

} // namespace ebbmark
