// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "cli/every_command.hpp"
#include "cli/output.hpp"
#include "cli/responses.hpp"
#include "files/audio_file.hpp"
#include "files/response_comment.hpp"
#include "proof/reports/waterfall_report.hpp"
#include "proof/text/guarded.hpp"
#include "proof/words/table.hpp"
#include "work/analysed_job.hpp"
#include "work/response_check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <ostream>

namespace ebbmark {

namespace {

WaterfallOptions waterfall_options(const Arguments& arguments) {
    WaterfallOptions options;
    options.from_hz = arguments.quantity("from", Dimension::frequency).value_or(options.from_hz);
    options.to_hz = arguments.quantity("to", Dimension::frequency).value_or(options.to_hz);
    options.window_s = arguments.quantity("window", Dimension::time).value_or(options.window_s);
    if (arguments.choice("axis", {"octave", "linear"}) == "linear")
        options.axis = WaterfallAxis::linear;
    if (!(options.from_hz >= 5 && options.to_hz >= options.from_hz + 10 && options.to_hz <= 2000))
        throw Error(
            ErrorKind::usage,
            fmt::format("--from {:g} --to {:g}: give two frequencies between 5 and 2000 Hz, at least 10 "
                        "Hz apart, the lower first",
                        options.from_hz, options.to_hz));
    if (!(options.window_s >= 0.1 && options.window_s <= 2))
        throw Error(ErrorKind::usage, fmt::format("--window {:g}: give 0.1 to 2 s", options.window_s));
    return options;
}

Waterfall waterfall_of(const std::string& name, const Signal& response, const WaterfallOptions& options) {
    try {
        return make_waterfall(response, options);
    } catch (const Error& error) {
        throw Error(error.kind(), fmt::format("{}: {}", name, error.what()));
    }
}

void tell_hum(Console& console, const std::string& name, const std::vector<double>& lines_hz) {
    if (!lines_hz.empty())
        console.err << wrapped(
            fmt::format("{}: hum of the mains may be left at {:.4g} Hz; what stands there is "
                        "not the room.",
                        plain_text(name), fmt::join(lines_hz, ", ")));
}

void add_file(WaterfallReport& report, const std::string& path, const Arguments& arguments,
              const WaterfallOptions& options, Console& console) {
    const AudioFile file = read_audio(path);
    const auto channel = arguments.whole_number("channel", 1, 64);
    if (!channel && file.channels.size() > 1)
        throw Error(ErrorKind::usage, fmt::format("{} has {} channels; say which one with --channel", path,
                                                  file.channels.size()));
    if (const auto info = response_info(file.comment, file.name)) {
        report.simulated = report.simulated || info->simulated;
        tell_hum(console, path, info->hum_hz);
    }
    const Signal response = file.channel(channel.value_or(1));
    require_response(response, path, deconvolve_mend(path));
    report.entries.push_back({path, file.rate_hz, waterfall_of(path, response, options)});
}

void add_take(WaterfallReport& report, const AnalysedJob& job, const std::string& visit,
              const std::string& position, const WaterfallOptions& options, Console& console) {
    const auto positions = job.takes_in_use(visit);
    const auto found = positions.find(parse_position(position));
    if (found == positions.end())
        throw Error(ErrorKind::unusable,
                    fmt::format("{}: visit {} has no usable take at {}; `ebbmark next` tells what is there",
                                job.path().string(), visit, position));
    const Take& take = found->second.front();
    const TakeResponse& made = job.response_of(take);
    const Signal& response = made.response;
    const std::string name = visit + " " + take.name();
    tell_hum(console, name, made.hum_hz);
    report.entries.push_back({name, response.rate_hz, waterfall_of(name, response, options)});
    report.simulated = job.simulated();
}

} // namespace

void declare_waterfall(Options& options) {
    add_option(options, "after", "IR|V", "a second response beside it; with a job: a later visit");
    add_option(options, "visit", "V", "with a job: the visit");
    add_option(options, "position", "P", "with a job: the position, such as S1-M1");
    add_option(options, "from", "HZ", "lowest frequency (10)");
    add_option(options, "to", "HZ", "highest frequency (500)");
    add_option(options, "axis", "octave|linear", "1/24 octave or 1 Hz steps (octave)");
    add_option(options, "window", "S", "length of the window that follows each moment (0.4 s)");
    add_option(options, "channel", "N", "the channel that holds the response, counted from 1");
    declare_picture(options);
    declare_output(options);
}

int run_waterfall(const Arguments& arguments, Console& console) {
    require_picture(arguments);
    const WaterfallOptions options = waterfall_options(arguments);
    const std::string first = arguments.words()[0];
    WaterfallReport report;
    if (is_job(first)) {
        if (!arguments.has("visit") || !arguments.has("position"))
            throw Error(
                ErrorKind::usage,
                "with a job, waterfall is called as: ebbmark waterfall JOB --visit VISIT --position S1-M1");
        const AnalysedJob job(first, Access::write_if_possible);
        add_take(report, job, arguments.text("visit"), arguments.text("position"), options, console);
        if (arguments.has("after"))
            add_take(report, job, arguments.text("after"), arguments.text("position"), options, console);
    } else {
        add_file(report, first, arguments, options, console);
        if (arguments.has("after"))
            add_file(report, arguments.text("after"), arguments, options, console);
    }
    write_picture(arguments, report);
    emit_report(arguments, console, report);
    return 0;
}

} // namespace ebbmark
