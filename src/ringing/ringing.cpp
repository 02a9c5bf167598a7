// SPDX-License-Identifier: GPL-3.0-or-later
#include "ringing/ringing.hpp"

#include "base/in_parallel.hpp"
#include "decay/evidence.hpp"
#include "decay/onset.hpp"
#include "ringing/leave_outs.hpp"
#include "ringing/told_modes.hpp"
#include "signal/same_place.hpp"

#include <algorithm>

namespace ebbmark {

namespace {

constexpr std::size_t most_parts = 8, least_places = 3;

/// What can be looked for, given what the source reached.
RingingOptions within_reach(const RingingOptions& asked) {
    RingingOptions options = asked;
    options.from_hz = std::min(std::max(options.from_hz, options.source_from_hz), options.to_hz);
    options.to_hz = std::max(options.from_hz, std::min(options.to_hz, options.source_to_hz));
    return options;
}

Ringing told(const RoomFit* fit, const RingingOptions& asked, std::size_t positions) {
    const RingingOptions options = within_reach(asked);
    Ringing result;
    result.positions = positions;
    if (options.from_hz > asked.from_hz)
        result.unresolved.push_back({asked.from_hz, options.from_hz, Empty::source});
    if (fit)
        tell_modes(result, *fit, options);
    if (options.to_hz < asked.to_hz)
        result.unresolved.push_back({std::max(options.to_hz, asked.from_hz), asked.to_hz, Empty::source});
    return result;
}

std::vector<double> onsets_of(std::span<const Signal> responses) {
    std::vector<double> onsets;
    for (const Signal& response : responses)
        onsets.push_back(find_onset_s(response));
    return onsets;
}

LowResponses low_responses(std::span<const Signal> responses, const RingingOptions& options) {
    LowResponses low(responses, onsets_of(responses), options.to_hz);
    low.cut_at_noise(options.from_hz, options.to_hz);
    return low;
}

FittedRoom fitted(std::span<const Signal> responses, const RingingOptions& options) {
    LowResponses low = low_responses(responses, options);
    RoomFit fit = fit_room(low, options.from_hz, options.to_hz);
    return {std::move(low), options.from_hz, options.to_hz, std::move(fit)};
}

/// Where a response shows that nothing was emitted, nothing is looked for.
RingingOptions where_emitted(std::span<const Signal> responses, RingingOptions options) {
    for (const Signal& response : responses)
        options.source_from_hz =
            std::max(options.source_from_hz, evidence_of(response, find_onset_s(response)).emitted_from_hz);
    return options;
}

std::vector<std::size_t> all_but(const std::vector<std::size_t>& left_out, std::size_t count) {
    std::vector<std::size_t> others;
    for (std::size_t p = 0; p < count; ++p)
        if (std::find(left_out.begin(), left_out.end(), p) == left_out.end())
            others.push_back(p);
    return others;
}

/// The fit with these positions only: where a refit starts.
RoomFit at_positions(const RoomFit& fit, const std::vector<std::size_t>& positions) {
    RoomFit made = fit;
    made.scale = fit.scale(positions);
    made.scale.array() /= made.scale.mean();
    for (FittedPole& pole : made.poles)
        pole.amplitude = Eigen::VectorXcd(pole.amplitude(positions));
    return made;
}

/// Puts the positions left out back as silent ones, so that all shapes have the same length.
void spread_positions(Ringing& ringing, const std::vector<std::size_t>& left_out) {
    constexpr double silent_db = -240;
    for (MeasuredMode& mode : ringing.modes)
        for (const std::size_t position : left_out) {
            const auto at = static_cast<std::ptrdiff_t>(position);
            mode.amplitude.insert(mode.amplitude.begin() + at, 0.0);
            mode.level_db.insert(mode.level_db.begin() + at, silent_db);
        }
    ringing.positions += left_out.size();
}

} // namespace

std::vector<std::vector<std::size_t>> parts_of(const std::vector<std::vector<std::size_t>>& places) {
    std::vector<std::vector<std::size_t>> parts(std::min(places.size(), most_parts));
    for (std::size_t i = 0; i < places.size(); ++i) {
        auto& part = parts[i % parts.size()];
        part.insert(part.end(), places[i].begin(), places[i].end());
        std::sort(part.begin(), part.end());
    }
    return parts;
}

Ringing measure_ringing(std::span<const Signal> responses, const RingingOptions& given) {
    const RingingOptions asked = where_emitted(responses, given);
    const RingingOptions options = within_reach(asked);
    if (options.to_hz <= options.from_hz)
        return told(nullptr, asked, responses.size());
    const RoomFit fit = fitted(responses, options).fit;
    return told(&fit, asked, responses.size());
}

ResampledRinging resample_ringing(std::span<const Signal> responses, const RingingOptions& given,
                                  std::span<const ReturnedResponse> returns) {
    const RingingOptions asked = where_emitted(responses, given);
    const RingingOptions options = within_reach(asked);
    if (options.to_hz <= options.from_hz)
        return {told(nullptr, asked, responses.size()), {}, responses.size(), nullptr};
    const auto places = places_of({responses.begin(), responses.end()});
    const auto room = std::make_shared<const FittedRoom>(fitted(responses, options));
    ResampledRinging made{told(&room->fit, asked, responses.size()), {}, places.size(), room};
    made.returned.resize(returns.size());
    in_parallel(returns.size(), 0, [&](std::size_t i) {
        std::vector<Signal> again(responses.begin(), responses.end());
        again[returns[i].position] = returns[i].response;
        const RoomFit fit =
            refit_room(low_responses(again, options), options.from_hz, options.to_hz, room->fit, Order::kept);
        made.returned[i] = told(&fit, asked, again.size());
    });
    if (places.size() < least_places)
        return made;
    const auto parts = parts_of(places);
    made.without.resize(parts.size());
    in_parallel(parts.size(), 0, [&](std::size_t i) {
        const std::vector<std::size_t> kept = all_but(parts[i], responses.size());
        const RoomFit fit = refit_room(room->responses.at(kept), options.from_hz, options.to_hz,
                                       at_positions(room->fit, kept), Order::searched);
        made.without[i] = told(&fit, asked, kept.size());
        spread_positions(made.without[i], parts[i]);
    });
    return made;
}

} // namespace ebbmark
