// SPDX-License-Identifier: GPL-3.0-or-later
// How far the decay engine is from the truth, over responses whose decay is known.
// decay_scenarios TABLE... [--tuning] [--cases N]; random numbers for tuning and for judging are apart.
#include "../decay/responses.hpp"
#include "base/error.hpp"
#include "decay/curve.hpp"
#include "decay/decay.hpp"
#include "decay/interval.hpp"
#include "decay/onset.hpp"
#include "rates.hpp"
#include "signal/band_filter.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <ctime>
#include <functional>
#include <map>
#include <string>

using namespace ebbmark;
using namespace ebbmark::tests;

namespace {

struct Setup {
    std::uint64_t first = 4'000'000'000; ///< start of the judging numbers
    int cases = 300;
};

DecayOptions options(BandWidth width, double from_hz, double to_hz) {
    DecayOptions result;
    result.width = width, result.from_hz = from_hz, result.to_hz = to_hz;
    return result;
}

/// Without any band where the response is refused, as a lone sine with nothing below it is (`evidence`).
ResponseDecay decay_or_refused(const Signal& response, const DecayOptions& wanted) {
    try {
        return analyse_decay(response, wanted);
    } catch (const Error&) {
        return {};
    }
}

using Errors = std::map<std::string, std::vector<double>>;

void print_errors(const std::string& title, const Errors& errors) {
    fmt::print("\n{}\n{:<34}{:>7}{:>10}{:>10}{:>10}\n", title, "", "cases", "median", "|median|", "95 %");
    for (const auto& [name, values] : errors) {
        std::vector<double> sizes;
        for (const double value : values)
            sizes.push_back(std::abs(value));
        fmt::print("{:<34}{:>7}{:>10.3f}{:>10.3f}{:>10.3f}\n", name, values.size(), quantile(values, 0.5),
                   quantile(sizes, 0.5), quantile(sizes, 0.95));
    }
}

double percent(const Measured& measured, double truth) {
    return 100 * (*measured / truth - 1);
}

void sines(const Setup& setup) {
    Errors errors;
    for (const double range_db : {300.0, 70.0, 50.0})
        for (const double rate_hz : {44100.0, 48000.0, 96000.0})
            for (int index = -12; index <= 9; ++index)
                for (int run = 0; run < std::max(1, setup.cases / 100); ++run) {
                    Gaussian random(setup.first + static_cast<std::uint64_t>(run * 1000 + index + 50));
                    const double hz = band_at(BandWidth::third, index).exact_hz;
                    const double decay_s = 0.3 * std::pow(5, random.uniform());
                    Signal signal = silence(2 * decay_s + 0.6, rate_hz);
                    add_damped_sine(signal, 0.1 + 0.01 * random.uniform(), hz, decay_s, 1,
                                    6 * random.uniform());
                    // White noise whose part in the octave lies `range_db` under the sine's mean square;
                    // the third's part lies 5 dB lower.
                    const Band octave =
                        band_at(BandWidth::octave, static_cast<int>(std::lround(index / 3.0)));
                    const double density = std::pow(10, -range_db / 10) * 0.5 / octave.bandwidth_hz();
                    add_noise(signal, std::sqrt(density * rate_hz / 2), random);
                    for (const BandWidth width : {BandWidth::octave, BandWidth::third}) {
                        const int place =
                            width == BandWidth::octave ? static_cast<int>(std::lround(index / 3.0)) : index;
                        const Band band = band_at(width, place);
                        if (band.bandwidth_hz() * decay_s < 4)
                            continue;
                        const auto found =
                            decay_or_refused(signal, options(width, band.nominal_hz, band.nominal_hz)).bands;
                        if (found.empty())
                            continue;
                        const BandDecay& result = found[0];
                        const char* group = hz < 100   ? "1:63-80"
                                            : hz < 200 ? "2:100-160"
                                            : hz < 800 ? "3:200-630"
                                                       : "4:800-8k";
                        const auto name = [&](const char* what) {
                            return fmt::format("{:03.0f} dB {} {} {}", range_db, ebbmark::name(width), group,
                                               what);
                        };
                        if (result.edt_s)
                            errors[name("EDT")].push_back(percent(result.edt_s, decay_s));
                        if (result.t20_s)
                            errors[name("T20")].push_back(percent(result.t20_s, decay_s));
                        if (result.t30_s)
                            errors[name("T30")].push_back(percent(result.t30_s, decay_s));
                    }
                }
    print_errors("Damped sines, error in % of the decay time", errors);
}

/// White noise of this density (mean square per Hz) in a band, past its filter: the noise bandwidth of three
/// Butterworth pole pairs is (π / 6) / sin(π / 6) times the band's.
double filtered_noise(double density, const Band& band) {
    return density * band.bandwidth_hz() * std::numbers::pi / 3;
}

/// The decay curve by an oracle that is told the noise's mean, the decay time and where the decay, from its
/// level at the onset, meets the noise: only the noise that beats with the decay is left.
EnergyCurve oracle_curve(const BandEnvelope& seen, const Band& band, double onset_s, double level,
                         double noise_mean, double decay_s) {
    BandEnergy energy{seen.energy, 0, seen.energy.size(), seen.step_s, band.bandwidth_hz()};
    energy.onset = static_cast<std::size_t>(std::ceil((onset_s - seen.start_s) / seen.step_s));
    Tail tail;
    tail.decays = true;
    tail.noise = noise_mean;
    tail.rate_per_s = 6 * std::log(10.0) / decay_s;
    tail.truncation_s = std::log(level / noise_mean) / tail.rate_per_s;
    tail.level = noise_mean;
    return integrate_backwards(energy, tail);
}

/// T20 and T30 of a damped sine in noise by the oracle, and the bound of Cramér and Rao for a fit of the
/// sine itself, onset known: var(T) / T² = 4 δ r / B for decay δ = 3 ln 10 / T and noise r in the band.
void bound(const Setup& setup) {
    Errors errors;
    std::map<std::string, std::vector<double>> bounds;
    for (const double range_db : {70.0, 50.0})
        for (int index = -12; index <= 9; ++index)
            for (int run = 0; run < setup.cases; ++run)
                for (const BandWidth width : {BandWidth::octave, BandWidth::third}) {
                    Gaussian random(setup.first + 90'000'000 +
                                    static_cast<std::uint64_t>(run * 1000 + index + 50));
                    const double rate_hz = 24000, hz = band_at(BandWidth::third, index).exact_hz;
                    const double decay_s = 0.3 * std::pow(5, random.uniform());
                    const int place =
                        width == BandWidth::octave ? static_cast<int>(std::lround(index / 3.0)) : index;
                    const Band band = band_at(width, place);
                    if (band.bandwidth_hz() * decay_s < 4)
                        continue;
                    const double onset_s = 0.1;
                    Signal clean = silence(2 * decay_s + 0.6, rate_hz);
                    add_damped_sine(clean, onset_s, hz, decay_s, 1, 6 * random.uniform());
                    const double ratio = std::pow(10, -range_db / 10),
                                 density = ratio / 2 / band.bandwidth_hz();
                    Signal noisy = clean;
                    add_noise(noisy, std::sqrt(density * rate_hz / 2), random);
                    BandFilterBank pure(clean, band.bandwidth_hz()), mixed(noisy, band.bandwidth_hz());
                    const BandEnvelope& truth = pure.envelope(band);
                    const BandEnvelope& seen = mixed.envelope(band);
                    const auto start =
                        static_cast<std::size_t>(std::ceil((onset_s - truth.start_s) / truth.step_s));
                    const EnergyCurve curve = oracle_curve(seen, band, onset_s, truth.energy[start],
                                                           filtered_noise(density, band), decay_s);
                    const auto bands =
                        decay_or_refused(noisy, options(width, band.nominal_hz, band.nominal_hz)).bands;
                    const BandDecay found = bands.empty() ? BandDecay() : bands[0];
                    const char* group = hz < 100   ? "1:63-80"
                                        : hz < 200 ? "2:100-160"
                                        : hz < 800 ? "3:200-630"
                                                   : "4:800-8k";
                    const auto name = [&](const char* what) {
                        return fmt::format("{:03.0f} dB {} {} {}", range_db, ebbmark::name(width), group,
                                           what);
                    };
                    if (const auto line = fit_line(curve, -5, -25))
                        errors[name("T20 oracle")].push_back(100 * (line->decay_s / decay_s - 1));
                    if (const auto line = fit_line(curve, -5, -35); line && range_db > 45)
                        errors[name("T30 oracle")].push_back(100 * (line->decay_s / decay_s - 1));
                    if (found.t20_s)
                        errors[name("T20")].push_back(percent(found.t20_s, decay_s));
                    if (found.t30_s)
                        errors[name("T30")].push_back(percent(found.t30_s, decay_s));
                    bounds[name("bound")].push_back(
                        100 * std::sqrt(12 * std::log(10.0) * ratio / band.bandwidth_hz() / decay_s));
                }
    // Normal errors with the bound's standard deviation, drawn so that the mixture has its own quantile.
    Gaussian normal(setup.first + 91'000'000);
    for (const auto& [name, deviations] : bounds)
        for (const double deviation : deviations)
            errors[name].push_back(deviation * normal());
    print_errors("Damped sines in noise, error in %: the program, an oracle, the bound", errors);
}

/// Scatter of single responses of one ensemble over what ISO 3382-2 expects of it.
void scatter(const Setup& setup) {
    std::map<std::string, std::vector<double>> parts;
    for (int run = 0; run < setup.cases; ++run) {
        Gaussian random(setup.first + 95'000'000 + static_cast<std::uint64_t>(run));
        const double decay_s = 0.3 * std::pow(5, random.uniform());
        Signal signal = silence(1.3 * decay_s + 0.3, 16000);
        add_decaying_noise(signal, 0.05, decay_s, random);
        for (const BandWidth width : {BandWidth::octave, BandWidth::third})
            for (const BandDecay& band : analyse_decay(signal, options(width, 100, 5000)).bands) {
                const double bt = band.band.bandwidth_hz() * decay_s;
                const auto name = [&](const char* what) {
                    return fmt::format("{} {} {:05.0f} Hz", what, ebbmark::name(width), band.band.nominal_hz);
                };
                if (band.t20_s)
                    parts[name("T20")].push_back(std::log(*band.t20_s / decay_s) /
                                                 relative_scatter(DecayQuantity::t20, bt));
                if (band.t30_s)
                    parts[name("T30")].push_back(std::log(*band.t30_s / decay_s) /
                                                 relative_scatter(DecayQuantity::t30, bt));
            }
    }
    fmt::print("\nScatter of single responses over the formula of ISO 3382-2\n");
    for (const auto& [name, values] : parts) {
        double sum = 0, squares = 0;
        for (const double value : values)
            sum += value, squares += value * value;
        const double n = static_cast<double>(values.size());
        const double deviation = std::sqrt((squares - sum * sum / n) / (n - 1));
        fmt::print("{:<28} {:.2f} (+-{:.2f}) of {}\n", name, deviation, 1.96 * deviation / std::sqrt(2 * n),
                   values.size());
    }
}

void noise(const Setup& setup) {
    Errors errors;
    for (int run = 0; run < setup.cases; ++run) {
        Gaussian random(setup.first + 10'000'000 + static_cast<std::uint64_t>(run));
        const double decay_s = 0.3 * std::pow(5, random.uniform());
        Signal clean = silence(2 * decay_s + 0.8, 24000);
        add_decaying_noise(clean, 0.1, decay_s, random);
        Signal noisy = clean;
        const double noise_rms = std::pow(10, -50.0 / 20);
        add_noise(noisy, noise_rms, random);
        BandFilterBank bank(noisy, 50 * 0.23);
        for (const BandWidth width : {BandWidth::octave, BandWidth::third}) {
            const auto truth = analyse_decay(clean, options(width, 50, 8000));
            const auto found = analyse_decay(noisy, options(width, 50, 8000));
            for (std::size_t b = 0; b < truth.bands.size(); ++b) {
                const BandDecay &t = truth.bands[b], &f = found.bands[b];
                const double bt = t.band.bandwidth_hz() * decay_s;
                const char* group = bt > 512  ? "3:BT>512"
                                    : bt > 64 ? "2:BT>64"
                                    : bt > 8  ? "1:BT 8-64"
                                              : "0:BT<8";
                const double noise_mean = filtered_noise(noise_rms * noise_rms / 12000, t.band);
                const EnergyCurve curve =
                    oracle_curve(bank.envelope(t.band), t.band, 0.1, noise_mean * 1e5, noise_mean, decay_s);
                if (const auto line = fit_line(curve, -5, -25); line && t.t20_s && f.t20_s)
                    errors[fmt::format("{} T20 oracle", group)].push_back(100 *
                                                                          (line->decay_s / *t.t20_s - 1));
                if (const auto line = fit_line(curve, -5, -35); line && t.t30_s && f.t30_s)
                    errors[fmt::format("{} T30 oracle", group)].push_back(100 *
                                                                          (line->decay_s / *t.t30_s - 1));
                if (t.t20_s && f.t20_s)
                    errors[fmt::format("{} T20", group)].push_back(percent(f.t20_s, *t.t20_s));
                if (t.t30_s && f.t30_s)
                    errors[fmt::format("{} T30", group)].push_back(percent(f.t30_s, *t.t30_s));
                if (t.band.nominal_hz >= 250 && t.t20_s && f.t20_s)
                    errors["from 250 Hz T20"].push_back(percent(f.t20_s, *t.t20_s));
                if (t.band.nominal_hz >= 250 && t.t30_s && f.t30_s)
                    errors["from 250 Hz T30"].push_back(percent(f.t30_s, *t.t30_s));
            }
        }
    }
    print_errors("Noise handling alone at 50 dB, change in %", errors);
}

/// Modes of a box with Gaussian strengths, all with one decay time: below the Schroeder frequency.
Signal modal_response(double decay_s, double seconds, Gaussian& random, double& volume_m3) {
    const double size[3] = {3 + 4 * random.uniform(), 2.5 + 2 * random.uniform(),
                            2.2 + 0.8 * random.uniform()};
    volume_m3 = size[0] * size[1] * size[2];
    Signal signal = silence(seconds, 8000);
    const double rate = 3 * std::log(10.0) / decay_s;
    for (int x = 0; x < 18; ++x)
        for (int y = 0; y < 14; ++y)
            for (int z = 0; z < 10; ++z) {
                const double hz = 171.5 * std::hypot(x / size[0], y / size[1], z / size[2]);
                if (x + y + z == 0 || hz > 400)
                    continue;
                const double strength = random();
                const auto from = static_cast<std::size_t>(0.05 * signal.rate_hz);
                Complex value = std::polar(strength, 2 * std::numbers::pi * random.uniform());
                const Complex turn = std::exp(Complex(-rate, 2 * std::numbers::pi * hz) / signal.rate_hz);
                for (std::size_t n = from; n < signal.size(); ++n, value *= turn)
                    signal.samples[n] += value.real();
            }
    return signal;
}

struct Coverage {
    int hits = 0, low = 0, count = 0;
    std::vector<double> logs;
};

void interval(const Setup& setup) {
    std::map<std::string, Coverage> table;
    Errors pivots; // ln(T measured / T true) √(B · T measured): its quantiles are the interval
    const auto note = [&](const std::string& where, const Measured& measured, double truth) {
        if (!measured)
            return;
        Coverage& coverage = table[where];
        ++coverage.count;
        coverage.logs.push_back(std::log(*measured / truth));
        coverage.hits += *measured.low <= truth && truth <= *measured.high;
        coverage.low += *measured.high < truth;
    };
    const auto note_all = [&](const std::string& kind, const ResponseDecay& decay, double truth) {
        for (const BandDecay& band : decay.bands)
            for (const auto& [what, measured] : {std::pair{"EDT", &band.edt_s}, std::pair{"T20", &band.t20_s},
                                                 std::pair{"T30", &band.t30_s}}) {
                note(
                    fmt::format("{} {} {} {:06.0f}", kind, what, name(band.band.width), band.band.nominal_hz),
                    *measured, truth);
                note(fmt::format("{} {} {} pooled", kind, what, name(band.band.width)), *measured, truth);
                if (*measured) {
                    const double shown = band.band.bandwidth_hz() * **measured;
                    const double pivot = std::log(**measured / truth) * std::sqrt(shown);
                    const double place = std::exp2(std::floor(2 * std::log2(shown)) / 2);
                    pivots[fmt::format("{} {} {:6.1f}", what, kind, place)].push_back(pivot);
                    pivots[fmt::format("{} both {:6.1f}", what, place)].push_back(pivot);
                }
                const double bt = band.band.bandwidth_hz() * truth;
                note(fmt::format("{} {} by BT {:4.0f}", kind, what, std::exp2(std::floor(std::log2(bt)))),
                     *measured, truth);
            }
    };
    for (int run = 0; run < setup.cases; ++run) {
        Gaussian random(setup.first + 20'000'000 + static_cast<std::uint64_t>(run));
        const double decay_s = 0.25 * std::pow(6, random.uniform());
        Signal signal = silence(2 * decay_s + 0.8, 8000);
        add_decaying_noise(signal, 0.05, decay_s, random);
        add_noise(signal, std::pow(10, -(25 + 50 * random.uniform()) / 20), random);
        for (const BandWidth width : {BandWidth::octave, BandWidth::third})
            note_all("diffuse", decay_or_refused(signal, options(width, 50, 3150)), decay_s);
        double volume = 0;
        Signal modal = modal_response(decay_s, 2 * decay_s + 0.8, random, volume);
        add_noise(modal, std::pow(10, -(15 + 50 * random.uniform()) / 20), random);
        for (const BandWidth width : {BandWidth::octave, BandWidth::third})
            note_all("modal", decay_or_refused(modal, options(width, 50, 200)), decay_s);
    }
    fmt::print("\n95 % intervals: held; true value above it; scatter of ln T times root of BT is in the "
               "table by BT\n");
    for (auto& [where, c] : table) {
        double sum = 0, squares = 0;
        for (const double l : c.logs)
            sum += l, squares += l * l;
        const double n = c.count;
        fmt::print("{:<28} held {}  above {:5.2f} %  mean {:+.3f} sd {:.4f}\n", where, rate(c.hits, c.count),
                   100.0 * c.low / n, sum / n, std::sqrt(std::max(0.0, squares / n - sum * sum / n / n)));
    }
    for (const auto& [where, values] : pivots)
        fmt::print("pivot {:<24} {:>6} 2.5 % {:+.3f}  50 % {:+.3f}  97.5 % {:+.3f}\n", where, values.size(),
                   quantile(values, 0.025), quantile(values, 0.5), quantile(values, 0.975));
}

void printed(const Setup& setup) {
    struct Limit {
        const char* name;
        Measured BandDecay::*value;
        double limit;
    };
    const Limit limits[] = {
        {"EDT", &BandDecay::edt_s, 20}, {"T20", &BandDecay::t20_s, 35}, {"T30", &BandDecay::t30_s, 45}};
    std::map<std::string, std::pair<int, int>> wrong;
    Errors range;
    for (int run = 0; run < setup.cases; ++run) {
        Gaussian random(setup.first + 30'000'000 + static_cast<std::uint64_t>(run));
        const double decay_s = 0.3 * std::pow(4, random.uniform());
        const double range_db = 15 + 45 * random.uniform();
        Signal signal = silence(2.5 * decay_s + 0.5, 24000);
        add_decaying_noise(signal, 0.1, decay_s, random);
        add_noise(signal, std::pow(10, -range_db / 20), random);
        for (const BandWidth width : {BandWidth::octave, BandWidth::third}) {
            ResponseDecay decay;
            try {
                decay = analyse_decay(signal, options(width, 50, 8000));
            } catch (const std::exception&) {
                continue;
            }
            for (const BandDecay& band : decay.bands) {
                if (band.band.bandwidth_hz() * decay_s < 8)
                    continue;
                const double hz = band.band.nominal_hz;
                if (band.decay_range_db)
                    range[hz >= 250 ? "from 250 Hz" : "below 250 Hz"].push_back(*band.decay_range_db -
                                                                                range_db);
                for (const Limit& limit : limits) {
                    const bool shown = (band.*limit.value).value.has_value();
                    const double margin = hz < 125 ? 5 : 2;
                    if (range_db < limit.limit - margin) {
                        auto& entry = wrong[fmt::format("{} printed too far under its limit", limit.name)];
                        entry.first += shown, ++entry.second;
                    }
                    if (hz >= 500 && range_db > (limit.limit == 20 ? 25 : limit.limit) + 5) {
                        auto& entry = wrong[fmt::format("{} missing 5 dB above its limit", limit.name)];
                        entry.first += !shown, ++entry.second;
                    }
                }
            }
        }
    }
    print_errors("Decay range, error in dB", range);
    for (const auto& [name, values] : range) {
        double sum = 0;
        for (const double value : values)
            sum += value;
        fmt::print("{:<40} mean error {:+.3f} dB\n", name, sum / static_cast<double>(values.size()));
    }
    for (const auto& [name, entry] : wrong)
        fmt::print("{:<40} {}\n", name, rate(entry.first, entry.second));
}

void shape(const Setup& setup) {
    std::map<std::string, std::pair<int, int>> named;
    Errors curvature, xi;
    for (int run = 0; run < setup.cases; ++run) {
        Gaussian random(setup.first + 40'000'000 + static_cast<std::uint64_t>(run));
        const double decay_s = 0.4 * std::pow(3, random.uniform());
        for (const bool two : {false, true}) {
            Signal signal = silence(3.5 * decay_s + 0.5, 24000);
            add_decaying_noise(signal, 0.1, decay_s, random);
            if (two) // curvature 25 to 36 % and xi above 15 in closed form
                add_decaying_noise(signal, 0.1, 3 * decay_s, random, std::pow(10, -15.0 / 20));
            add_noise(signal, std::pow(10, -60.0 / 20), random);
            for (const BandWidth width : {BandWidth::octave, BandWidth::third})
                for (const BandDecay& band : analyse_decay(signal, options(width, 50, 8000)).bands) {
                    if (!band.curvature_percent)
                        continue;
                    auto& entry = named[fmt::format("{} {} {:05.0f}", two ? "double" : "single", name(width),
                                                    band.band.nominal_hz)];
                    entry.first += band.shape == DecayShape::double_slope, ++entry.second;
                    auto& fixed = named[fmt::format("{} {} {:05.0f} by C > 10 %", two ? "double" : "single",
                                                    name(width), band.band.nominal_hz)];
                    fixed.first += *band.curvature_percent > 10, ++fixed.second;
                    const std::string bt =
                        fmt::format("{} xi BT {:5.0f}", two ? "double" : "single",
                                    std::exp2(std::floor(std::log2(*band.bandwidth_time))));
                    xi[bt].push_back(*band.nonlinearity_permille * *band.bandwidth_time);
                    if (!two)
                        curvature[fmt::format("BT {:5.0f}",
                                              std::exp2(std::floor(std::log2(*band.bandwidth_time))))]
                            .push_back(*band.curvature_percent * std::sqrt(*band.bandwidth_time));
                }
        }
    }
    for (const auto& [name, values] : xi)
        fmt::print("{} xi BT: 5 % {:.0f} 50 % {:.0f} 95 % {:.0f} 98 % {:.0f} 99 % {:.0f} of {}\n", name,
                   quantile(values, 0.05), quantile(values, 0.5), quantile(values, 0.95),
                   quantile(values, 0.98), quantile(values, 0.99), values.size());
    fmt::print("\nNamed a double slope\n");
    for (const auto& [name, entry] : named)
        fmt::print("{:<40} {}\n", name, rate(entry.first, entry.second));
    for (const auto& [name, values] : curvature)
        fmt::print("{} C root BT: 50 % {:.1f} 90 % {:.1f} 95 % {:.1f} 97 % {:.1f} of {}\n", name,
                   quantile(values, 0.5), quantile(values, 0.9), quantile(values, 0.95),
                   quantile(values, 0.97), values.size());
}

void onset(const Setup& setup) {
    const char* kinds[] = {"plain", "direct 12 dB under a reflection 8 ms later",
                           "burst of noise 0.1 s before, 8 dB down", "band-limited, ringing ahead",
                           "bass noise 10 dB above the decay"};
    fmt::print("\nOnset at 20 dB decay range\n");
    for (int kind = 0; kind < 5; ++kind) {
        int gross = 0, count = 0;
        std::vector<double> errors;
        for (int run = 0; run < (kind == 0 ? 33 : 8) * setup.cases; ++run) {
            Gaussian random(setup.first + 50'000'000 + static_cast<std::uint64_t>(run + 1'000'000 * kind));
            const double at = 0.15 + 0.2 * random.uniform(), decay_s = 0.2 * std::pow(5, random.uniform());
            Signal signal = silence(1, 16000);
            const auto index = [&](double t) {
                return static_cast<std::size_t>(std::round(t * signal.rate_hz));
            };
            add_decaying_noise(signal, at, decay_s, random);
            if (kind == 1) {
                signal.samples[index(at)] += 3;
                signal.samples[index(at + 0.008)] += 12;
            } else if (kind == 2) {
                for (std::size_t n = index(at - 0.1); n < index(at - 0.08); ++n)
                    signal.samples[n] += 0.4 * random(); // 8 dB under the decay's start
            } else if (kind == 3) {
                for (int n = -200; n <= 200; ++n) // 6.4 kHz of 8 kHz, the edge of a sweep
                    signal.samples[static_cast<std::size_t>(static_cast<int>(index(at)) + n)] +=
                        n == 0 ? 9.6 : 12 * std::sin(0.8 * std::numbers::pi * n) / (std::numbers::pi * n);
            }
            double bass = 0;
            for (double& sample : signal.samples) {
                bass = 0.995 * bass + (kind == 4 ? 0.3 : 0) * random();
                sample += 0.1 * random() + bass;
            }
            const double error = find_onset_s(signal) - std::round(at * signal.rate_hz) / signal.rate_hz;
            errors.push_back(1000 * error);
            gross += std::abs(error) > 0.005, ++count;
        }
        fmt::print("{:<44} wrong by more than 5 ms {}; median {:.3f}, 1 % {:.2f}, 99 % {:.2f} ms\n",
                   kinds[kind], rate(gross, count), quantile(errors, 0.5), quantile(errors, 0.01),
                   quantile(errors, 0.99));
    }
}

/// Faulty records: how often the fault is told, and how far wrong T20 is where it is printed all the same.
void faults(const Setup& setup) {
    const char* kinds[] = {"sound",
                           "second event 12 dB down at 0.3 T",
                           "second event 30 dB down at 0.7 T",
                           "cut at 0.3 T",
                           "cut at 0.3 T, zeros after",
                           "hum in place of noise, 45 dB down",
                           "noise rising by 12 dB, 45 dB down",
                           "gated to zero at 0.5 T"};
    fmt::print("\nFaulty records, octaves 500 Hz to 4 kHz\n");
    for (int kind = 0; kind < 8; ++kind) {
        int told = 0, single = 0, count = 0;
        std::vector<double> errors;
        for (int run = 0; run < setup.cases; ++run) {
            Gaussian random(setup.first + 80'000'000 + static_cast<std::uint64_t>(run));
            const double decay_s = 0.4 * std::pow(3, random.uniform());
            Signal signal = silence(3 * decay_s + 0.2, 16000);
            add_decaying_noise(signal, 0.1, decay_s, random);
            if (kind == 1)
                add_decaying_noise(signal, 0.1 + 0.3 * decay_s, decay_s, random, std::pow(10, -12.0 / 20));
            if (kind == 2)
                add_decaying_noise(signal, 0.1 + 0.7 * decay_s, decay_s, random, std::pow(10, -30.0 / 20));
            const double level = kind == 5 ? 0 : std::pow(10, -(kind == 6 ? 45.0 : 55.0) / 20);
            for (std::size_t n = 0; n < signal.size(); ++n) {
                const double t = static_cast<double>(n) / signal.rate_hz;
                const double rise = kind == 6 ? std::pow(10, 0.6 * (t / signal.duration_s() - 0.5)) : 1;
                signal.samples[n] += level * rise * random();
                if (kind == 5)
                    for (const double hz : {500.0, 1000.0, 2000.0, 4000.0})
                        signal.samples[n] +=
                            0.7 * std::pow(10, -45.0 / 20) * std::sin(2 * std::numbers::pi * hz * 1.01 * t);
            }
            const auto cut =
                static_cast<std::size_t>((0.1 + (kind == 7 ? 0.5 : 0.3) * decay_s) * signal.rate_hz);
            if (kind == 3)
                signal.samples.resize(cut);
            if (kind == 4 || kind == 7)
                std::fill(signal.samples.begin() + static_cast<std::ptrdiff_t>(cut), signal.samples.end(),
                          0.0);
            for (const BandDecay& band : analyse_decay(signal, options(BandWidth::octave, 500, 4000)).bands) {
                bool said = band.t20_s.empty == Empty::length || band.t20_s.empty == Empty::disturbed;
                for (const DecayNote& note : band.notes)
                    said = said || std::holds_alternative<CrookedBeyondChance>(note) ||
                           std::holds_alternative<SecondSound>(note) ||
                           std::holds_alternative<EndsBeforeNoise>(note) ||
                           std::holds_alternative<SteadyTone>(note) ||
                           std::holds_alternative<NoiseChanges>(note);
                told += said, ++count;
                single += band.shape == DecayShape::single;
                if (band.t20_s)
                    errors.push_back(std::abs(percent(band.t20_s, decay_s)));
            }
        }
        fmt::print(
            "{:<38} told {}; T20 printed {:.1f} %, off by median {:.1f} %, 95 % {:.1f} %; called single {}\n",
            kinds[kind], rate(told, count), 100.0 * static_cast<double>(errors.size()) / count,
            quantile(errors, 0.5), quantile(errors, 0.95), rate(single, count));
    }
}

/// Sparse noise within half an octave: its unfiltered decay is the truth of this one response.
void realised(const Setup& setup) {
    Errors errors;
    int refused = 0, cases = 0;
    for (int run = 0; run < setup.cases; ++run)
        for (int index = -4; index <= 2; ++index) {
            Gaussian random(setup.first + 60'000'000 + static_cast<std::uint64_t>(run * 10 + index + 5));
            const double decay_s = 0.3 * std::pow(4, random.uniform());
            const Band band = band_at(BandWidth::octave, index);
            const double rate_hz = 16000, onset_s = 0.1;
            Signal impulses = silence(1.6 * decay_s + 0.6, rate_hz);
            const auto from = static_cast<std::size_t>(onset_s * rate_hz);
            // Sparse arrivals, each a burst whose spectrum lies within half an octave.
            Signal signal = impulses;
            const double rate = 3 * std::log(10.0) / decay_s;
            for (double t = 0; t < 1.5 * decay_s;
                 t += -std::log(random.uniform()) * 0.5 / band.bandwidth_hz()) {
                const double hz = band.exact_hz * std::exp2((random.uniform() - 0.5) * 0.2);
                const double width_s = 3.0 / band.bandwidth_hz(), strength = random() * std::exp(-rate * t);
                const double phase = 6.2831853 * random.uniform();
                const auto length = static_cast<std::size_t>(2 * width_s * rate_hz);
                const auto start = from + static_cast<std::size_t>(t * rate_hz);
                for (std::size_t n = 0; n < length && start + n < signal.size(); ++n) {
                    const double place = static_cast<double>(n) / static_cast<double>(length);
                    const double window = std::pow(std::sin(std::numbers::pi * place), 2);
                    signal.samples[start + n] +=
                        strength * window *
                        std::sin(6.2831853 * hz * static_cast<double>(n) / rate_hz + phase);
                }
            }
            // The onset has its own table; here truth and result share it.
            const auto begin = static_cast<std::size_t>(std::lround(find_onset_s(signal) * rate_hz));
            std::vector<double> rest(signal.size() + 1);
            for (std::size_t n = signal.size(); n-- > 0;)
                rest[n] = rest[n + 1] + signal.samples[n] * signal.samples[n];
            const auto slope = [&](double lower_db) {
                double n = 0, st = 0, sl = 0, stt = 0, stl = 0;
                for (std::size_t k = begin; k < signal.size() && rest[k] > 0; ++k) {
                    const double l = 10 * std::log10(rest[k] / rest[begin]);
                    if (l < lower_db)
                        break;
                    if (l > -5)
                        continue;
                    const double t = static_cast<double>(k) / rate_hz;
                    n += 1, st += t, sl += l, stt += t * t, stl += t * l;
                }
                return -60 * (n * stt - st * st) / (n * stl - st * sl);
            };
            const auto late = [&](double limit_s) {
                return rest[begin + static_cast<std::size_t>(std::lround(limit_s * rate_hz))] / rest[begin];
            };
            BandDecay found;
            ++cases;
            try {
                found = analyse_decay(signal, options(BandWidth::octave, band.nominal_hz, band.nominal_hz))
                            .bands[0];
            } catch (const Error&) {
                ++refused;
                continue;
            }
            const char* group = index >= 0 ? "3:1k-4k" : index >= -2 ? "2:250-500" : "1:63-125";
            if (found.t20_s)
                errors[fmt::format("{} T20 %", group)].push_back(percent(found.t20_s, slope(-25)));
            if (found.t30_s)
                errors[fmt::format("{} T30 %", group)].push_back(percent(found.t30_s, slope(-35)));
            const auto ratio = [](double l) { return 10 * std::log10((1 - l) / l); };
            const std::string clear =
                index >= 0 ? "clarity 1k-4k" : fmt::format("clarity {:03.0f}", band.nominal_hz);
            if (found.c80_db)
                errors[clear + " C80 dB"].push_back(*found.c80_db - ratio(late(0.08)));
            if (found.c50_db)
                errors[clear + " C50 dB"].push_back(*found.c50_db - ratio(late(0.05)));
            if (found.d50_percent)
                errors[clear + " D50 points"].push_back(*found.d50_percent - 100 * (1 - late(0.05)));
            if (found.ts_ms) {
                double moment = 0;
                for (std::size_t k = begin; k < signal.size(); ++k)
                    moment += static_cast<double>(k - begin) * (rest[k] - rest[k + 1]);
                errors[clear + " Ts ms"].push_back(*found.ts_ms - 1000 * moment / rest[begin] / rate_hz);
            }
        }
    fmt::print("\nRefused as nothing but noise: {}\n", rate(refused, cases));
    print_errors("Against the realised decay, sparse half-octave noise, octave bands", errors);
}

/// Processor time, least of many runs: other programs may be running.
double milliseconds(const std::function<void()>& work) {
    double best = 1e9;
    for (int run = 0; run < 25; ++run) {
        const std::clock_t start = std::clock();
        work();
        best = std::min(best, 1000.0 * static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC);
    }
    return best;
}

void speed(const Setup& setup) {
    Gaussian random(setup.first + 70'000'000);
    Signal signal = silence(3, 48000);
    add_decaying_noise(signal, 0.1, 0.6, random);
    add_noise(signal, 0.001, random);
    const double whole = milliseconds([&] {
        analyse_decay(signal, options(BandWidth::octave, 31.5, 16000));
        analyse_decay(signal, options(BandWidth::third, 20, 10000));
    });
    double bare = 0;
    for (const BandWidth width : {BandWidth::octave, BandWidth::third}) {
        const auto bands = bands_between(width, width == BandWidth::octave ? 31.5 : 20,
                                         width == BandWidth::octave ? 16000 : 10000);
        BandFilterBank bank(signal, bands.front().bandwidth_hz());
        RealFft forward(bank.forward_size());
        bare += milliseconds([&] { forward.spectrum_of(signal.samples); });
        for (const Band& band : bands) {
            const std::size_t size = bank.inverse_size(band);
            ComplexInverseFft inverse(size);
            for (Complex& value : inverse.spectrum(size))
                value = {random(), random()};
            bare += milliseconds([&] { inverse.transform(size); });
        }
    }
    fmt::print("\nOctaves and thirds of 3 s at 48 kHz: {:.1f} ms; bare transforms {:.1f} ms; ratio {:.2f}\n",
               whole, bare, whole / bare);
}

} // namespace

int main(int count, char** arguments) {
    const std::map<std::string, void (*)(const Setup&)> tables = {
        {"sines", sines}, {"noise", noise}, {"interval", interval}, {"printed", printed},
        {"shape", shape}, {"onset", onset}, {"faults", faults},     {"realised", realised},
        {"speed", speed}, {"bound", bound}, {"scatter", scatter}};
    Setup setup;
    std::vector<std::string> wanted;
    for (int i = 1; i < count; ++i) {
        const std::string argument = arguments[i];
        if (argument == "--tuning")
            setup.first = 500'000'000;
        else if (argument == "--cases" && i + 1 < count)
            setup.cases = std::stoi(arguments[++i]);
        else
            wanted.push_back(argument);
    }
    for (const std::string& name : wanted) {
        const auto table = tables.find(name);
        if (table == tables.end()) {
            fmt::print(stderr,
                       "no table {}; there are sines, noise, interval, printed, shape, onset, faults, "
                       "realised, speed, bound, scatter\n",
                       name);
            return 2;
        }
        table->second(setup);
    }
    return 0;
}
