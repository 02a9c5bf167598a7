// SPDX-License-Identifier: GPL-3.0-or-later
#include "work/promise_of_job.hpp"

#include "decay/average.hpp"
#include "verdict/allowances.hpp"
#include "work/analysed_job.hpp"
#include "work/version.hpp"

namespace ebbmark {

namespace {

void add_decay_before(PromiseInput& input, const AnalysedJob& job, Progress& progress) {
    const std::string visit = visit_before(job.takes());
    if (visit.empty())
        return;
    const auto measured = analyse_visit(job, visit, DecayOptions{}, TakeSet::positions, progress);
    std::vector<ResponseDecay> asked;
    for (const PositionDecay& position : asked_positions(input.promise.job, measured)) {
        input.places.push_back(position.position.name());
        asked.push_back(position.decay);
    }
    input.visit_before = visit;
    input.positions = measured.size();
    for (std::size_t b = 0; b < asked.front().bands.size(); ++b)
        input.before_s.emplace_back(asked.front().bands[b].band,
                                    t20_at_places(asked, b, beside_deviation(asked.front().bands[b].band)));
}

} // namespace

PromiseInput promise_input(const AnalysedJob& job, const StoredPromise& promise, Units units,
                           Progress& progress) {
    PromiseInput input;
    input.promise = promise;
    input.client = job.description().client;
    input.address = job.description().address;
    input.invoice = job.description().invoice;
    for (const StoredPrediction& stored : job.predictions())
        if (stored.file == promise.prediction)
            input.prediction = stored;
    add_decay_before(input, job, progress);
    input.simulated = job.simulated();
    input.version = version;
    input.units = units;
    return input;
}

} // namespace ebbmark
