// SPDX-License-Identifier: GPL-3.0-or-later
#include "work/waterfalls.hpp"

#include "base/error.hpp"
#include "files/response_comment.hpp"
#include "work/response_check.hpp"

#include <fmt/format.h>

namespace ebbmark {

namespace {

void add(WaterfallReport& report, const std::string& name, const TakeResponse& made,
         const WaterfallOptions& options) {
    try {
        report.entries.push_back(
            {name, made.response.rate_hz, make_waterfall(made.response, options), made.hum_hz});
    } catch (const Error& error) {
        throw Error(error.kind(), fmt::format("{}: {}", name, error.what()));
    }
}

} // namespace

void add_waterfall_of_file(WaterfallReport& report, const std::string& path, std::optional<int> channel,
                           const WaterfallOptions& options) {
    const AudioFile file = read_audio(path);
    if (!channel && file.channels.size() > 1)
        throw Error(ErrorKind::usage, fmt::format("{} has {} channels; say which one with --channel", path,
                                                  file.channels.size()));
    const TakeResponse made = response_in(file, channel.value_or(1));
    require_response(made.response, path, deconvolve_mend(path));
    const auto info = response_info(file.comment, file.name);
    report.simulated = report.simulated || (info && info->simulated);
    add(report, path, made, options);
}

void add_waterfall_of_take(WaterfallReport& report, const AnalysedJob& job, const std::string& visit,
                           const std::string& position, const WaterfallOptions& options) {
    const auto positions = job.takes_in_use(visit);
    const auto found = positions.find(parse_position(position));
    if (found == positions.end())
        throw Error(ErrorKind::unusable,
                    fmt::format("{}: visit {} has no usable take at {}; `ebbmark next` tells what is there",
                                job.path().string(), visit, position));
    const Take& take = found->second.front();
    report.simulated = job.simulated();
    add(report, visit + " " + take.name(), job.response_of(take), options);
}

} // namespace ebbmark
