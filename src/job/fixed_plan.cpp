// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/fixed_plan.hpp"

#include "job/job_toml.hpp"

#include <algorithm>
#include <utility>

namespace ebbmark {

namespace {

template <class Place>
const Place* with_id(const std::vector<Place>& places, const std::string& id) {
    const auto found =
        std::find_if(places.begin(), places.end(), [&](const Place& place) { return place.id == id; });
    return found == places.end() ? nullptr : &*found;
}

/// The promise's places, with photos as they are now, then those that it does not name.
template <class Place>
std::vector<Place> fixed_places(const std::vector<Place>& promised, const std::vector<Place>& now) {
    std::vector<Place> places = promised;
    for (Place& place : places)
        if (const Place* same = with_id(now, place.id))
            place.photo = same->photo;
    for (const Place& place : now)
        if (!with_id(promised, place.id))
            places.push_back(place);
    return places;
}

/// What of a place or trap is planned, as text to be compared.
template <class Place>
std::string planned(Place place) {
    place.photo = "";
    place.distances.clear();
    return to_toml(place);
}

std::string planned(JobTrap trap) {
    trap.built.reset();
    return to_toml(trap);
}

template <class Thing, class Find>
void add_differences(std::vector<PlanDifference>& all, PlanPart part, const std::vector<Thing>& fixed,
                     const std::vector<Thing>& now, std::string Thing::*name, const Find& find) {
    for (const Thing& thing : fixed) {
        const Thing* same = find(now, thing.*name);
        if (!same || planned(thing) != planned(*same))
            all.push_back({part, thing.*name, true, same != nullptr});
    }
    for (const Thing& thing : now)
        if (!find(fixed, thing.*name))
            all.push_back({part, thing.*name, false, true});
}

} // namespace

const JobTrap* trap_named(const std::vector<JobTrap>& traps, const std::string& name) {
    const auto found =
        std::find_if(traps.begin(), traps.end(), [&](const JobTrap& trap) { return trap.name == name; });
    return found == traps.end() ? nullptr : &*found;
}

const StoredPromise* promise_that_counts(const std::optional<FixedQuestion>& fixed,
                                         const std::vector<StoredPromise>& promises) {
    if (!fixed)
        return promises.empty() ? nullptr : &promises.back();
    const auto found = std::find_if(promises.begin(), promises.end(),
                                    [&](const StoredPromise& one) { return one.file == fixed->promise; });
    return found == promises.end() ? nullptr : &*found;
}

JobDescription as_fixed(const JobDescription& now, const std::optional<FixedQuestion>& fixed,
                        const StoredPromise* promise) {
    JobDescription job = now;
    if (promise) {
        job.question = promise->job.question;
        job.acceptance = promise->job.acceptance;
        if (promise->job.room.volume_m3) {
            job.room = promise->job.room;
            job.room.target = now.room.target;
        }
        job.sources = fixed_places(promise->job.sources, now.sources);
        job.microphones = fixed_places(promise->job.microphones, now.microphones);
        job.traps = promise->job.traps;
        for (JobTrap& trap : job.traps)
            if (const JobTrap* same = trap_named(now.traps, trap.name))
                trap.built = same->built;
    } else if (fixed) {
        job.question = fixed->question;
        job.acceptance = fixed->acceptance;
    }
    return job;
}

JobDescription as_fixed(const JobFolder& job) {
    const auto& fixed = job.fixed_question();
    return as_fixed(job.description(), fixed, fixed ? promise_that_counts(fixed, job.promises()) : nullptr);
}

std::vector<PlanDifference> plan_differences(const JobDescription& fixed, const JobDescription& now) {
    std::vector<PlanDifference> all;
    const auto percent = [](const JobDescription& job) {
        return job.acceptance ? std::optional(job.acceptance->at_least_percent) : std::nullopt;
    };
    JobRoom promised_room = fixed.room, room = now.room;
    promised_room.target = room.target = "";
    if (to_toml(fixed.question) != to_toml(now.question))
        all.push_back({PlanPart::question, ""});
    if (percent(fixed) != percent(now))
        all.push_back({PlanPart::acceptance, ""});
    if (to_toml(promised_room) != to_toml(room))
        all.push_back({PlanPart::room, ""});
    add_differences(all, PlanPart::source, fixed.sources, now.sources, &SourcePlace::id,
                    with_id<SourcePlace>);
    add_differences(all, PlanPart::microphone, fixed.microphones, now.microphones, &MicrophonePlace::id,
                    with_id<MicrophonePlace>);
    add_differences(all, PlanPart::trap, fixed.traps, now.traps, &JobTrap::name, trap_named);
    return all;
}

std::optional<PlanDiffers> plan_differs(const JobDescription& now, const std::optional<FixedQuestion>& fixed,
                                        const std::vector<StoredPromise>& promises, const std::string& path) {
    const StoredPromise* promise = promise_that_counts(fixed, promises);
    if (!promise && !fixed)
        return {};
    auto parts = plan_differences(promise ? promise->job : as_fixed(now, fixed, nullptr), now);
    if (parts.empty())
        return {};
    const std::string& since = promise ? promise->made_at : fixed->fixed_at;
    return PlanDiffers{std::move(parts), since.substr(0, 10), promise ? promise->file : "", fixed.has_value(),
                       path};
}

} // namespace ebbmark
