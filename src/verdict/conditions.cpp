// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/conditions.hpp"

#include "room/air.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace ebbmark {

namespace {

/// Limits of what follows from a difference: common practice, no source.
constexpr double blocking_difference_c = 10;
constexpr double negligible_difference_c = 0.5;
constexpr double louder_noise_db = 6;
constexpr double level_difference_db = 6;

/// Indoor air where nobody looked at an instrument.
constexpr double indoor_c[] = {15, 21, 27};
constexpr double indoor_percent[] = {20, 50, 80};

/// Mean and variance of a quantity that is anything between two ends with equal likelihood.
struct Guess {
    double mean = 0, variance = 0;
};

/// Decay rate in 1/s of the energy by the air alone: c m (room/air.hpp).
Guess air_rate(const VisitConditions& visit, double hz) {
    std::vector<double> rates;
    for (const double c : indoor_c)
        for (const double percent : indoor_percent) {
            const Air air{visit.celsius.value_or(c), visit.humidity_percent.value_or(percent)};
            rates.push_back(speed_of_sound(air) * air_attenuation_per_m(hz, air));
        }
    const auto [low, high] = std::minmax_element(rates.begin(), rates.end());
    const double range = *high - *low;
    return {0.5 * (*low + *high), range * range / 12}; // JCGM 100:2008 4.3.7
}

/// Energy decay rate of a decay time: 6 ln 10 / T.
double energy_rate(double decay_s) {
    return 6 * std::log(10.0) / decay_s;
}

std::string recorded(const std::optional<double>& value, const char* unit) {
    return value ? fmt::format("{:.1f} {}", *value, unit) : "not recorded";
}

std::string recorded(const std::string& text) {
    return text.empty() ? "not recorded" : text;
}

void weigh_air(ConditionsResult& result, const VisitConditions& before, const VisitConditions& after,
               const std::vector<Band>& bands, const std::vector<std::optional<double>>& after_s) {
    const bool guessed =
        !before.celsius || !after.celsius || !before.humidity_percent || !after.humidity_percent;
    double most = 0;
    for (std::size_t b = 0; b < bands.size(); ++b) {
        if (!after_s[b])
            continue;
        const Guess first = air_rate(before, bands[b].exact_hz), second = air_rate(after, bands[b].exact_hz);
        const double rate = energy_rate(*after_s[b]);
        // With the air of the visit before, the decay after would have the rate `rate − difference`. The air
        // cannot be more than the whole decay.
        const double share = std::clamp((second.mean - first.mean) / rate, -0.9, 0.9);
        result.correction[b] = -std::log1p(-share);
        result.common_variance[b] = (first.variance + second.variance) / (rate * rate);
        most = std::max(most, guessed ? std::sqrt(result.common_variance[b]) : std::abs(share));
    }
    const std::string reach = fmt::format("{:.1f} %", 100 * most);
    result.conditions.push_back(
        {"air humidity", recorded(before.humidity_percent, "%"), recorded(after.humidity_percent, "%"),
         guessed ? ConditionEffect::widened : ConditionEffect::corrected,
         guessed ? "intervals widened by up to " + reach + " (absorption by air, not recorded in full)"
                 : "decay times corrected by up to " + reach + " (absorption by air)"});
}

void weigh_temperature(ConditionsResult& result, const VisitConditions& before,
                       const VisitConditions& after) {
    Condition condition{"air temperature",     recorded(before.celsius, "°C"), recorded(after.celsius, "°C"),
                        ConditionEffect::none, "no effect to be seen",         before.celsius,
                        after.celsius};
    if (!before.celsius || !after.celsius) {
        condition.effect = "the modes' shift by the air is not known";
    } else {
        const double difference = *after.celsius - *before.celsius;
        result.mode_shift = *speed_ratio(before, after) - 1;
        if (std::abs(difference) > blocking_difference_c) {
            condition.kind = ConditionEffect::blocked;
            condition.effect = "too different to compare";
        } else if (std::abs(difference) >= negligible_difference_c) {
            condition.kind = ConditionEffect::corrected;
            condition.effect = fmt::format("modes {:.1f} % {}, corrected", 100 * std::abs(result.mode_shift),
                                           result.mode_shift > 0 ? "higher" : "lower");
        }
    }
    result.conditions.push_back(condition);
}

/// Texts that must be the same; nothing is said where neither visit recorded anything.
void weigh_text(ConditionsResult& result, const std::string& what, const std::string& before,
                const std::string& after, ConditionEffect where_different, const char* effect) {
    if (before.empty() && after.empty())
        return;
    Condition condition{what, recorded(before), recorded(after), ConditionEffect::none, "the same"};
    if (before.empty() || after.empty()) {
        condition.effect = "not recorded in both visits: cannot be compared";
    } else if (before != after) {
        condition.kind = where_different;
        condition.effect = effect;
    }
    result.conditions.push_back(condition);
}

void weigh_patches(ConditionsResult& result, const VisitConditions& before, const VisitConditions& after,
                   const char* effect) {
    auto names = before.patches;
    names.insert(after.patches.begin(), after.patches.end());
    const auto state = [](const VisitConditions& visit, const std::string& name) {
        const auto found = visit.patches.find(name);
        return found == visit.patches.end() ? std::string() : found->second;
    };
    for (const auto& [name, any] : names)
        weigh_text(result, name, state(before, name), state(after, name), ConditionEffect::blocked, effect);
}

void weigh_levels(ConditionsResult& result, const VisitConditions& before, const VisitConditions& after) {
    if (before.noise_db && after.noise_db) {
        const double louder = *after.noise_db - *before.noise_db;
        result.conditions.push_back(
            {"noise", recorded(before.noise_db, "dB"), recorded(after.noise_db, "dB"), ConditionEffect::none,
             std::abs(louder) > louder_noise_db ? "decay range differs; values without enough of it are empty"
                                                : "similar"});
    }
    if (before.level_db && after.level_db)
        result.conditions.push_back(
            {"level", recorded(before.level_db, "dB"), recorded(after.level_db, "dB"), ConditionEffect::none,
             std::abs(*after.level_db - *before.level_db) > level_difference_db
                 ? "differs; decay times do not depend on it while the loudspeaker is not overdriven"
                 : "similar"});
}

} // namespace

std::optional<double> speed_ratio(const VisitConditions& before, const VisitConditions& after) {
    if (!before.celsius || !after.celsius)
        return {};
    const auto speed = [](const VisitConditions& visit) {
        return speed_of_sound(Air{*visit.celsius, visit.humidity_percent.value_or(Air{}.humidity_percent)});
    };
    return speed(after) / speed(before);
}

ConditionsResult weigh_conditions(const VisitConditions& before, const VisitConditions& after,
                                  const std::vector<Band>& bands,
                                  const std::vector<std::optional<double>>& after_s) {
    ConditionsResult result;
    result.correction.assign(bands.size(), 0);
    result.common_variance.assign(bands.size(), 0);
    weigh_temperature(result, before, after);
    weigh_air(result, before, after, bands, after_s);
    weigh_levels(result, before, after);
    constexpr const char* another = "another room was measured: not comparable";
    weigh_text(result, "doors and windows", before.doors_and_windows, after.doors_and_windows,
               ConditionEffect::blocked, another);
    weigh_patches(result, before, after, another);
    weigh_text(result, "furniture", before.furniture, after.furniture, ConditionEffect::blocked, another);
    weigh_text(result, "persons", before.persons, after.persons, ConditionEffect::blocked, another);
    weigh_text(result, "positions", before.positions, after.positions, ConditionEffect::none,
               "found in different ways; the return shows how well");
    weigh_text(result, "ventilation", before.ventilation, after.ventilation, ConditionEffect::none,
               "noise may differ");
    weigh_text(result, "equipment", before.equipment, after.equipment, ConditionEffect::none,
               "differs; decay times do not depend on it, levels do");
    for (const Condition& condition : result.conditions)
        result.blocked = result.blocked || condition.kind == ConditionEffect::blocked;
    return result;
}

} // namespace ebbmark
