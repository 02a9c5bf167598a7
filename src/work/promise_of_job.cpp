// SPDX-License-Identifier: GPL-3.0-or-later
#include "work/promise_of_job.hpp"

#include "decay/average.hpp"
#include "work/analysed_job.hpp"
#include "work/version.hpp"

namespace ebbmark {

namespace {

void add_decay_before(PromiseInput& input, const AnalysedJob& job, Progress& progress) {
    const std::string visit = visit_before(job);
    if (visit.empty())
        return;
    std::vector<ResponseDecay> positions;
    for (const PositionDecay& position :
         analyse_visit(job, visit, DecayOptions{}, TakeSet::positions, progress))
        positions.push_back(position.decay);
    for (const BandAverage& band : average_over_positions(positions))
        input.before_s.emplace_back(band.band, band.t20_s);
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
