// SPDX-License-Identifier: GPL-3.0-or-later
#include "work/room_responses.hpp"

#include "base/error.hpp"
#include "base/in_parallel.hpp"
#include "files/audio_file.hpp"
#include "files/response_comment.hpp"
#include "ringing/summary.hpp"
#include "room/air.hpp"
#include "room/layers.hpp"
#include "room/modes.hpp"
#include "room/shaped_room.hpp"
#include "verdict/mode_pairs.hpp"
#include "work/analysed_job.hpp"
#include "work/hum_bands.hpp"
#include "work/response_check.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace ebbmark {

namespace {

void limit(RoomResponses& all, double from_hz, double to_hz) {
    all.source_from_hz = std::max(all.source_from_hz, from_hz);
    all.source_to_hz = std::min(all.source_to_hz, to_hz);
}

void add_file(RoomResponses& all, const AudioFile& file, const std::string& path, int channel) {
    all.responses.push_back(file.channel(channel));
    require_response(all.responses.back(), path, deconvolve_mend(path));
    all.names.push_back(path);
    all.rate_hz = file.rate_hz;
    if (const auto info = response_info(file.comment, file.name)) {
        limit(all, info->source_from_hz, info->source_to_hz);
        all.simulated = all.simulated || info->simulated;
        all.hum_hz.insert(all.hum_hz.end(), info->hum_hz.begin(), info->hum_hz.end());
    }
}

} // namespace

RoomResponses read_responses(const std::vector<std::string>& paths, std::optional<int> channel) {
    RoomResponses all;
    for (const std::string& path : paths) {
        const AudioFile file = read_audio(path);
        if (!channel && file.channels.size() > 1)
            throw Error(ErrorKind::usage,
                        fmt::format("{} has {} channels; say which one is the response with --channel",
                                    file.name, file.channels.size()));
        add_file(all, file, path, channel.value_or(1));
    }
    return all;
}

RoomResponses read_every_channel(const std::vector<std::string>& paths, std::optional<int> channel) {
    RoomResponses all;
    for (const std::string& path : paths) {
        const AudioFile file = read_audio(path);
        const int channels = static_cast<int>(file.channels.size());
        for (int i = channel.value_or(1); i <= channel.value_or(channels); ++i)
            add_file(all, file, path, i);
    }
    return all;
}

RoomResponses visit_responses(const AnalysedJob& job, const std::string& visit,
                              const std::vector<Position>& positions) {
    RoomResponses all;
    all.simulated = job.simulated();
    const auto usable = job.takes_in_use(visit), returned = job.takes_in_use(visit, TakeSet::returns);
    for (const Position& position : positions) {
        const Take& take = usable.at(position).front();
        TakeResponse made = job.response_of(take);
        limit(all, made.source_from_hz, made.source_to_hz);
        all.hum_hz.insert(all.hum_hz.end(), made.hum_hz.begin(), made.hum_hz.end());
        all.names.push_back(visit + "/" + take.name());
        all.rate_hz = made.response.rate_hz;
        all.responses.push_back(std::move(made.response));
        if (const auto again = returned.find(position); again != returned.end())
            all.returns.push_back(
                {all.responses.size() - 1, job.response_of(again->second.front()).response});
    }
    return all;
}

std::vector<Position> positions_of(const JobFolder& job, const std::string& visit) {
    std::vector<Position> positions;
    const auto usable = job.takes_in_use(visit);
    for (const auto& [position, takes] : usable)
        positions.push_back(position);
    if (positions.empty())
        throw Error(ErrorKind::unusable,
                    fmt::format("{}: visit {} has no usable take; `ebbmark next` tells what is "
                                "there",
                                job.path().string(), visit));
    return positions;
}

std::vector<std::pair<Point, Point>> places_of(const JobFolder& job, const std::string& visit,
                                               const std::vector<Position>& positions) {
    std::vector<std::pair<Point, Point>> places;
    const auto usable = job.takes_in_use(visit);
    for (const Position& position : positions) {
        const Take& take = usable.at(position).front();
        const SourcePlace* source = job.description().source(position.source);
        const MicrophonePlace* microphone = job.description().microphone(position.microphone);
        places.emplace_back(source ? source->at_m : take.source.at_m,
                            microphone ? microphone->at_m : take.microphone.at_m);
    }
    return places;
}

namespace {

/// The modes of a room with parts, computed, told by the box's orders.
void expect_parts(ExpectedRoom& room, const RoomShape& shape, double celsius,
                  const std::vector<std::pair<Point, Point>>& places) {
    constexpr double to_hz = 220; // of the modes that are named, with what tells their neighbours apart
    std::vector<Point> ends;
    for (const auto& [source, microphone] : places)
        ends.push_back(source), ends.push_back(microphone);
    auto modes = shaped_modes(shape, medium_of(Air{celsius}), to_hz, ends);
    for (const auto& [order, mode] : modes)
        room.over_box[order] = mode.hz / mode_hz(shape.box, order, speed_of_sound(Air{celsius}));
    room.shape = [modes = std::move(modes)](const std::array<int, 3>& order) {
        const auto& pressure = modes.at(order).pressure;
        std::vector<double> at;
        for (std::size_t i = 0; i + 1 < pressure.size(); i += 2)
            at.push_back(pressure[i] * pressure[i + 1]);
        return at;
    };
}

} // namespace

std::optional<ExpectedRoom> expected_room(const JobFolder& job, const std::string& visit,
                                          const std::vector<Position>& positions, double celsius) {
    const auto& box = job.description().room.box;
    if (!box)
        return {};
    ExpectedRoom room;
    const double speed = speed_of_sound(Air{celsius});
    for (std::size_t i = 0; i < 3; ++i)
        room.axis_hz[i] = speed / (2 * box->edges_m[i]);
    const auto places = places_of(job, visit, positions);
    for (const auto& [source, microphone] : places)
        room.travel_s.push_back(distance_m(source, microphone) / speed);
    if (!job.description().room.parts.empty()) {
        expect_parts(room, {*box, job.description().room.parts}, celsius, places);
        return room;
    }
    room.shape = [box = *box, places](const std::array<int, 3>& orders) {
        std::vector<double> shape;
        for (const auto& [source, microphone] : places)
            shape.push_back(mode_shape(box, orders, source) * mode_shape(box, orders, microphone));
        return shape;
    };
    return room;
}

Ringing ringing_of(const RoomResponses& room, const RingingOptions& options) {
    Ringing ringing = measure_ringing(room.responses, options);
    leave_out_near(ringing, room.hum_hz, options.from_hz, options.to_hz);
    return ringing;
}

ResampledRinging resampled_ringing_of(const RoomResponses& room, const RingingOptions& options) {
    ResampledRinging ringing = resample_ringing(room.responses, options, room.returns);
    leave_out_near(ringing.whole, room.hum_hz, options.from_hz, options.to_hz);
    return ringing;
}

ModesOfTwo modes_of_two(const RoomResponses& before, const RoomResponses& after,
                        const PairingOptions& pairing) {
    ModesOfTwo made;
    RingingOptions options;
    options.source_from_hz = std::max(before.source_from_hz, after.source_from_hz);
    options.source_to_hz = std::min(before.source_to_hz, after.source_to_hz);
    try {
        const RoomResponses* rooms[] = {&before, &after};
        ResampledRinging states[2];
        in_parallel(2, 0, [&](std::size_t i) { states[i] = resampled_ringing_of(*rooms[i], options); });
        const ResampledRinging &first = states[0], &second = states[1];
        const auto pairs = pair_modes(first.whole, second.whole, pairing);
        made.pairs = mode_pairs(first, second, pairs,
                                pairing.same_positions ? PairedPlaces::same : PairedPlaces::different);
        NewModes news;
        for (const std::size_t k : new_modes(pairs))
            news.modes.push_back({*second.whole.modes[k].hz, *second.whole.modes[k].t60_s});
        if (!news.modes.empty())
            made.notes.push_back(news);
        made.notes.push_back(EnergyLeft{energy_left_db(before.responses), energy_left_db(after.responses)});
    } catch (const Error& error) {
        if (error.kind() != ErrorKind::unusable)
            throw;
        made.notes.push_back(ModesNotCompared{{error.what()}});
    }
    return made;
}

} // namespace ebbmark
