// SPDX-License-Identifier: GPL-3.0-or-later
// How often something is found in measured rooms in which nothing changed:
//   measured_scenarios DATA bands|modes|any|told|planted|beside|loudspeakers [--draws N] [--seed N] [--list]
// `modes`: single modes alone; `any`: what `compare` says of third octaves and modes; `told`: how many modes
// are told at all; `beside`, `loudspeakers`: what the allowances for bands rest on; `planted`: whether one
// mode that is made to decay faster in a measured response is seen.
#include "decay/onset.hpp"
#include "measured_nulls.hpp"
#include "rates.hpp"
#include "signal/same_place.hpp"
#include "verdict/comparison.hpp"
#include "verdict/mode_pairs.hpp"
#include "verdict/places.hpp"

#include <fmt/format.h>

#include <cmath>
#include <cstdlib>
#include <functional>
#include <map>
#include <numbers>
#include <random>
#include <set>
#include <string>

using namespace ebbmark;
using namespace ebbmark::tests;

namespace {

struct Arguments {
    std::filesystem::path data;
    NullCounts counts;
    bool list = false; ///< every comparison with a finding
};

/// What was found in one comparison, in words; empty: nothing.
using Judge = std::function<std::string(const NullComparison&)>;

struct Tally {
    int found = 0, count = 0;

    void add(bool one) {
        found += one;
        ++count;
    }
    /// Chance of so many or more where each has 5 %: exact binomial.
    double p_above_5_percent() const {
        double sum = 0, term = 1;
        for (int k = 0; k <= count; ++k) {
            term = k == 0 ? std::pow(0.95, count) : term * (count - k + 1) / k * (0.05 / 0.95);
            sum += k >= found ? term : 0;
        }
        return sum;
    }
};

std::string interval_over_rooms(const std::vector<Tally>& rooms) {
    std::mt19937 random(1);
    std::vector<double> rates;
    for (int n = 0; n < 2000; ++n) {
        Tally sum;
        for (std::size_t i = 0; i < rooms.size(); ++i) {
            const Tally& one = rooms[random() % rooms.size()];
            sum.found += one.found;
            sum.count += one.count;
        }
        rates.push_back(100.0 * sum.found / sum.count);
    }
    return fmt::format("{:.1f} to {:.1f} % over rooms", quantile(rates, 0.025), quantile(rates, 0.975));
}

void print_nulls(const Arguments& arguments, const Judge& judge) {
    std::vector<std::pair<std::string, Tally>> kinds, rooms;
    Tally first, second;
    const auto tally = [](auto& list, const std::string& name) -> Tally& {
        for (auto& [key, one] : list)
            if (key == name)
                return one;
        return list.emplace_back(name, Tally{}).second;
    };
    for (const NullComparison& one : null_comparisons(arguments.data, arguments.counts)) {
        const std::string found = judge(one);
        tally(kinds, one.room + ", " + one.kind).add(!found.empty());
        tally(rooms, one.room).add(!found.empty());
        (is_first_group(one.room) ? first : second).add(!found.empty());
        if (arguments.list && !found.empty())
            fmt::print("  {}, {}: {}\n", one.room, one.kind, found);
    }
    for (const auto& [name, one] : kinds)
        fmt::print("  {:42} {:3} of {:3}\n", name, one.found, one.count);
    std::vector<Tally> all;
    for (const auto& [name, one] : rooms) {
        fmt::print("{:20} {}; p of more than 5 %: {:.3f}\n", name, rate(one.found, one.count),
                   one.p_above_5_percent());
        all.push_back(one);
    }
    fmt::print("variable, repeats, listening {}\nother rooms {}\n", rate(first.found, first.count),
               rate(second.found, second.count));
    fmt::print("pooled {}, {}\n", rate(first.found + second.found, first.count + second.count),
               interval_over_rooms(all));
}

/// The bands as `compare` on files judges them.
class BandJudge {
  public:
    explicit BandJudge(BandWidth width) { options_.width = width; }

    std::string operator()(const NullComparison& one) { return judged(one, {}); }

    std::string judged(const NullComparison& one, const std::vector<ModePair>& modes) {
        CompareOptions options;
        options.paired = one.paired;
        options.modes = modes;
        StatePair states{decays(one.before), decays(one.after), options};
        join_repeats(states, places_of(responses_.of(one.before)), places_of(responses_.of(one.after)));
        std::string found;
        const Comparison comparison = compare(states.before, states.after, states.options);
        for (const ModeFinding& mode : comparison.modes)
            if (mode.finding == Finding::shorter || mode.finding == Finding::longer)
                found += fmt::format("mode {:.1f} Hz {:.2f} to {:.2f} s ", mode.mode.before_hz,
                                     *mode.mode.before_t60_s, *mode.mode.after_t60_s);
        for (const BandFinding& band : comparison.bands)
            if (band.finding == Finding::shorter || band.finding == Finding::longer)
                found +=
                    fmt::format("{} Hz {:+.1f} ({:.1f} to {:.1f}) % ", label(band.band), *band.change_percent,
                                band.change_percent.low.value_or(0), band.change_percent.high.value_or(0));
        return found;
    }

  private:
    std::vector<ResponseDecay> decays(const std::vector<std::filesystem::path>& files) {
        std::vector<ResponseDecay> list;
        for (const auto& file : files) {
            auto found = analysed_.find(file);
            if (found == analysed_.end())
                found = analysed_.emplace(file, analyse_decay(responses_.at(file), options_)).first;
            list.push_back(found->second);
        }
        return list;
    }

    DecayOptions options_;
    MeasuredResponses responses_;
    std::map<std::filesystem::path, ResponseDecay> analysed_;
};

constexpr double from_hz = 20, to_hz = 200;

PairedPlaces places_of(const NullComparison& one) {
    return one.paired ? PairedPlaces::same : PairedPlaces::different;
}

/// The modes of two sets of files.
class ModeMeasurer {
  public:
    ResampledRinging before(const NullComparison& one) {
        return resample_ringing(responses_.of(one.before), {from_hz, to_hz});
    }

    std::vector<ModePair> changes(const NullComparison& one) {
        const ResampledRinging first = before(one);
        const ResampledRinging second = resample_ringing(responses_.of(one.after), {from_hz, to_hz});
        return mode_pairs(first, second, pair_modes(first.whole, second.whole, {1, one.paired}),
                          places_of(one));
    }

    MeasuredResponses& responses() { return responses_; }

  private:
    MeasuredResponses responses_;
};

/// What the modes' differences are over their stated deviations.
struct Normalised {
    double squares = 0;
    int count = 0, beyond_3 = 0, tested = 0, comparisons = 0;

    void add(const std::vector<ModePair>& modes) {
        ++comparisons;
        for (const ModePair& mode : modes)
            if (mode.change) {
                const double z = mode.change->mean / mode.change->standard_error;
                squares += z * z;
                beyond_3 += std::abs(z) > 3;
                ++count;
            }
    }

    void print() const {
        fmt::print(
            "difference over its deviation: sd {:.2f}, beyond 3 {}; {:.1f} modes tested a comparison\n",
            std::sqrt(squares / count), rate(beyond_3, count), static_cast<double>(count) / comparisons);
    }
};

void print_modes(const Arguments& arguments) {
    fmt::print("modes {} to {} Hz alone, 1 %: comparisons with any called changed\n", from_hz, to_hz);
    ModeMeasurer measurer;
    Normalised halves, others;
    print_nulls(arguments, [&](const NullComparison& one) {
        const auto modes = measurer.changes(one);
        (one.kind.starts_with("halves") ? halves : others).add(modes);
        std::vector<double> p_values;
        for (const ModePair& mode : modes)
            p_values.push_back(mode.change ? p_value(*mode.change) : 1);
        std::string found;
        const auto adjusted = holm(p_values);
        for (std::size_t i = 0; i < modes.size(); ++i)
            if (modes[i].change && adjusted[i] < 0.01)
                found += fmt::format("{:.1f} Hz {:.2f} to {:.2f} s ", modes[i].before_hz,
                                     *modes[i].before_t60_s, *modes[i].after_t60_s);
        return found;
    });
    fmt::print("halves: ");
    halves.print();
    fmt::print("others: ");
    others.print();
}

void print_any(const Arguments& arguments) {
    fmt::print("third octaves and modes as compare judges them together, 5 %\n");
    ModeMeasurer measurer;
    BandJudge bands(BandWidth::third);
    print_nulls(arguments,
                [&](const NullComparison& one) { return bands.judged(one, measurer.changes(one)); });
}

/// One mode of these responses decays by `factor` as long; the rest is as measured. At the onset a mode is
/// twice the real part of its amplitude, at each position on the time scale of its air.
std::vector<Signal> planted(std::vector<Signal> responses, const MeasuredMode& mode, const RoomFit& fit,
                            double factor) {
    const double omega = 2 * std::numbers::pi * *mode.hz, decay = 3 * std::numbers::ln10 / *mode.t60_s;
    for (std::size_t p = 0; p < responses.size(); ++p) {
        Signal& response = responses[p];
        const double onset_s = find_onset_s(response);
        const double scale = fit.scale(static_cast<Eigen::Index>(p));
        const auto first = static_cast<std::size_t>(std::ceil(onset_s * response.rate_hz));
        for (std::size_t n = first; n < response.size(); ++n) {
            const double t = scale * (static_cast<double>(n) / response.rate_hz - onset_s);
            const double swing = 2 * (mode.amplitude[p] * std::polar(1.0, omega * t)).real();
            response.samples[n] += swing * (std::exp(-decay / factor * t) - std::exp(-decay * t));
        }
    }
    return responses;
}

/// What became of planted changes in one kind of comparison.
struct Planted {
    int comparisons = 0, told = 0, could = 0, seen = 0, untold = 0, not_paired = 0;
    int neighbours = 0, neighbours_called = 0;

    void print(const std::string& kind, double factor) const {
        fmt::print(
            "decay of one mode times {}, {}: {:.1f} modes a comparison with a change; where it is sure "
            "enough: seen {}, without a change {}, not paired {}; others called {}\n",
            factor, kind, static_cast<double>(told) / comparisons, rate(seen, could), untold, not_paired,
            rate(neighbours_called, neighbours));
    }
};

/// Those of six positions or more in measured rooms, and the second half of each once more against itself.
std::vector<NullComparison> with_same_places(const std::vector<NullComparison>& drawn) {
    std::vector<NullComparison> made;
    for (const NullComparison& one : drawn) {
        if (one.before.size() < 6 || one.room.starts_with("degenerate"))
            continue;
        made.push_back(one);
        if (!one.paired)
            made.push_back({one.room, one.kind, one.after, one.after, true});
    }
    return made;
}

constexpr double deviations_that_show = 4.2; // of a two-sided 2.5 %, in 97.5 % of cases

/// The deviation of ln T60 that the fit states for a mode with its decay changed, when it is told how many
/// poles there are and begins at the right ones: what these responses can tell of it.
double stated_when_told(const std::vector<Signal>& responses, const RoomFit& unchanged, std::size_t pole,
                        double factor) {
    std::vector<double> onsets_s;
    for (const Signal& response : responses)
        onsets_s.push_back(find_onset_s(response));
    LowResponses low(responses, onsets_s, to_hz);
    low.cut_at_noise(from_hz, to_hz);
    RoomFit start = unchanged;
    start.poles[pole].pole.decay_per_s /= factor;
    const Pole sought = start.poles[pole].pole;
    const RoomFit fit = refit_room(low, from_hz, to_hz, start, Order::kept);
    const auto near = std::min_element(fit.poles.begin(), fit.poles.end(), [&](const auto& a, const auto& b) {
        return std::abs(a.pole.exponent() - sought.exponent()) <
               std::abs(b.pole.exponent() - sought.exponent());
    });
    return near->decay_deviation;
}

/// A mode in which a change is planted.
struct Plant {
    const MeasuredMode* mode;
    std::size_t pole; ///< of the fit
    double deviation; ///< stated before, of ln T60
};

/// The lone modes of the state after whose change the fits, by what they state, could show.
std::vector<Plant> plants(const ResampledRinging& before, const ResampledRinging& after,
                          const std::vector<PairedMode>& pairs, double factor) {
    std::vector<Plant> made;
    for (const PairedMode& pair : pairs) {
        if (pair.before.size() != 1 || pair.after.size() != 1)
            continue;
        const MeasuredMode &first = before.whole.modes[pair.before[0]],
                           &mode = after.whole.modes[pair.after[0]];
        const double both = std::hypot(first.t60_deviation, mode.t60_deviation);
        if (*mode.hz < 50 || deviations_that_show * both > -std::log(factor))
            continue;
        const auto& poles = after.room->fit.poles;
        const auto own = std::find_if(poles.begin(), poles.end(),
                                      [&](const FittedPole& pole) { return pole.pole.hz == *mode.hz; });
        made.push_back({&mode, static_cast<std::size_t>(own - poles.begin()), first.t60_deviation});
    }
    return made;
}

/// Plants the change in up to three modes of each comparison, one at a time, spread over those in which the
/// fit itself, told the truth, could show it in both states.
void plant_in(const NullComparison& one, double factor, ModeMeasurer& measurer, bool list, Planted& kind) {
    constexpr int most_modes = 3;
    constexpr double level = 0.025; // two-sided
    const ResampledRinging before = measurer.before(one);
    const auto responses = measurer.responses().of(one.after);
    const ResampledRinging unchanged =
        one.before == one.after ? before : resample_ringing(responses, {from_hz, to_hz});
    const auto unchanged_pairs = pair_modes(before.whole, unchanged.whole, {1, one.paired});
    ++kind.comparisons;
    for (const ModePair& mode : mode_pairs(before, unchanged, unchanged_pairs, places_of(one)))
        kind.told += mode.change.has_value();
    auto candidates = plants(before, unchanged, unchanged_pairs, factor);
    std::stable_sort(candidates.begin(), candidates.end(), [](const Plant& a, const Plant& b) {
        return std::fmod(*a.mode->hz * 7.31, 1) <
               std::fmod(*b.mode->hz * 7.31, 1); // any order but by frequency
    });
    int planted_here = 0;
    for (const Plant& plant : candidates) {
        const MeasuredMode& mode = *plant.mode;
        const auto changed = planted(responses, mode, unchanged.room->fit, factor);
        const double told = stated_when_told(changed, unchanged.room->fit, plant.pole, factor);
        if (planted_here == most_modes ||
            deviations_that_show * std::hypot(plant.deviation, told) > -std::log(factor))
            continue;
        ++planted_here;
        const ResampledRinging after = resample_ringing(changed, {from_hz, to_hz});
        ++kind.could;
        bool found = false;
        for (const ModePair& pair : mode_pairs(
                 before, after, pair_modes(before.whole, after.whole, {1, one.paired}), places_of(one))) {
            const bool called = pair.change && p_value(*pair.change) < level;
            if (pair.after_hz && std::abs(*pair.after_hz - *mode.hz) < 0.5 * *mode.hz / mode.q()) {
                found = true;
                kind.seen += called && pair.change->mean < 0;
                kind.untold += !pair.change;
                if (list)
                    fmt::print("  {}, {}: {:.1f} Hz {:.2f} s: {:.2f} to {:.2f} s, {:.2f} ± {:.2f} (stated "
                               "{:.2f}, {:.2f})\n",
                               one.room, one.kind, *mode.hz, *mode.t60_s, *pair.before_t60_s,
                               *pair.after_t60_s, pair.change ? pair.change->mean : 0,
                               pair.change ? pair.change->standard_error : 0, plant.deviation, told);
            } else if (pair.change) {
                ++kind.neighbours;
                kind.neighbours_called += called;
            }
        }
        kind.not_paired += !found;
        if (list && !found)
            fmt::print("  {}, {}: {:.1f} Hz {:.2f} s: not paired (stated {:.2f}, {:.2f})\n", one.room,
                       one.kind, *mode.hz, *mode.t60_s, plant.deviation, told);
    }
}

void print_planted(const Arguments& arguments) {
    ModeMeasurer measurer;
    for (const double factor : {0.8, 0.6}) {
        std::map<std::string, Planted> kinds;
        for (const NullComparison& one :
             with_same_places(null_comparisons(arguments.data, arguments.counts))) {
            const std::string kind = one.before == one.after ? "same responses"
                                     : one.paired            ? "5 cm beside"
                                                             : "other places";
            plant_in(one, factor, measurer, arguments.list, kinds[kind]);
        }
        for (const auto& [name, kind] : kinds)
            kind.print(name, factor);
    }
}

/// Modes of all positions of each room, and how many a comparison of halves can judge.
void print_told(const Arguments& arguments) {
    ModeMeasurer measurer;
    std::map<std::string, std::array<int, 3>> rooms; // comparisons, modes before, judged
    for (const NullComparison& one : null_comparisons(arguments.data, arguments.counts)) {
        if (!one.kind.starts_with("halves"))
            continue;
        auto& [comparisons, modes, judged] = rooms[one.room + ", " + one.kind];
        const auto changes = measurer.changes(one);
        ++comparisons;
        for (const ModePair& mode : changes) {
            modes += mode.members;
            judged += mode.change ? mode.members : 0;
        }
    }
    for (const auto& [name, counts] : rooms)
        fmt::print("{:30} modes told {:.1f}, with a change {:.1f}\n", name,
                   static_cast<double>(counts[1]) / counts[0], static_cast<double>(counts[2]) / counts[0]);
}

void print_bands(const Arguments& arguments) {
    for (const BandWidth width : {BandWidth::third, BandWidth::octave}) {
        fmt::print("{}s, 20 Hz to 10 kHz: comparisons with any band called changed\n", name(width));
        BandJudge judge(width);
        print_nulls(arguments, std::ref(judge));
    }
}

// --- what the allowances were chosen on

double root_mean_square(const std::vector<double>& values) {
    double sum = 0;
    for (const double value : values)
        sum += value * value / static_cast<double>(values.size());
    return std::sqrt(sum);
}

/// Each null comparison of one microphone 5 cm beside another: scatter of ln T per band.
void print_beside(const Arguments& arguments) {
    NullCounts each = arguments.counts;
    each.draws = 34;
    for (const BandWidth width : {BandWidth::octave, BandWidth::third}) {
        fmt::print("{}s: ln T20 (T30) at 5 cm, root mean square; robust; number; what the fits explain\n",
                   name(width));
        DecayOptions options;
        options.width = width;
        MeasuredResponses responses;
        for (const std::string room : {"panel 000", "panel 100"}) {
            std::map<double, std::vector<double>> t20, t30, fits;
            std::set<std::filesystem::path> seen;
            for (const NullComparison& one : null_comparisons(arguments.data, each)) {
                if (one.room != room || !one.paired || one.before.size() != 12)
                    continue;
                for (std::size_t i = 0; i < one.before.size(); ++i) {
                    if (!seen.insert(one.before[i]).second)
                        continue;
                    const auto a = analyse_decay(responses.at(one.before[i]), options);
                    const auto b = analyse_decay(responses.at(one.after[i]), options);
                    for (std::size_t k = 0; k < a.bands.size(); ++k) {
                        const double hz = a.bands[k].band.nominal_hz;
                        const auto first = decay_value(a.bands[k], Metric::t20),
                                   again = decay_value(b.bands[k], Metric::t20);
                        if (first.log_s && again.log_s) {
                            t20[hz].push_back(*again.log_s - *first.log_s);
                            fits[hz].push_back(first.fit_variance + again.fit_variance);
                        }
                        if (a.bands[k].t30_s && b.bands[k].t30_s)
                            t30[hz].push_back(std::log(*b.bands[k].t30_s / *a.bands[k].t30_s));
                    }
                }
            }
            for (const auto& [hz, values] : t20) {
                std::vector<double> sizes;
                for (const double value : values)
                    sizes.push_back(std::abs(value));
                fmt::print("{} {:7g} Hz {:.3f} ({:.3f}); {:.3f}; {:2}; {:.3f}\n", room, hz,
                           root_mean_square(values), root_mean_square(t30[hz]), 1.4826 * quantile(sizes, 0.5),
                           values.size(), std::sqrt(quantile(fits[hz], 0.5)));
            }
        }
    }
}

/// Five microphones, four loudspeakers, nothing changed: how much of the scatter of ln T20 one loudspeaker's
/// values share (two-way analysis of variance).
void print_loudspeakers(const Arguments& arguments) {
    for (const BandWidth width : {BandWidth::octave, BandWidth::third}) {
        fmt::print("{}s: ln T20, deviation of a single value; of what a loudspeaker's values share\n",
                   name(width));
        DecayOptions options;
        options.width = width;
        MeasuredResponses responses;
        std::map<double, std::vector<std::vector<std::optional<double>>>> values; // [loudspeaker][microphone]
        const auto folder = arguments.data / "listening-room-otala";
        for (const int speaker : {1, 5, 9, 13})
            for (int mic = 1; mic <= 5; ++mic) {
                const auto file = folder / fmt::format("mic{}_speaker{}.wav", mic, speaker);
                for (const BandDecay& band : analyse_decay(responses.at(file), options).bands) {
                    auto& list = values[band.band.nominal_hz];
                    if (mic == 1)
                        list.emplace_back();
                    list.back().push_back(decay_value(band, Metric::t20).log_s);
                }
            }
        for (const auto& [hz, list] : values) {
            double within = 0, between = 0, mean = 0;
            int known = 0;
            for (const auto& speaker : list)
                for (const auto& value : speaker)
                    if (value) {
                        mean += *value;
                        ++known;
                    }
            if (known < 20)
                continue;
            mean /= known;
            std::vector<double> of_microphone(5, 0), of_speaker(4, 0);
            for (std::size_t s = 0; s < 4; ++s)
                for (std::size_t m = 0; m < 5; ++m) {
                    of_speaker[s] += *list[s][m] / 5;
                    of_microphone[m] += *list[s][m] / 4;
                }
            for (std::size_t s = 0; s < 4; ++s) {
                between += 5 * std::pow(of_speaker[s] - mean, 2) / 3;
                for (std::size_t m = 0; m < 5; ++m)
                    within += std::pow(*list[s][m] - of_speaker[s] - of_microphone[m] + mean, 2) / 12;
            }
            fmt::print("{:7g} Hz {:.3f}; {:.3f}\n", hz, std::sqrt(within),
                       std::sqrt(std::max(0.0, (between - within) / 5)));
        }
    }
}

} // namespace

int main(int count, char** words) {
    Arguments arguments;
    std::vector<std::string> plain;
    for (int i = 1; i < count; ++i) {
        const std::string word = words[i];
        if (word == "--list")
            arguments.list = true;
        else if (word == "--draws" && i + 1 < count)
            arguments.counts.draws = std::atoi(words[++i]);
        else if (word == "--seed" && i + 1 < count)
            arguments.counts.seed = static_cast<unsigned>(std::atoi(words[++i]));
        else
            plain.push_back(word);
    }
    const std::map<std::string, void (*)(const Arguments&)> tables = {{"bands", print_bands},
                                                                      {"modes", print_modes},
                                                                      {"any", print_any},
                                                                      {"told", print_told},
                                                                      {"planted", print_planted},
                                                                      {"beside", print_beside},
                                                                      {"loudspeakers", print_loudspeakers}};
    const auto table = tables.find(plain.size() == 2 ? plain[1] : "");
    if (table == tables.end() || !std::filesystem::is_directory(plain[0])) {
        fmt::print(stderr, "measured_scenarios DATA bands|modes|any|told|planted|beside|loudspeakers "
                           "[--draws N] [--seed N] [--list]\n");
        return 2;
    }
    arguments.data = plain[0];
    table->second(arguments);
    return 0;
}
