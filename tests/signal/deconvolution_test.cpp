// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "relative.hpp"
#include "signal/deconvolution.hpp"
#include "signal/fft.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>
#include <string>

using namespace ebbmark;

namespace {

constexpr double rate_hz = 48000;

double uniform(std::mt19937_64& generator) {
    return static_cast<double>(generator()) / 1.8446744073709552e19 * 2 - 1;
}

/// A direct sound followed by noise that decays by 60 dB in t60_s.
std::vector<double> room(double t60_s, std::size_t count, unsigned seed) {
    std::mt19937_64 generator(seed);
    std::vector<double> h(count);
    for (std::size_t n = 0; n < count; ++n)
        h[n] = 0.02 * uniform(generator) * std::exp(-6.9078 * static_cast<double>(n) / rate_hz / t60_s);
    h[0] = 1;
    return h;
}

std::vector<double> convolve(const std::vector<double>& a, const std::vector<double>& b) {
    RealFft fft(fast_fft_size(a.size() + b.size()));
    auto product = fft.forward(a);
    const auto other = fft.forward(b);
    for (std::size_t k = 0; k < product.size(); ++k)
        product[k] *= other[k];
    auto result = fft.inverse(product);
    result.resize(a.size() + b.size() - 1);
    return result;
}

Sweep short_sweep() {
    Sweep sweep;
    sweep.seconds = 4;
    sweep.repeat_period_s = 6.5;
    return sweep;
}

Signal record(const Sweep& sweep, const std::vector<double>& h, std::size_t delay, double noise = 0,
              unsigned seed = 1) {
    Signal recording{convolve(whole_signal(sweep).samples, h), rate_hz};
    recording.samples.insert(recording.samples.begin(), delay, 0.0);
    std::mt19937_64 generator(seed);
    for (double& sample : recording.samples)
        sample += noise * uniform(generator);
    return recording;
}

/// Error energy over the truth's, both limited to 20 Hz - 20 kHz, in dB.
double error_db(const Deconvolved& found, const std::vector<double>& truth) {
    const auto lead = static_cast<std::size_t>(std::llround(found.lead_s * rate_hz));
    const std::size_t size = fast_fft_size(found.response.size() + truth.size());
    RealFft fft(size);
    std::vector<double> moved(lead, 0.0);
    moved.insert(moved.end(), truth.begin(), truth.end());
    const auto a = fft.forward(found.response.samples);
    const auto b = fft.forward(moved);
    double error = 0, whole = 0;
    for (std::size_t k = 0; k < a.size(); ++k) {
        const double hz = static_cast<double>(k) * rate_hz / static_cast<double>(size);
        if (hz < 20 || hz > 20000)
            continue;
        error += std::norm(a[k] - b[k]);
        whole += std::norm(b[k]);
    }
    return 10 * std::log10(error / whole);
}

std::string message_of(const Signal& recording, const Excitation& excitation, const Signal& loopback = {}) {
    try {
        deconvolve(recording, excitation, loopback);
    } catch (const Error& error) {
        CHECK(error.kind() == ErrorKind::unusable);
        return error.what();
    }
    return "";
}

} // namespace

TEST_CASE("a perfect channel comes back as it is") {
    const auto truth = room(0.5, 48000, 3);
    Sweep wide = short_sweep();
    wide.start_hz = 10;
    wide.stop_hz = 24000;
    for (const int repeats : {1, 2}) {
        wide.repeats = repeats;
        const auto found = deconvolve(record(wide, truth, 12345), excitation_of(wide));
        // What is left is the cut of the band-limited pulse 50 ms before it, and rounding.
        CHECK(error_db(found, truth) < -60);
        CHECK(found.delay_s == relative(0.5 + 12345 / rate_hz).epsilon(1e-4));
        CHECK(found.sweeps_used == repeats);
        CHECK(found.drift_ppm.has_value() == (repeats == 2));
        if (found.drift_ppm)
            CHECK(std::abs(*found.drift_ppm) < 0.01);
    }
}

TEST_CASE("a clock that runs fast is seen between two sweeps") {
    // 4 samples more in 6.5 s of the nominal rate: 4 / 312000 = 12.82 ppm.
    Sweep sweep = short_sweep();
    Sweep stretched = sweep;
    stretched.repeat_period_s += 4 / rate_hz;
    const auto found = deconvolve(record(stretched, room(0.4, 24000, 5), 0), excitation_of(sweep));
    REQUIRE(found.drift_ppm);
    CHECK(*found.drift_ppm == relative(12.8205).epsilon(0.001));
}

TEST_CASE("harmonics of the loudspeaker stay out of the response") {
    const auto truth = room(0.3, 24000, 11);
    const Sweep sweep = short_sweep();
    Signal played = whole_signal(sweep);
    const double peak = std::pow(10, sweep.level_dbfs / 20);
    for (double& x : played.samples)
        x += 0.06 * x * x / peak + 0.04 * x * x * x / (peak * peak); // about 3 % second, 1 % third harmonic
    const Signal recording{convolve(played.samples, truth), rate_hz};
    const auto found = deconvolve(recording, excitation_of(sweep));
    // The cube also raises the fundamental by 3/4 of its share; compare the shape after scaling.
    auto scaled = truth;
    for (double& x : scaled)
        x *= 1 + 0.75 * 0.04;
    // Without the separation the error would be the harmonics' own -30 dB; what is left is the mirror image
    // of harmonics above half the rate, which sampling the distortion here brings in and no loudspeaker does.
    CHECK(error_db(found, scaled) < -36);
}

TEST_CASE("noise costs what theory says and more seconds at either end cost nothing") {
    const auto truth = room(0.4, 24000, 13);
    const Sweep sweep = short_sweep();
    auto recording = record(sweep, truth, 48000 * 3, 1e-4);
    recording.samples.resize(recording.size() + 48000 * 4, 0.0);
    const auto found = deconvolve(recording, excitation_of(sweep));
    CHECK(found.delay_s == relative(3.5).epsilon(1e-4));
    CHECK(error_db(found, truth) < -35);
}

TEST_CASE("the loopback takes the sound card out") {
    const auto truth = room(0.4, 24000, 17);
    // A card with 7.3 ms latency and a first-order roll-off at both ends, common to both channels.
    std::vector<double> card(4800);
    const double low = std::exp(-2 * std::numbers::pi * 15000 / rate_hz);
    for (std::size_t n = 350; n < card.size(); ++n)
        card[n] = (1 - low) * std::pow(low, static_cast<double>(n - 350));
    const Sweep sweep = short_sweep();
    const auto delayed = [&] {
        std::vector<double> h(100, 0.0);
        h.insert(h.end(), truth.begin(), truth.end());
        return h;
    }();
    const auto found = deconvolve(record(sweep, convolve(card, delayed), 777), excitation_of(sweep),
                                  record(sweep, card, 777));
    CHECK(error_db(found, delayed) < -50);
    // The same from a loopback that was recorded another day: only the time it was played at is not known.
    const auto later = deconvolve(record(sweep, convolve(card, delayed), 777), excitation_of(sweep), {},
                                  {.stored_loopback = record(sweep, card, 5000)});
    CHECK(error_db(later, truth) < -50);
    const auto without = deconvolve(record(sweep, convolve(card, delayed), 777), excitation_of(sweep));
    CHECK(error_db(without, truth) > -20);
}

TEST_CASE("recordings without the sweep are refused, whatever else they hold") {
    const Sweep sweep = short_sweep();
    const auto excitation = excitation_of(sweep);
    const std::size_t count = 48000 * 12;
    std::mt19937_64 generator(23);
    Signal other{std::vector<double>(count), rate_hz};
    CHECK(message_of(other, excitation).find("silent") != std::string::npos);
    const std::string absent = "not in the recording", different = "not this one";
    for (double& x : other.samples)
        x = 0.1 * uniform(generator);
    CHECK(message_of(other, excitation).find(absent) != std::string::npos);
    for (std::size_t n = 0; n < count; ++n)
        other.samples[n] = 0.3 * std::sin(0.05 * static_cast<double>(n)) + 1e-4 * uniform(generator);
    CHECK(message_of(other, excitation) != "");
    std::fill(other.samples.begin(), other.samples.end(), 0.0);
    other.samples[100000] = 0.9; // a click
    CHECK(message_of(other, excitation) != "");
    Sweep longer = sweep;
    longer.seconds = 5;
    const auto wrong = message_of(record(longer, room(0.4, 24000, 29), 100), excitation);
    CHECK((wrong.find(different) != std::string::npos || wrong.find(absent) != std::string::npos));
    Signal slow = record(sweep, {1.0}, 0);
    slow.rate_hz = 44100;
    CHECK(message_of(slow, excitation).find("44100") != std::string::npos);
}

TEST_CASE("an excitation known only by its samples is understood") {
    Sweep sweep = short_sweep();
    sweep.start_hz = 60;
    sweep.stop_hz = 15000;
    const auto described = excitation_of(sweep);
    const auto sampled = excitation_of(whole_signal(sweep));
    CHECK(sampled.repeats == 2);
    CHECK(sampled.repeat_period_s == relative(sweep.repeat_period_s).epsilon(1e-4));
    CHECK(sampled.from_hz == relative(60).epsilon(0.1));
    CHECK(sampled.to_hz == relative(15000).epsilon(0.1));
    CHECK(sampled.harmonic_lead_s == relative(described.harmonic_lead_s).epsilon(0.05));
    CHECK_THROWS_AS(excitation_of(Signal{std::vector<double>(4800, 0.0), rate_hz}), Error);
}
