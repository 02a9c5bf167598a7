// SPDX-License-Identifier: GPL-3.0-or-later
#include "work/place_checks.hpp"

#include "job/visit_result.hpp"
#include "room/air.hpp"
#include "room/geometry.hpp"
#include "work/analysed_job.hpp"

#include <algorithm>
#include <set>

namespace ebbmark {

namespace {

/// The surfaces that a trap stands on.
std::set<Wall> surfaces_with_traps(const JobDescription& job) {
    std::set<Wall> surfaces;
    for (const JobTrap& trap : job.traps) {
        const TrapPlace& place = trap.built && trap.built->place ? *trap.built->place : trap.place;
        surfaces.insert(place.wall);
        if (place.corner_with)
            surfaces.insert(*place.corner_with);
    }
    return surfaces;
}

/// When their first reflections follow the direct sound, from the mirror image of the source: closed form.
std::vector<double> lags_off_traps_s(const JobDescription& job, const Position& position,
                                     double speed_of_sound_m_s) {
    const SourcePlace* source = job.source(position.source);
    const MicrophonePlace* microphone = job.microphone(position.microphone);
    std::vector<double> lags;
    if (!job.room.box || !source || !microphone)
        return lags;
    const double direct_m = distance_m(source->at_m, microphone->at_m);
    for (const Wall wall : surfaces_with_traps(job)) {
        Point image = source->at_m;
        const std::size_t axis = axis_of(wall);
        image[axis] = (is_far(wall) ? 2 * job.room.box->edges_m[axis] : 0.0) - image[axis];
        lags.push_back((distance_m(image, microphone->at_m) - direct_m) / speed_of_sound_m_s);
    }
    return lags;
}

} // namespace

PlaceChecks::PlaceChecks(const AnalysedJob& job, std::string visit) : job_(job), visit_(std::move(visit)) {}

RecordingOptions PlaceChecks::options(const Position& position) const {
    RecordingOptions options;
    const SourcePlace* source = job_.description().source(position.source);
    const MicrophonePlace* microphone = job_.description().microphone(position.microphone);
    if (source && microphone)
        options.distance_m = distance_m(source->at_m, microphone->at_m);
    if (const auto protocol = job_.visits().find(visit_); protocol != job_.visits().end())
        options.speed_of_sound_m_s = speed_of_sound(air_of(protocol->second));
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
        earlier_.push_back(
            {position.name(), job_.response_of(takes.front()).response,
             lags_off_traps_s(job_.description(), position, options(position).speed_of_sound_m_s)});
    }
}

std::optional<QualityCheck> PlaceChecks::mixed_up(const Position& position, const Signal& response) {
    if (!loaded_)
        load();
    const auto place = std::find(positions_.begin(), positions_.end(), position);
    return position_check(response, earlier_, static_cast<std::size_t>(place - positions_.begin()));
}

} // namespace ebbmark
