// SPDX-License-Identifier: GPL-3.0-or-later
#include "signal/sweep.hpp"

#include "base/error.hpp"
#include "signal/samples.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace ebbmark {

namespace {

/// Raised cosine from 0 to 1 over the first `fade_s` seconds.
double rise(double time_s, double fade_s) {
    return time_s >= fade_s ? 1 : 0.5 * (1 - std::cos(std::numbers::pi * time_s / fade_s));
}

void require(bool held, const char* field, double value, const char* wanted) {
    if (!held)
        throw Error(ErrorKind::unusable,
                    fmt::format("sweep: {} = {:g} is not possible; {}", field, value, wanted));
}

} // namespace

double Sweep::rate_constant_s() const {
    return seconds / std::log(stop_hz / start_hz);
}

double Sweep::time_of_s(double frequency_hz) const {
    return rate_constant_s() * std::log(frequency_hz / start_hz);
}

double Sweep::harmonic_lead_s(double order) const {
    return rate_constant_s() * std::log(order);
}

void check(const Sweep& s) {
    require(s.rate_hz >= 8000 && s.rate_hz <= 192000, "rate_hz", s.rate_hz, "use 8000 to 192000");
    require(s.start_hz > 0, "start_hz", s.start_hz, "use a frequency above 0");
    require(s.stop_hz > s.start_hz, "stop_hz", s.stop_hz, "use a frequency above start_hz");
    require(s.stop_hz <= s.rate_hz / 2, "stop_hz", s.stop_hz, "use at most half of rate_hz");
    require(s.seconds > 0 && s.seconds <= 600, "seconds", s.seconds, "use more than 0 and at most 600");
    require(std::isfinite(s.level_dbfs) && s.level_dbfs <= 0, "level_dbfs", s.level_dbfs, "use 0 or less");
    require(std::isfinite(s.phase_rad), "phase_rad", s.phase_rad, "use a finite angle");
    require(s.fade_in_s >= 0 && s.fade_in_s <= s.seconds / 2, "fade_in_s", s.fade_in_s,
            "use 0 to half of seconds");
    require(s.fade_out_s >= 0 && s.fade_out_s <= s.seconds / 2, "fade_out_s", s.fade_out_s,
            "use 0 to half of seconds");
    require(s.lead_silence_s >= 0 && s.lead_silence_s <= 600, "lead_silence_s", s.lead_silence_s,
            "use 0 to 600");
    require(s.tail_silence_s >= 0 && s.tail_silence_s <= 600, "tail_silence_s", s.tail_silence_s,
            "use 0 to 600");
    require(s.repeats >= 1 && s.repeats <= 64, "repeats", s.repeats, "use 1 to 64");
    require(s.repeats == 1 || (s.repeat_period_s >= s.seconds && s.repeat_period_s <= 1200),
            "repeat_period_s", s.repeat_period_s, "use at least seconds and at most 1200");
    const double total_s =
        s.lead_silence_s + (s.repeats - 1) * s.repeat_period_s + s.seconds + s.tail_silence_s;
    require(total_s <= 3600, "whole length in seconds", total_s, "keep it to one hour");
}

Signal one_sweep(const Sweep& sweep) {
    const double constant_s = sweep.rate_constant_s();
    const double amplitude = std::pow(10, sweep.level_dbfs / 20);
    const double turns = 2 * std::numbers::pi * sweep.start_hz * constant_s;
    Signal signal{std::vector<double>(frames(sweep.seconds, sweep.rate_hz)), sweep.rate_hz};
    for (std::size_t n = 0; n < signal.size(); ++n) {
        const double t_s = static_cast<double>(n) / sweep.rate_hz;
        const double fades = rise(t_s, sweep.fade_in_s) * rise(sweep.seconds - t_s, sweep.fade_out_s);
        signal.samples[n] =
            amplitude * fades * std::sin(turns * std::expm1(t_s / constant_s) + sweep.phase_rad);
    }
    return signal;
}

Signal whole_signal(const Sweep& sweep) {
    const Signal one = one_sweep(sweep);
    const double last_start_s = sweep.lead_silence_s + (sweep.repeats - 1) * sweep.repeat_period_s;
    const auto last_start = frames(last_start_s, sweep.rate_hz);
    Signal whole{std::vector<double>(last_start + one.size() + frames(sweep.tail_silence_s, sweep.rate_hz)),
                 sweep.rate_hz};
    for (int repeat = 0; repeat < sweep.repeats; ++repeat) {
        const auto start = frames(sweep.lead_silence_s + repeat * sweep.repeat_period_s, sweep.rate_hz);
        std::copy(one.samples.begin(), one.samples.end(),
                  whole.samples.begin() + static_cast<std::ptrdiff_t>(start));
    }
    return whole;
}

} // namespace ebbmark
