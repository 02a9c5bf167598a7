// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "cli/every_command.hpp"
#include "cli/occasion.hpp"
#include "cli/output.hpp"
#include "proof/reports/forecast_report.hpp"
#include "proof/reports/job_reports.hpp"
#include "system/interrupt.hpp"
#include "work/forecast_of_job.hpp"
#include "work/kept_prediction.hpp"
#include "work/own_materials.hpp"

namespace ebbmark {

namespace {

std::vector<Material> materials_of(const Arguments& arguments) {
    return arguments.has("materials") ? materials_with(arguments.text("materials")) : own_materials();
}

ForecastOptions options_of(const Arguments& arguments) {
    ForecastOptions options;
    options.from_hz = arguments.quantity("from", Dimension::frequency).value_or(options.from_hz);
    options.to_hz = arguments.quantity("to", Dimension::frequency).value_or(options.to_hz);
    options.as_built = arguments.flag("as-built");
    options.design = arguments.flag("design");
    options.seed = static_cast<std::uint64_t>(arguments.whole_number("seed", 1, 1'000'000'000).value_or(1));
    if (bands_between(BandWidth::third, options.from_hz, options.to_hz).empty())
        throw Error(ErrorKind::usage, "no third-octave band lies between --from and --to");
    return options;
}

int show(const Arguments& arguments, Console& console, const ForecastReport& report) {
    require_picture(arguments);
    write_picture(arguments, report);
    emit_report(arguments, console, report);
    return 0;
}

int predict_job(const Arguments& arguments, Console& console) {
    const bool writes = arguments.has("store") || arguments.flag("keep");
    AnalysedJob job(arguments.words().at(0), writes ? Access::write : Access::write_if_possible);
    if (arguments.has("store"))
        store_prediction_file(job, arguments.text("store"), occasion_of(console));
    if (arguments.has("store") || arguments.flag("stored")) {
        emit_report(arguments, console, kept_prediction(job));
        return 0;
    }
    ProgressLine progress(console, arguments.flag("quiet"));
    ForecastOptions options = options_of(arguments);
    // From the first change on Ctrl-C ends the search with what it has.
    std::optional<InterruptNoted> noted;
    options.enough = [&noted] {
        if (!noted)
            noted.emplace();
        return noted->interrupted();
    };
    ForecastReport report = forecast_job(job, materials_of(arguments), options, progress);
    if (arguments.flag("keep"))
        keep_forecast(job, report, prediction_table, occasion_of(console));
    return show(arguments, console, report);
}

} // namespace

void declare_predict(Options& options) {
    add_option(options, "trap", "TRAP.toml",
               "only the traps of this file, [[trap]] as in job.toml; without JOB");
    add_flag(options, "keep", "keep the computed forecast in the job as its prediction");
    add_option(options, "store", "TABLE.csv", "keep this table in the job as its prediction instead");
    add_flag(options, "stored", "show the prediction that is kept");
    add_flag(options, "as-built", "with what [trap.built] says: explains, never replaces, the prediction");
    add_flag(
        options, "design",
        "try the changes of the plan mode by mode, and each trap in other places, the likely best first; "
        "Ctrl-C ends it with what it has");
    add_option(options, "materials", "FILE.toml", "further materials, in the form of data/materials.toml");
    add_option(options, "from", "HZ", "lowest third (31.5)");
    add_option(options, "to", "HZ", "highest third (5000)");
    add_option(options, "seed", "N", "of the random draws behind the intervals (1)");
    declare_picture(options);
    declare_output(options);
}

int run_predict(const Arguments& arguments, Console& console) {
    if (arguments.has("trap") == (arguments.words().size() == 1))
        throw Error(ErrorKind::usage, "predict is called with a JOB, or with --trap TRAP.toml");
    if (arguments.has("trap") && arguments.flag("design"))
        throw Error(ErrorKind::usage, "--design needs a JOB: places and modes are those of its room");
    if (!arguments.has("trap"))
        return predict_job(arguments, console);
    return show(arguments, console,
                forecast_traps(traps_in(arguments.text("trap"), materials_of(arguments)),
                               materials_of(arguments), options_of(arguments)));
}

} // namespace ebbmark
