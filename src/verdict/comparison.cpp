// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/comparison.hpp"

#include "verdict/statistics.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cassert>
#include <cmath>

namespace ebbmark {

namespace {

constexpr double level = 0.05;
constexpr double power = 0.8;

/// Margins of "shown unchanged": 5 % is the just noticeable difference of ISO 3382-1:2009 Table A.1; below
/// 200 Hz single bands scatter by more than that and ringing is judged more coarsely (common practice, no
/// source).
double margin_of(const Band& band) {
    return std::log(band.nominal_hz < 200 ? 1.15 : 1.05);
}

double to_percent(double log_ratio) {
    return 100 * std::expm1(log_ratio);
}

/// Logarithms of the values of one band that enter the comparison, and what had to stay out.
struct Sample {
    std::vector<double> before, after; ///< paired: same length, same order
    std::vector<double>
        bounded_before; ///< before-values of those positions whose after-value is only a bound
    double highest_bound_s = 0;
    std::optional<Empty> why_left_out;
};

void note_left_out(Sample& sample, const BandDecay& before, const BandDecay& after) {
    if (before.t20_s && after.at_most_s) {
        sample.bounded_before.push_back(std::log(*before.t20_s));
        sample.highest_bound_s = std::max(sample.highest_bound_s, *after.at_most_s);
    }
    if (!sample.why_left_out)
        sample.why_left_out = before.t20_s ? after.t20_s.empty : before.t20_s.empty;
}

Sample paired_sample(const std::vector<ResponseDecay>& before, const std::vector<ResponseDecay>& after,
                     std::size_t band) {
    Sample sample;
    for (std::size_t i = 0; i < before.size(); ++i) {
        const BandDecay& b = before[i].bands[band];
        const BandDecay& a = after[i].bands[band];
        if (b.t20_s && a.t20_s) {
            sample.before.push_back(std::log(*b.t20_s));
            sample.after.push_back(std::log(*a.t20_s));
        } else {
            note_left_out(sample, b, a);
        }
    }
    return sample;
}

Sample unpaired_sample(const std::vector<ResponseDecay>& before, const std::vector<ResponseDecay>& after,
                       std::size_t band) {
    Sample sample;
    for (const ResponseDecay& response : before) {
        if (const BandDecay& b = response.bands[band]; b.t20_s)
            sample.before.push_back(std::log(*b.t20_s));
        else if (!sample.why_left_out)
            sample.why_left_out = b.t20_s.empty;
    }
    for (const ResponseDecay& response : after) {
        const BandDecay& a = response.bands[band];
        if (a.t20_s)
            sample.after.push_back(std::log(*a.t20_s));
        else
            note_left_out(sample, before.front().bands[band], a);
    }
    return sample;
}

double mean(const std::vector<double>& values) {
    double sum = 0;
    for (const double value : values)
        sum += value;
    return sum / static_cast<double>(values.size());
}

/// The change in ln T with its scatter; nothing where fewer than two values stand on either side.
std::optional<MeanEstimate> change_of(const Sample& sample, bool paired) {
    if (sample.before.size() < 2 || sample.after.size() < 2)
        return {};
    if (!paired)
        return welch_difference(sample.before, sample.after);
    std::vector<double> differences(sample.before.size());
    for (std::size_t i = 0; i < differences.size(); ++i)
        differences[i] = sample.after[i] - sample.before[i];
    return mean_of(differences);
}

std::string percent_shorter(double before_s, double bound_s) {
    return fmt::format("{:.0f} %", 100 * (1 - bound_s / before_s));
}

void describe_bounds(BandFinding& finding, const Sample& sample, std::size_t positions) {
    if (sample.bounded_before.empty())
        return;
    if (sample.after.empty()) {
        finding.before_s = std::exp(mean(sample.bounded_before));
        finding.after_at_most_s = sample.highest_bound_s;
        if (sample.highest_bound_s < *finding.before_s)
            finding.notes.push_back(fmt::format(
                "After, the decay is shorter than the band filter can show: at least {} shorter than before.",
                percent_shorter(*finding.before_s, sample.highest_bound_s)));
    } else {
        finding.notes.push_back(
            fmt::format("At {} of {} positions the decay after is shorter than the band filter can "
                        "show; they are left out, so the change is understated.",
                        sample.bounded_before.size(), positions));
    }
}

BandFinding describe(const Band& band, const Sample& sample, const std::optional<MeanEstimate>& change,
                     std::size_t positions, bool paired) {
    BandFinding finding;
    finding.band = band;
    finding.positions = static_cast<int>(std::min(sample.before.size(), sample.after.size()));
    if (!sample.before.empty())
        finding.before_s = std::exp(mean(sample.before));
    if (!sample.after.empty())
        finding.after_s = std::exp(mean(sample.after));
    describe_bounds(finding, sample, positions);
    if (finding.positions == 0) {
        finding.change_percent = Measured::none(sample.why_left_out.value_or(Empty::noise));
        return finding;
    }
    finding.change_percent = Measured::of(to_percent(mean(sample.after) - mean(sample.before)));
    if (!change) {
        finding.notes.push_back(fmt::format("One {} only: no interval and no finding can be given.",
                                            paired ? "pair of positions" : "value in a state"));
        return finding;
    }
    const double half = half_width(*change, 1 - level);
    finding.change_percent.low = to_percent(change->mean - half);
    finding.change_percent.high = to_percent(change->mean + half);
    return finding;
}

Finding judge(const MeanEstimate& change, double adjusted_p, const Band& band) {
    if (adjusted_p <= level)
        return change.mean < 0 ? Finding::shorter : Finding::longer;
    return equivalence_p(change, margin_of(band)) <= level ? Finding::shown_unchanged
                                                           : Finding::no_change_shown;
}

/// Judges all bands together. The smallest showable change is that of the most cautious step of the
/// procedure.
void judge_all(std::vector<BandFinding>& bands, const std::vector<std::optional<MeanEstimate>>& changes) {
    std::vector<double> p_values;
    for (const auto& change : changes)
        if (change)
            p_values.push_back(p_value(*change));
    const auto adjusted = holm(p_values);
    const double strictest = level / std::max<double>(1, static_cast<double>(p_values.size()));
    std::size_t next = 0;
    for (std::size_t i = 0; i < bands.size(); ++i) {
        if (!changes[i])
            continue;
        bands[i].finding = judge(*changes[i], adjusted[next++], bands[i].band);
        bands[i].could_show_percent = -to_percent(-smallest_showable(*changes[i], strictest, power));
    }
}

} // namespace

std::string_view name(Finding finding) {
    switch (finding) {
    case Finding::shorter:
        return "shorter";
    case Finding::longer:
        return "longer";
    case Finding::shown_unchanged:
        return "shown unchanged";
    case Finding::no_change_shown:
        return "no change shown";
    case Finding::not_measurable:
        return "not measurable";
    }
    return "";
}

std::string_view name(Metric metric) {
    return metric == Metric::t20 ? "t20" : "t30";
}

Comparison compare(const std::vector<ResponseDecay>& before, const std::vector<ResponseDecay>& after,
                   const CompareOptions& options) {
    assert(!before.empty() && !after.empty() && (!options.paired || before.size() == after.size()));
    Comparison result;
    result.paired = options.paired;
    result.pairs = static_cast<int>(std::min(before.size(), after.size()));
    std::vector<std::optional<MeanEstimate>> changes;
    for (std::size_t band = 0; band < before.front().bands.size(); ++band) {
        const Sample sample =
            options.paired ? paired_sample(before, after, band) : unpaired_sample(before, after, band);
        changes.push_back(change_of(sample, options.paired));
        result.bands.push_back(
            describe(before.front().bands[band].band, sample, changes.back(), after.size(), options.paired));
    }
    judge_all(result.bands, changes);
    return result;
}

} // namespace ebbmark
