// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/visit_result.hpp"

#include <algorithm>
#include <array>
#include <utility>

namespace ebbmark {

namespace {

/// Takes at different rates reach up to different bands: those that all positions have.
void keep_common_bands(std::vector<ResponseDecay>& decays) {
    std::size_t common = decays.front().bands.size();
    for (const ResponseDecay& decay : decays)
        common = std::min(common, decay.bands.size());
    for (ResponseDecay& decay : decays)
        decay.bands.erase(decay.bands.begin() + static_cast<std::ptrdiff_t>(common), decay.bands.end());
}

Measured mean_over(const std::vector<const BandDecay*>& bands, Measured BandDecay::*quantity) {
    double sum = 0;
    int count = 0;
    for (const BandDecay* band : bands)
        if (const Measured& measured = band->*quantity)
            sum += *measured, ++count;
    if (bands.size() == 1 || count == 0)
        return bands.front()->*quantity;
    return Measured::of(sum / count);
}

DecayShape common_shape(const std::vector<const BandDecay*>& bands) {
    const DecayShape first = bands.front()->shape;
    const bool agreed =
        std::all_of(bands.begin(), bands.end(), [&](const BandDecay* band) { return band->shape == first; });
    return agreed ? first : DecayShape::unclear;
}

Measured least_range(const std::vector<const BandDecay*>& bands) {
    Measured least = bands.front()->decay_range_db;
    for (const BandDecay* band : bands)
        if (band->decay_range_db && (!least || *band->decay_range_db < *least))
            least = band->decay_range_db;
    return least;
}

BandMean band_mean(const std::vector<const BandDecay*>& bands, const BandAverage& average) {
    BandMean result{average, {}, 0};
    BandDecay& mean = result.mean;
    mean.band = average.band;
    for (Measured BandDecay::*quantity :
         {&BandDecay::edt_s, &BandDecay::nonlinearity_permille, &BandDecay::curvature_percent,
          &BandDecay::c50_db, &BandDecay::c80_db, &BandDecay::d50_percent, &BandDecay::ts_ms})
        mean.*quantity = mean_over(bands, quantity);
    mean.t20_s = average.t20_s;
    mean.t30_s = average.t30_s;
    mean.decay_range_db = least_range(bands);
    mean.shape = common_shape(bands);
    for (const BandDecay* band : bands) {
        result.double_slopes += band->shape == DecayShape::double_slope ? 1 : 0;
        if (!mean.t20_s && band->at_most_s)
            mean.at_most_s = std::max(mean.at_most_s.value_or(0), *band->at_most_s);
    }
    if (const Measured& decay = leading_decay(average))
        mean.bandwidth_time = mean.band.bandwidth_hz() * *decay;
    return result;
}

PositionMean mean_of(const std::vector<MeasuredPosition>& positions, bool listening) {
    PositionMean mean;
    std::vector<ResponseDecay> decays;
    for (const MeasuredPosition& position : positions)
        if (position.listening == listening) {
            mean.positions.push_back(position.position.name());
            decays.push_back(position.decay);
        }
    if (decays.empty())
        return mean;
    keep_common_bands(decays);
    const auto averages = average_over_positions(decays);
    for (std::size_t i = 0; i < averages.size(); ++i) {
        std::vector<const BandDecay*> bands;
        for (const ResponseDecay& decay : decays)
            bands.push_back(&decay.bands[i]);
        mean.bands.push_back(band_mean(bands, averages[i]));
    }
    return mean;
}

std::vector<BandAverage> averages_of(const PositionMean& mean) {
    std::vector<BandAverage> averages;
    for (const BandMean& band : mean.bands)
        averages.push_back(band.average);
    return averages;
}

RoomStatement statement_of(const JobRoom& room, const Air& air, const PositionMean& mean) {
    std::vector<RoomDecay> decays;
    for (const BandMean& band : mean.bands)
        decays.push_back({band.average.band, leading_decay(band.average)});
    return room_statement(room.volume_m3, room.surface_m2, air, decays);
}

std::vector<TargetResult> targets_of(const JobRoom& room, const PositionMean& mean) {
    if (room.target.empty())
        return {};
    TargetResult result;
    result.name = room.target;
    const auto target = target_named(room.target);
    if (!target)
        result.not_judged = NotJudged::unknown_target;
    else if (!room.volume_m3)
        result.not_judged = NotJudged::unknown_volume;
    else {
        result.nominal_s = nominal_decay_s(*target, *room.volume_m3);
        result.bands = against_target(*target, *room.volume_m3, averages_of(mean));
    }
    return {result};
}

template <class Place>
std::optional<Point> at_of(const Place* place) {
    return place ? std::optional(place->at_m) : std::nullopt;
}

std::optional<double> nearest_surface_m(const JobRoom& room, const MicrophonePlace* place) {
    if (!place)
        return std::nullopt;
    std::optional<double> nearest;
    const auto include = [&](double distance) { nearest = std::min(nearest.value_or(distance), distance); };
    for (const auto& [wall, distance] : place->distances)
        include(distance);
    for (const Wall wall : all_walls)
        if (room.box)
            include(free_distance_m({*room.box, room.parts}, wall, place->at_m));
    return nearest;
}

SetupFinding setup_of(const JobDescription& job, const VisitResult& result) {
    std::vector<SetupPair> pairs;
    for (const MeasuredPosition& measured : result.positions) {
        const auto* source = job.source(measured.position.source);
        const auto* microphone = job.microphone(measured.position.microphone);
        if (!measured.listening)
            pairs.push_back({measured.position.source, measured.position.microphone, at_of(source),
                             at_of(microphone), nearest_surface_m(job.room, microphone)});
    }
    SetupConditions conditions{job.room.volume_m3,
                               result.statement.mid_decay_s.value,
                               speed_of_sound(result.statement.air),
                               result.width,
                               {}};
    for (const BandMean& band : result.room.bands)
        if (leading_decay(band.average))
            conditions.bands_with_decay.push_back(band.average.band);
    return check_setup(pairs, conditions);
}

ReturnChange change_of(const BandDecay& first, const BandDecay& again) {
    ReturnChange change{first.band, first.t20_s, again.t20_s, {}};
    if (!first.t20_s || !again.t20_s)
        change.change_percent = Measured::none(*(first.t20_s ? again : first).t20_s.empty);
    else
        change.change_percent = Measured::of(100 * (*again.t20_s / *first.t20_s - 1));
    return change;
}

VisitReturn return_of(MeasuredPosition measured, const std::vector<MeasuredPosition>& positions) {
    VisitReturn result{std::move(measured), {}};
    const auto first = std::find_if(positions.begin(), positions.end(), [&](const MeasuredPosition& other) {
        return other.position == result.measured.position;
    });
    if (first == positions.end())
        return result;
    const auto& before = first->decay.bands;
    const auto& again = result.measured.decay.bands;
    for (std::size_t i = 0; i < std::min(before.size(), again.size()); ++i)
        result.bands.push_back(change_of(before[i], again[i]));
    return result;
}

void add_notes(VisitResult& result) {
    if (result.room.positions.empty())
        result.notes.push_back(OnlyListeningPlaces{});
    if (result.room.positions.size() == 1)
        result.notes.push_back(OnePositionAlone{});
    if (!result.air_noted)
        result.notes.push_back(AirAssumed{});
    if (!result.returned)
        result.notes.push_back(NoReturnMeasured{});
}

} // namespace

bool is_listening(const JobDescription& job, const Position& position) {
    const MicrophonePlace* place = job.microphone(position.microphone);
    return place && place->listening;
}

std::vector<MeasuredPosition> asked_positions(const JobDescription& job,
                                              const std::vector<MeasuredPosition>& positions) {
    std::vector<MeasuredPosition> listening;
    for (const MeasuredPosition& position : positions)
        if (is_listening(job, position.position))
            listening.push_back(position);
    return listening.empty() ? positions : listening;
}

Air air_of(const VisitProtocol& protocol) {
    Air air;
    air.celsius = protocol.temperature_c().value_or(air.celsius);
    air.humidity_percent = protocol.humidity_percent().value_or(air.humidity_percent);
    return air;
}

VisitResult visit_result(const JobDescription& job, const VisitProtocol& protocol,
                         std::vector<MeasuredPosition> positions, std::vector<MeasuredPosition> returns) {
    VisitResult result;
    for (MeasuredPosition& measured : positions) {
        const auto* microphone = job.microphone(measured.position.microphone);
        measured.listening = microphone && microphone->listening;
    }
    result.positions = std::move(positions);
    for (const MeasuredPosition& measured : result.positions)
        if (!measured.decay.bands.empty())
            result.width = measured.decay.bands.front().band.width;
    result.room = mean_of(result.positions, false);
    result.listening = mean_of(result.positions, true);
    if (!returns.empty())
        result.returned = return_of(std::move(returns.front()), result.positions);
    result.air_noted = protocol.temperature_c() && protocol.humidity_percent();
    result.statement = statement_of(job.room, air_of(protocol), result.room);
    result.targets = targets_of(job.room, result.room);
    result.setup = setup_of(job, result);
    add_notes(result);
    return result;
}

} // namespace ebbmark
