// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/promise_answer.hpp"

#include "base/normal.hpp"
#include "verdict/judgement.hpp"

#include <algorithm>
#include <cmath>
#include <set>
#include <sstream>

namespace ebbmark {

namespace {

constexpr double normal_of_power = 0.8416; // one-sided quantile of a power of 80 %

const PromisedPart* part_of(const std::vector<PromisedPart>& parts, const Band& band) {
    const auto found =
        std::find_if(parts.begin(), parts.end(), [&](const PromisedPart& part) { return part.band == band; });
    return found != parts.end() && found->after_s && found->before_s > 0 ? &*found : nullptr;
}

} // namespace

Measured PromisedMean::percent() const {
    if (!log)
        return Measured::none(Empty::source);
    Measured percent = Measured::of(to_percent(*log));
    if (low && high) {
        percent.low = to_percent(*low);
        percent.high = to_percent(*high);
    }
    return percent;
}

PromisedMean promised_mean(const std::vector<PromisedPart>& parts, const Question& question) {
    PromisedMean mean;
    bool with_interval = true, with_parts = true;
    PredictedParts sums;
    double all = 0, weights = 0, sum = 0, low = 0, high = 0;
    const BandWidth width = parts.empty() ? BandWidth::third : parts.front().band.width;
    for (const Band& band : bands_between(width, question.from_hz, question.to_hz)) {
        const double weight = band.bandwidth_hz();
        all += weight;
        const PromisedPart* part = part_of(parts, band);
        if (!part) {
            mean.missing.push_back(band);
            continue;
        }
        const Measured& after_s = part->after_s;
        mean.bands.push_back(band);
        weights += weight;
        sum += weight * std::log(*after_s / part->before_s);
        low += weight * std::log(after_s.low.value_or(*after_s) / part->before_s);
        high += weight * std::log(after_s.high.value_or(*after_s) / part->before_s);
        with_interval = with_interval && after_s.low && after_s.high;
        with_parts = with_parts && part->parts;
        const PredictedParts own = part->parts.value_or(PredictedParts{});
        sums = {sums.before + weight * own.before, sums.wool + weight * own.wool,
                sums.model + weight * own.model};
    }
    mean.weight = all > 0 ? weights / all : 0;
    if (weights <= 0 || mean.weight < least_predicted_weight)
        return mean;
    mean.log = sum / weights;
    if (with_interval) {
        mean.low = low / weights;
        mean.high = high / weights;
    }
    if (with_parts)
        mean.parts = PredictedParts{sums.before / weights, sums.wool / weights, sums.model / weights};
    return mean;
}

PromiseAnswer answer_promise(const PromisedMean& promised, const QuestionChange& change) {
    PromiseAnswer answer{promised.percent(),
                         promised.parts,
                         Measured::none(Empty::one_position),
                         promised.bands,
                         promised.missing,
                         AgainstPrediction::cannot_tell,
                         {}};
    if (!promised.log || !change.here || change.bands.size() != promised.bands.size())
        return answer;
    answer.came_percent = percent_with_interval(*change.here);
    const MeanEstimate& measured = change.after ? *change.after : *change.here;
    AgainstInput input = against_input(
        {change.here->mean, measured.standard_error, measured.degrees_of_freedom}, 0, Measured::of(1));
    input.predicted = *promised.log;
    input.predicted_half =
        promised.low && promised.high ? (*promised.high - *promised.low) / normal_two_sided_95 : 0;
    answer.came = against_prediction(input);
    const double apart =
        std::hypot(input.measured_half, input.predicted_half) + normal_of_power * measured.standard_error;
    if (const double least = *promised.log + apart; *promised.log < 0 && least < 0)
        answer.told_below_percent = -to_percent(least);
    return answer;
}

bool same_places(const std::string& predicted, const std::vector<std::string>& places) {
    std::istringstream words(predicted);
    std::set<std::string> named;
    for (std::string word; words >> word;)
        named.insert(word);
    return named == std::set<std::string>(places.begin(), places.end());
}

} // namespace ebbmark
