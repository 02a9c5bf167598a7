// SPDX-License-Identifier: GPL-3.0-or-later
#include "work/kept_prediction.hpp"

#include "base/error.hpp"
#include "files/whole_file.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace ebbmark {

void keep_forecast(JobFolder& job, ForecastReport& report, const PredictionWriter& table,
                   const Occasion& occasion) {
    if (report.room.bands.empty())
        throw Error(ErrorKind::unusable,
                    fmt::format("{}: there is no decay before the build to predict from; measure "
                                "the visit \"before\" first",
                                job.path().string()));
    report.stored =
        job.store_prediction(table(report), std::string(report.as_built ? computed_as_built : computed_table),
                             occasion)
            .file;
}

void store_prediction_file(JobFolder& job, const std::string& path, const Occasion& occasion) {
    job.store_prediction(read_whole(path), path, occasion);
}

PredictionReport kept_prediction(const JobFolder& job) {
    if (job.predictions().empty())
        throw Error(
            ErrorKind::unusable,
            fmt::format(
                "{}: no prediction is stored; keep the computed one with --keep, or your own with --store "
                "TABLE.csv, before the visit after the build is measured",
                job.path().string()));
    const StoredPrediction& stored = job.predictions().back();
    const bool counts =
        !stored.is_as_built() && std::all_of(stored.visits.begin(), stored.visits.end(),
                                             [](const std::string& visit) { return is_before(visit); });
    return {job.simulated(), stored, counts};
}

} // namespace ebbmark
