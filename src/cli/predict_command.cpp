// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "cli/every_command.hpp"
#include "cli/occasion.hpp"
#include "cli/output.hpp"
#include "files/whole_file.hpp"
#include "job/job_folder.hpp"
#include "proof/job_reports.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace ebbmark {

void declare_predict(Options& options) {
    add_option(options, "store", "TABLE.csv", "keep this table in the job as its prediction");
    declare_output(options);
}

int run_predict(const Arguments& arguments, Console& console) {
    const std::string path = arguments.words().at(0);
    const bool stores = arguments.has("store");
    JobFolder job(path, stores ? Access::write : Access::write_if_possible);
    if (stores) {
        const std::string table = arguments.text("store");
        job.store_prediction(read_whole(table), table, occasion_of(console));
    } else if (job.predictions().empty()) {
        throw Error(
            ErrorKind::unusable,
            fmt::format("{}: no prediction is stored; keep one with --store TABLE.csv before the visit "
                        "after the build is measured",
                        path));
    }
    const StoredPrediction& stored = job.predictions().back();
    const bool counts = std::all_of(stored.visits.begin(), stored.visits.end(),
                                    [](const std::string& visit) { return is_before(visit); });
    emit_report(arguments, console, PredictionReport{job.simulated(), stored, counts});
    return 0;
}

} // namespace ebbmark
