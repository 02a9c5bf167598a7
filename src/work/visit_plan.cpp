// SPDX-License-Identifier: GPL-3.0-or-later
#include "work/visit_plan.hpp"

#include "base/error.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace ebbmark {

std::vector<Position> positions_of(const JobDescription& job) {
    std::vector<Position> positions;
    for (const SourcePlace& source : job.sources)
        for (const MicrophonePlace& microphone : job.microphones)
            positions.push_back({source.id, microphone.id});
    if (positions.empty())
        throw Error(ErrorKind::unusable, "job.toml names no source or no microphone; fill in [[source]] and "
                                         "[[microphone]]");
    return positions;
}

double lowest_played_hz(const JobDescription& job, std::string_view source_id) {
    if (const SourcePlace* own = job.source(source_id); own != nullptr && own->lowest_hz)
        return *own->lowest_hz;
    double lowest_hz = 0;
    for (const SourcePlace& source : job.sources)
        lowest_hz = std::max(lowest_hz, source.lowest_hz.value_or(0));
    return lowest_hz > 0 ? lowest_hz : 20;
}

std::vector<PlannedTake> missing_takes(const JobFolder& job, const std::string& visit) {
    const auto done = job.takes_in_use(visit), returned = job.takes_in_use(visit, TakeSet::returns);
    std::vector<PlannedTake> missing;
    const auto all = positions_of(job.description());
    for (const Position& position : all)
        if (!done.contains(position))
            missing.push_back({position, false});
    if (returned.empty())
        missing.push_back({first_position(job.takes(), visit).value_or(all.front()), true});
    return missing;
}

Situation situation_at(const JobDescription& job, const std::string& visit, const PlannedTake& take,
                       int number) {
    const Position& position = take.position;
    const SourcePlace* source = job.source(position.source);
    const MicrophonePlace* microphone = job.microphone(position.microphone);
    if (source == nullptr || microphone == nullptr)
        throw Error(ErrorKind::unusable,
                    fmt::format("job.toml has no position {}; it names sources and microphones, such as {}",
                                position.name(), positions_of(job).front().name()));
    return {visit, source->at_m, microphone->at_m, take.is_return, number};
}

} // namespace ebbmark
