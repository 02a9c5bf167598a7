// SPDX-License-Identifier: GPL-3.0-or-later
// How far the modal view is from the truth, over invented rooms whose modes are known, against the joint
// Cramér-Rao bound of each mode's decay time. ringing_scenarios TABLE... [--tuning] [--scenes N] [--positions
// P] [--noise DB]; random numbers for tuning and for judging are apart.
#include "decay/decay.hpp"
#include "modal_scene.hpp"
#include "rates.hpp"
#include "ringing/assurance.hpp"
#include "ringing/leave_outs.hpp"
#include "ringing/naming.hpp"
#include "ringing/pairing.hpp"
#include "ringing/ringing.hpp"
#include "ringing/waterfall.hpp"
#include "room/air.hpp"
#include "room/modes.hpp"
#include "signal/fft.hpp"
#include "verdict/mode_pairs.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <ctime>
#include <functional>
#include <map>
#include <string>

using namespace ebbmark;
using namespace ebbmark::scene;
using namespace ebbmark::tests;

namespace {

struct Setup {
    std::uint64_t first = 2'000'000; ///< start of the judging numbers
    int scenes = 3;                  ///< per room and decay time
    int positions = 0;               ///< 0: 1, 3 and 6 in turn
    double noise_db = 0;             ///< 0: 60 and 40 in turn
};

// A reported mode is a real one where their frequencies differ by less than half the real one's half-power
// width and their decay times by less than a factor of 2.
constexpr double most_widths = 0.5;
const double most_ratio = std::log(2.0);

/// One to one, closest first: for each reported mode the true one, −1 for none, −2 where the true one is
/// taken.
std::vector<int> assigned(const std::vector<TrueMode>& truth, const Ringing& found) {
    struct Candidate {
        double distance;
        std::size_t truth, found;
    };
    std::vector<Candidate> candidates;
    for (std::size_t i = 0; i < truth.size(); ++i)
        for (std::size_t k = 0; k < found.modes.size(); ++k) {
            const double widths = std::abs(*found.modes[k].hz - truth[i].hz) / (2.2 / truth[i].t60_s);
            const double ratio = std::abs(std::log(*found.modes[k].t60_s / truth[i].t60_s));
            if (widths < most_widths && ratio < most_ratio)
                candidates.push_back({widths + 0.3 * ratio, i, k});
        }
    std::sort(candidates.begin(), candidates.end(),
              [](const Candidate& a, const Candidate& b) { return a.distance < b.distance; });
    std::vector<int> of(found.modes.size(), -1);
    std::vector<bool> taken(truth.size(), false);
    for (const Candidate& c : candidates)
        if (of[c.found] < 0) {
            of[c.found] = taken[c.truth] ? -2 : static_cast<int>(c.truth);
            taken[c.truth] = true;
        }
    return of;
}

constexpr double from_hz = 20, to_hz = 200, judged_to_hz = 195;

void for_each_scene(const Setup& setup, int positions, double noise_db, double drift,
                    const std::function<void(const SceneOptions&)>& run) {
    std::uint64_t number = 0;
    for (const Box& box : invented_rooms())
        for (const double t60 : {0.2, 0.35, 0.6, 1.0})
            for (int i = 0; i < setup.scenes; ++i) {
                SceneOptions options;
                options.box = box;
                options.positions = positions;
                options.t60_s = t60;
                options.noise_db = noise_db;
                options.drift_celsius = drift;
                options.seed = setup.first + 1000 * number++;
                run(options);
            }
}

void rates(const Setup& setup, int positions, double noise_db, double drift) {
    int well = 0, well_found = 0, fair = 0, fair_found = 0, reported = 0, wrong = 0, doubled = 0;
    int beyond = 0, held = 0, judged = 0, held_hz = 0;
    std::vector<double> over_bound, hz_over_bound, hz_errors, t60_errors;
    double squares = 0;
    for_each_scene(setup, positions, noise_db, drift, [&](const SceneOptions& options) {
        const Scene room = render(options, modes_of(options));
        const auto bounds = joint_bound(room);
        const Ringing found = measure_ringing(room.responses, {from_hz, to_hz});
        const auto of = assigned(room.modes, found);
        std::map<int, const MeasuredMode*> by_truth;
        for (std::size_t k = 0; k < of.size(); ++k) {
            ++reported;
            wrong += of[k] == -1;
            doubled += of[k] == -2;
            if (of[k] < 0)
                continue;
            const MeasuredMode& mode = found.modes[k];
            const TrueMode& truth = room.modes[static_cast<std::size_t>(of[k])];
            by_truth[of[k]] = &mode;
            const double z = std::log(*mode.t60_s / truth.t60_s) / mode.t60_deviation;
            squares += z * z;
            beyond += std::abs(z) > 3;
            held += truth.t60_s >= *mode.t60_s.low && truth.t60_s <= *mode.t60_s.high;
            held_hz += truth.hz >= *mode.hz.low && truth.hz <= *mode.hz.high;
            ++judged;
        }
        for (std::size_t i = 0; i < bounds.size(); ++i) {
            const TrueMode& truth = room.modes[i];
            if (truth.hz < from_hz || truth.hz > judged_to_hz || bounds[i].t60 > 0.1)
                continue;
            const auto it = by_truth.find(static_cast<int>(i));
            if (bounds[i].t60 > 0.05) {
                ++fair;
                fair_found += it != by_truth.end();
                continue;
            }
            ++well;
            if (it == by_truth.end())
                continue;
            ++well_found;
            const double t60_error = std::abs(*it->second->t60_s / truth.t60_s - 1);
            const double hz_error = std::abs(*it->second->hz / truth.hz - 1);
            if (bounds[i].t60 <= 0.03) {
                over_bound.push_back(t60_error / bounds[i].t60);
                hz_over_bound.push_back(hz_error / bounds[i].hz);
            }
            if (bounds[i].t60 < 0.01) {
                t60_errors.push_back(100 * t60_error);
                hz_errors.push_back(100 * hz_error);
            }
        }
    });
    fmt::print("\n{} positions, {} dB, drift {} °C\n", positions, noise_db, drift);
    fmt::print("  bound ≤ 5 %: missed {}\n", rate(well - well_found, well));
    fmt::print("  bound 5-10 %: found {}\n", rate(fair_found, fair));
    fmt::print("  reported: false {}, doubled {}\n", rate(wrong, reported), rate(doubled, reported));
    fmt::print("  |error| over bound where it is ≤ 3 %: T60 median {:.2f}, 95 % {:.2f}; frequency {:.2f}, "
               "{:.2f} ({})\n",
               quantile(over_bound, 0.5), quantile(over_bound, 0.95), quantile(hz_over_bound, 0.5),
               quantile(hz_over_bound, 0.95), over_bound.size());
    fmt::print("  bound < 1 %: frequency {:.4f} / {:.4f} %, T60 {:.2f} / {:.2f} % (median / 95 %, {})\n",
               quantile(hz_errors, 0.5), quantile(hz_errors, 0.95), quantile(t60_errors, 0.5),
               quantile(t60_errors, 0.95), hz_errors.size());
    fmt::print("  T60 error over its own deviation: sd {:.2f}, beyond 3 {}\n", std::sqrt(squares / judged),
               rate(beyond, judged));
    fmt::print("  95 % interval holds: T60 {}, frequency {}\n", rate(held, judged), rate(held_hz, judged));
}

void table_rates(const Setup& setup) {
    for (const double noise_db : {60.0, 40.0})
        for (const int positions : {6, 3, 1})
            for (const double drift : {0.0, 1.0}) {
                const bool asked = (setup.noise_db == 0 || setup.noise_db == noise_db) &&
                                   (setup.positions == 0 || setup.positions == positions);
                if (asked && (positions > 1 || drift == 0))
                    rates(setup, positions, noise_db, drift);
            }
}

/// What share of modes can be measured at all.
void table_bounds(const Setup& setup) {
    const std::vector<double> edges = {0, 60, 100, 150, 200};
    for (const double noise_db : {60.0, 40.0})
        for (const int positions : {1, 3, 6}) {
            std::vector<int> all(4, 0), within(4, 0);
            for_each_scene(setup, positions, noise_db, 0, [&](const SceneOptions& options) {
                const Scene room = render(options, modes_of(options));
                const auto bounds = joint_bound(room);
                for (std::size_t i = 0; i < bounds.size(); ++i)
                    for (std::size_t b = 0; b < 4; ++b)
                        if (room.modes[i].hz >= edges[b] && room.modes[i].hz < edges[b + 1]) {
                            ++all[b];
                            within[b] += bounds[i].t60 <= 0.05;
                        }
            });
            fmt::print("{} positions, {} dB: bound ≤ 5 %", positions, noise_db);
            for (std::size_t b = 0; b < 4; ++b)
                fmt::print(", {}-{} Hz {:.0f} % of {}", edges[b], edges[b + 1], 100.0 * within[b] / all[b],
                           all[b]);
            fmt::print("\n");
        }
}

/// Before and after: decay times of all modes shortened by `factor` (1: nothing changed), one by one a little
/// differently and moved down by their damping.
void pairs(const Setup& setup, int positions, double noise_db, double factor) {
    int judged = 0, right = 0, changed = 0, could = 0, seen = 0, groups = 0, untold = 0;
    constexpr double level = 0.025; // two-sided
    for_each_scene(setup, positions, noise_db, 0, [&](const SceneOptions& options) {
        auto modes = modes_of(options);
        const Scene before = render(options, modes);
        Random random(options.seed + 77);
        for (TrueMode& mode : modes) {
            const double own = factor == 1 ? 1 : factor * std::exp(factor == 0.9 ? 0 : 0.2 * random.normal());
            // A springy absorber moves a mode by about half of what it adds to its width.
            const double added = 2.2 / (mode.t60_s * own) - 2.2 / mode.t60_s;
            mode.hz -= 0.25 * std::max(0.0, added);
            mode.t60_s *= own;
        }
        SceneOptions later = options;
        later.seed += 500;
        const Scene after = render(later, modes);
        const auto bounds = joint_bound(before), bounds_after = joint_bound(after);
        const ResampledRinging a = resample_ringing(before.responses, {from_hz, to_hz});
        const ResampledRinging b = resample_ringing(after.responses, {from_hz, to_hz});
        const auto of_a = assigned(before.modes, a.whole), of_b = assigned(after.modes, b.whole);
        const auto found = pair_modes(a.whole, b.whole);
        const auto changes = mode_pairs(a, b, found, PairedPlaces::same);
        for (std::size_t k = 0; k < changes.size(); ++k) {
            const PairedMode& pair = found[k];
            if (pair.after.empty() || of_a[pair.before[0]] < 0)
                continue;
            const auto i = static_cast<std::size_t>(of_a[pair.before[0]]);
            if (std::max(bounds[i].t60, bounds_after[i].t60) > 0.05 || before.modes[i].hz > judged_to_hz)
                continue;
            ++judged;
            groups += pair.before.size() > 1;
            right += of_b[pair.after[0]] == of_a[pair.before[0]];
            const bool called = changes[k].change && p_value(*changes[k].change) < level;
            untold += !changes[k].change;
            changed += called;
            // A change of 10 % stands out in 97.5 % where it is 4.2 deviations of the ratio.
            if (std::hypot(bounds[i].t60, bounds_after[i].t60) < 0.105 / 4.2) {
                ++could;
                seen += called;
            }
        }
    });
    fmt::print("{} positions, {} dB, decay times × {}: paired right {}; in groups {}; without a change {}; "
               "called a change {}; of those whose bound allows 10 % {}\n",
               positions, noise_db, factor, rate(right, judged), rate(groups, judged), rate(untold, judged),
               rate(changed, judged), rate(seen, could));
}

void table_pairs(const Setup& setup) {
    for (const double factor : {1.0, 0.9, 0.6})
        pairs(setup, setup.positions ? setup.positions : 6, setup.noise_db > 0 ? setup.noise_db : 60, factor);
}

/// The least adjusted p of a job's modes (Holm), and how many were tested.
std::pair<double, int> least_p(const Scene& before, const Scene& after, bool same_positions) {
    const ResampledRinging first = resample_ringing(before.responses, {from_hz, to_hz}),
                           second = resample_ringing(after.responses, {from_hz, to_hz});
    const auto pairs = pair_modes(first.whole, second.whole, {1, same_positions});
    std::vector<double> p_values;
    for (const ModePair& mode :
         mode_pairs(first, second, pairs, same_positions ? PairedPlaces::same : PairedPlaces::different))
        if (mode.change)
            p_values.push_back(p_value(*mode.change));
    double least = 1;
    for (const double p : holm(p_values))
        least = std::min(least, p);
    return {least, static_cast<int>(p_values.size())};
}

/// Chance of any false finding among the modes of a job in which nothing changed, with the share of the 5 %
/// that a comparison gives them beside its bands (1 %), and if they had all of it.
void family(const Setup& setup, bool same_positions) {
    for (const double noise_db : {60.0, 40.0}) {
        int jobs = 0, modes = 0, any_beside_bands = 0, any_alone = 0;
        const int positions = setup.positions ? setup.positions : 6;
        for_each_scene(setup, positions, noise_db, 1, [&](const SceneOptions& options) {
            SceneOptions later = options;
            later.seed += 500;
            SceneOptions room = options;
            room.places_seed = same_positions ? 0 : options.seed + 250;
            const auto [least, tested] =
                least_p(render(options, modes_of(options)), render(later, modes_of(room)), same_positions);
            ++jobs;
            modes += tested;
            any_beside_bands += least < 0.01;
            any_alone += least < 0.05;
        });
        fmt::print(
            "{} positions{}, {} dB, 1 °C drift, nothing changed, {} modes tested: any false finding at "
            "1 % {}, at 5 % {}\n",
            positions, same_positions ? "" : " against others", noise_db, modes, rate(any_beside_bands, jobs),
            rate(any_alone, jobs));
    }
}

void table_family(const Setup& setup) {
    family(setup, true);
}

void table_moved(const Setup& setup) {
    family(setup, false);
}

/// The true mode within one half-power width whose shape is most like the measured one.
std::array<int, 3> most_alike(const std::vector<TrueMode>& truth, const MeasuredMode& mode) {
    std::array<int, 3> found{};
    double best = 0;
    for (const TrueMode& one : truth)
        if (std::abs(*mode.hz - one.hz) < 2.2 / one.t60_s &&
            modal_assurance(mode.amplitude, one.amplitude) > best) {
            best = modal_assurance(mode.amplitude, one.amplitude);
            found = one.order;
        }
    return found;
}

/// Names where the dimensions are known to 2 cm and the walls move all modes by up to 3 %.
void table_names(const Setup& setup) {
    for (const bool places_known : {false, true}) {
        int named = 0, wrong = 0, all = 0;
        for_each_scene(setup, 6, 60, 0, [&](const SceneOptions& options) {
            const Scene room = render(options, modes_of(options));
            Ringing found = measure_ringing(room.responses, {from_hz, to_hz});
            Random random(options.seed + 5);
            const double speed =
                speed_of_sound(Air{options.celsius}) * (1 + 0.03 * (2 * random.uniform() - 1));
            ExpectedRoom expected;
            for (std::size_t i = 0; i < 3; ++i)
                expected.axis_hz[i] =
                    speed / (2 * (options.box.edges_m[i] + 0.02 * (2 * random.uniform() - 1)));
            if (places_known)
                expected.shape = [&](const std::array<int, 3>& orders) {
                    std::vector<double> shape(6, 0.0);
                    for (const TrueMode& mode : room.modes)
                        if (mode.order == orders)
                            for (std::size_t p = 0; p < 6; ++p)
                                shape[p] = mode.amplitude[p].imag();
                    return shape;
                };
            name_modes(found, expected);
            for (const MeasuredMode& mode : found.modes) {
                ++all;
                named += mode.room_mode.has_value();
                wrong += mode.room_mode && *mode.room_mode != most_alike(room.modes, mode);
            }
        });
        fmt::print("places {}: named {}, wrong {}\n", places_known ? "known" : "unknown", rate(named, all),
                   rate(wrong, named));
    }
}

/// A mode at 31.5 Hz with T60 = 0.25 s between neighbours 3 Hz away: modal view against third-octave T20.
void table_crowded(const Setup& setup) {
    for (const int positions : {6, 1}) {
        int count = 0, within = 0, none = 0, off = 0, t20_off = 0, bands = 0;
        for (int i = 0; i < 60 * setup.scenes; ++i) {
            Random random(setup.first + static_cast<std::uint64_t>(i));
            Scene room;
            for (const double hz : {28.5, 31.5, 34.5}) {
                room.modes.push_back({{}, hz, 0.25, {}});
                for (int p = 0; p < positions; ++p)
                    room.modes.back().amplitude.emplace_back(0, random.normal());
            }
            SceneOptions options;
            options.positions = positions;
            options.seconds = 2;
            options.t60_s = 0.25;
            options.seed = setup.first + static_cast<std::uint64_t>(i);
            room = render(options, room.modes);
            const Ringing found = measure_ringing(room.responses, {from_hz, to_hz});
            double best = 10;
            for (const MeasuredMode& mode : found.modes)
                if (std::abs(*mode.hz - 31.5) < 1.5)
                    best = std::min(best, std::abs(*mode.t60_s / 0.25 - 1));
            ++count;
            within += best < 0.05;
            none += best == 10;
            off += best < 10 && best > 0.2;
            DecayOptions third;
            third.from_hz = third.to_hz = 31.5;
            for (const Signal& response : room.responses)
                for (const BandDecay& band : analyse_decay(response, third).bands) {
                    ++bands;
                    t20_off += !band.t20_s || std::abs(*band.t20_s / 0.25 - 1) > 0.2;
                }
        }
        fmt::print("{} positions: T60 within 5 % {}; no single mode given {}; off by more than 20 % {}\n"
                   "  third-octave T20 off by more than 20 % or empty {}\n",
                   positions, rate(within, count), rate(none, count), rate(off, count), rate(t20_off, bands));
    }
}

void table_speed(const Setup& setup) {
    for (const double t60 : {0.25, 0.5, 1.0}) {
        SceneOptions options;
        options.box = invented_rooms()[1];
        options.t60_s = t60;
        options.rate_hz = 48000;
        options.seed = setup.first;
        const Scene room = render(options, modes_of(options));
        double best = 1e9;
        std::size_t modes = 0;
        for (int i = 0; i < 5; ++i) {
            const std::clock_t start = std::clock();
            modes = measure_ringing(room.responses, {12, 200}).modes.size();
            best = std::min(best, static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC);
        }
        fmt::print("six positions of 3 s at 48 kHz, 12-200 Hz, T60 {} s: {:.0f} ms, {} modes\n", t60,
                   1000 * best, modes);
    }
}

double fastest_ms(const std::function<void()>& run) {
    double best = 1e9;
    for (int i = 0; i < 20; ++i) {
        const std::clock_t start = std::clock();
        run();
        best = std::min(best, 1000.0 * static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC);
    }
    return best;
}

/// 100 more slices, and 100 transforms of about their size.
void table_slices(const Setup& setup) {
    SceneOptions scene;
    scene.box = invented_rooms()[1];
    scene.positions = 1;
    scene.rate_hz = 48000;
    scene.seed = setup.first;
    const Scene room = render(scene, modes_of(scene));
    WaterfallOptions few, many;
    many.slices = few.slices + 100;
    const double first = fastest_ms([&] { make_waterfall(room.responses[0], few); });
    const double second = fastest_ms([&] { make_waterfall(room.responses[0], many); });
    RealFft fft(fast_fft_size(4096));
    const std::vector<double> piece(860, 1.0);
    const double transforms = fastest_ms([&] {
        for (int i = 0; i < 100; ++i)
            fft.spectrum_of(piece);
    });
    fmt::print("waterfall of 3 s at 48 kHz, {} slices: {:.1f} ms; 100 slices more {:.1f} ms, of these about "
               "{:.1f} ms "
               "in transforms\n",
               few.slices, first, second - first, transforms);
}

const std::map<std::string, void (*)(const Setup&)> tables = {
    {"rates", table_rates},     {"bounds", table_bounds}, {"pairs", table_pairs},
    {"family", table_family},   {"moved", table_moved},   {"names", table_names},
    {"crowded", table_crowded}, {"speed", table_speed},   {"slices", table_slices}};

} // namespace

int main(int count, char** words) {
    Setup setup;
    std::vector<std::string> asked;
    for (int i = 1; i < count; ++i) {
        const std::string word = words[i];
        const bool value = i + 1 < count;
        if (word == "--tuning")
            setup.first = 1000;
        else if (word == "--scenes" && value)
            setup.scenes = std::atoi(words[++i]);
        else if (word == "--positions" && value)
            setup.positions = std::atoi(words[++i]);
        else if (word == "--noise" && value)
            setup.noise_db = std::atof(words[++i]);
        else
            asked.push_back(word);
    }
    for (const std::string& name : asked) {
        const auto found = tables.find(name);
        if (found == tables.end()) {
            fmt::print("tables: rates, bounds, pairs, family, moved, names, crowded, speed, slices\n");
            return 2;
        }
        fmt::print("\n== {}\n", name);
        found->second(setup);
    }
}
