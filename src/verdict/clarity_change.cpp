// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/clarity_change.hpp"

#include "verdict/judgement.hpp"
#include "verdict/statistics.hpp"

#include <cmath>

namespace ebbmark {

namespace {

struct Measure {
    const char* name;
    Measured BandDecay::*value;
    bool by_ratio;
};

constexpr Measure measures[] = {{"edt_s", &BandDecay::edt_s, true},
                                {"c50_db", &BandDecay::c50_db, false},
                                {"c80_db", &BandDecay::c80_db, false},
                                {"d50_percent", &BandDecay::d50_percent, false},
                                {"ts_ms", &BandDecay::ts_ms, false}};

Measured change_of(const std::vector<double>& differences, bool by_ratio) {
    if (differences.size() < 2)
        return Measured::of(by_ratio ? to_percent(differences.front()) : differences.front());
    const MeanEstimate mean = mean_of(differences);
    if (by_ratio)
        return percent_with_interval(mean);
    const double half = half_width(mean, 0.95);
    return {mean.mean, mean.mean - half, mean.mean + half, {}};
}

} // namespace

std::vector<ClarityChange> clarity_changes(const std::vector<ResponseDecay>& before,
                                           const std::vector<ResponseDecay>& after) {
    std::vector<ClarityChange> changes;
    for (std::size_t band = 0; band < before.front().bands.size(); ++band)
        for (const Measure& measure : measures) {
            std::vector<double> first, second, differences;
            for (std::size_t i = 0; i < before.size(); ++i) {
                const Measured &b = before[i].bands[band].*measure.value,
                               &a = after[i].bands[band].*measure.value;
                if (!b || !a)
                    continue;
                first.push_back(measure.by_ratio ? std::log(*b) : *b);
                second.push_back(measure.by_ratio ? std::log(*a) : *a);
                differences.push_back(second.back() - first.back());
            }
            if (differences.empty())
                continue;
            const auto back = [&](double mean) { return measure.by_ratio ? std::exp(mean) : mean; };
            changes.push_back({before.front().bands[band].band, measure.name,
                               static_cast<int>(differences.size()), back(sample_mean(first)),
                               back(sample_mean(second)), change_of(differences, measure.by_ratio)});
        }
    return changes;
}

} // namespace ebbmark
