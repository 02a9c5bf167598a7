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

Situation situation_at(const JobDescription& job, const std::string& visit, const Position& position,
                       int take, bool is_return) {
    const SourcePlace* source = job.source(position.source);
    const MicrophonePlace* microphone = job.microphone(position.microphone);
    if (source == nullptr || microphone == nullptr)
        throw Error(ErrorKind::unusable,
                    fmt::format("job.toml has no position {}; it names sources and microphones, such as {}",
                                position.name(), positions_of(job).front().name()));
    return {visit, source->at_m, microphone->at_m, is_return, take};
}

} // namespace ebbmark
