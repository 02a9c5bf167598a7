// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/band_values.hpp"

#include "base/normal.hpp"

#include <algorithm>
#include <cmath>
#include <map>

namespace ebbmark {

namespace {

/// Width of a 95 % interval in standard deviations of the normal distribution.
constexpr double widths_of_95 = 2 * normal_two_sided_95;

void leave_out(BandValues& values, const DecayValue& value) {
    ++values.left_out;
    if (!values.why_left_out)
        values.why_left_out = value.empty;
}

} // namespace

std::string_view name(Metric metric) {
    return metric == Metric::t20 ? "t20" : "t30";
}

double iso_fit_variance(const Band& band, double decay_s, Metric metric) {
    // n = 10 decays per position stand for an integrated response, by the same clause (from memory).
    const double at_product_1 =
        metric == Metric::t20 ? 0.88 * 0.88 * (1 + 1.90 / 10) : 0.55 * 0.55 * (1 + 1.52 / 10);
    return at_product_1 / (band.bandwidth_hz() * decay_s);
}

DecayValue decay_value(const BandDecay& band, Metric metric) {
    const Measured& decay = metric == Metric::t20 ? band.t20_s : band.t30_s;
    DecayValue value;
    value.empty = decay.empty;
    if (decay) {
        value.log_s = std::log(*decay);
        if (decay.low && decay.high && *decay.low > 0 && *decay.high > *decay.low) {
            const double deviation = std::log(*decay.high / *decay.low) / widths_of_95;
            value.fit_variance = deviation * deviation;
        } else {
            value.fit_variance = iso_fit_variance(band.band, *decay, metric);
        }
    } else if (band.at_most_s) {
        value.log_bound = std::log(*band.at_most_s);
        value.fit_variance = iso_fit_variance(band.band, *band.at_most_s, metric);
    }
    return value;
}

int BandValues::bounded() const {
    int count = 0;
    for (const PositionPair& pair : pairs)
        count += !pair.after.log_s;
    for (const DecayValue& value : after)
        count += !value.log_s;
    return count;
}

BandValues paired_values(const std::vector<ResponseDecay>& before, const std::vector<ResponseDecay>& after,
                         std::size_t band, Metric metric) {
    BandValues values;
    values.band = before.front().bands[band].band;
    for (std::size_t i = 0; i < before.size(); ++i) {
        const DecayValue b = decay_value(before[i].bands[band], metric);
        const DecayValue a = decay_value(after[i].bands[band], metric);
        if (b.log_s && (a.log_s || a.log_bound))
            values.pairs.push_back({i, b, a});
        else
            leave_out(values, b.log_s ? a : b);
    }
    return values;
}

namespace {

/// Of several values of one quantity, where each has as much of its own as the others: no surer than one.
DecayValue mean_of_alike(const std::vector<DecayValue>& values) {
    DecayValue mean;
    const auto count = static_cast<double>(values.size());
    const bool bounded =
        std::any_of(values.begin(), values.end(), [](const DecayValue& value) { return !value.log_s; });
    double sum = 0;
    for (const DecayValue& value : values) {
        sum += value.log_s ? *value.log_s : *value.log_bound;
        mean.fit_variance += value.fit_variance / count;
        if (!mean.empty)
            mean.empty = value.empty;
    }
    (bounded ? mean.log_bound : mean.log_s) = sum / count;
    return mean;
}

} // namespace

void join_alike(BandValues& values, const std::vector<std::size_t>& alike,
                const std::vector<bool>& listening) {
    if (alike.empty())
        return;
    std::map<std::size_t, std::vector<PositionPair>> groups;
    for (const PositionPair& pair : values.pairs)
        groups[alike[pair.position]].push_back(pair);
    values.pairs.clear();
    for (auto& [number, pairs] : groups) {
        // What nobody listens at adds nothing to a listening place that it is alike with.
        const auto listened = [&](const PositionPair& pair) {
            return !listening.empty() && listening[pair.position];
        };
        if (std::any_of(pairs.begin(), pairs.end(), listened))
            std::erase_if(pairs, [&](const PositionPair& pair) { return !listened(pair); });
        std::vector<DecayValue> before, after;
        PositionPair joined{pairs.front().position, {}, {}};
        for (const PositionPair& pair : pairs) {
            before.push_back(pair.before);
            after.push_back(pair.after);
            if (pair.position != joined.position)
                joined.also.push_back(pair.position);
        }
        joined.before = mean_of_alike(before);
        joined.after = mean_of_alike(after);
        values.pairs.push_back(std::move(joined));
    }
}

BandValues unpaired_values(const std::vector<ResponseDecay>& before, const std::vector<ResponseDecay>& after,
                           std::size_t band, Metric metric) {
    BandValues values;
    values.band = before.front().bands[band].band;
    for (const ResponseDecay& response : before) {
        const DecayValue b = decay_value(response.bands[band], metric);
        if (b.log_s)
            values.before.push_back(b);
        else
            leave_out(values, b);
    }
    for (const ResponseDecay& response : after) {
        const DecayValue a = decay_value(response.bands[band], metric);
        if (a.log_s || a.log_bound)
            values.after.push_back(a);
        else
            leave_out(values, a);
    }
    return values;
}

} // namespace ebbmark
