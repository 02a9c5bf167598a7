// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/place_checks.hpp"

#include "cli/job_analysis.hpp"
#include "job/visit_result.hpp"
#include "room/air.hpp"

#include <algorithm>
#include <cmath>

namespace ebbmark {

PlaceChecks::PlaceChecks(const JobFolder& job, std::string visit) : job_(job), visit_(std::move(visit)) {}

RecordingOptions PlaceChecks::options(const Position& position) const {
    RecordingOptions options;
    const SourcePlace* source = job_.description().source(position.source);
    const MicrophonePlace* microphone = job_.description().microphone(position.microphone);
    if (source && microphone)
        options.distance_m =
            std::hypot(source->at_m[0] - microphone->at_m[0], source->at_m[1] - microphone->at_m[1],
                       source->at_m[2] - microphone->at_m[2]);
    if (const auto protocol = job_.visits().find(visit_); protocol != job_.visits().end())
        options.speed_of_sound_m_s = speed_of_sound(air_of(protocol->second).celsius);
    return options;
}

void PlaceChecks::load() {
    loaded_ = true;
    const Take* first = nullptr;
    for (const Take& take : job_.takes())
        if (take.in_use() && take.visit != visit_ && (!first || take.made_at < first->made_at))
            first = &take;
    if (!first)
        return;
    for (const auto& [position, takes] : job_.takes_in_use(first->visit)) {
        positions_.push_back(position);
        earlier_.push_back(response_of(job_, takes.front()).response);
    }
}

std::optional<QualityCheck> PlaceChecks::mixed_up(const Position& position, const Signal& response) {
    if (!loaded_)
        load();
    const auto place = std::find(positions_.begin(), positions_.end(), position);
    return position_check(response, earlier_, static_cast<std::size_t>(place - positions_.begin()));
}

} // namespace ebbmark
