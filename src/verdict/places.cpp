// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/places.hpp"

#include "decay/takes.hpp"

#include <algorithm>
#include <map>
#include <string>
#include <utility>

namespace ebbmark {

namespace {

using Places = std::vector<std::vector<std::size_t>>;

std::vector<ResponseDecay> one_each(const std::vector<ResponseDecay>& responses, const Places& places) {
    std::vector<ResponseDecay> joined;
    for (const auto& place : places) {
        std::vector<ResponseDecay> takes;
        for (const std::size_t i : place)
            takes.push_back(responses[i]);
        joined.push_back(mean_of_takes(takes));
    }
    return joined;
}

/// The place of each response.
std::vector<std::size_t> numbered(const Places& places, std::size_t responses) {
    std::vector<std::size_t> number(responses);
    for (std::size_t p = 0; p < places.size(); ++p)
        for (const std::size_t i : places[p])
            number[i] = p;
    return number;
}

/// Pairs whose two responses both repeat those of another pair, in the order of the first of each.
Places places_of_pairs(const Places& before, const Places& after, std::size_t pairs) {
    const auto b = numbered(before, pairs), a = numbered(after, pairs);
    std::map<std::pair<std::size_t, std::size_t>, std::size_t> known;
    Places places;
    for (std::size_t i = 0; i < pairs; ++i) {
        const auto [at, is_new] = known.try_emplace({b[i], a[i]}, places.size());
        if (is_new)
            places.emplace_back();
        places[at->second].push_back(i);
    }
    return places;
}

/// One name for each place; nothing where there are no names. `first`: where the names of these responses
/// begin.
std::vector<std::string> joined_names(const std::vector<std::string>& names, std::size_t first,
                                      const Places& places) {
    std::vector<std::string> joined;
    if (names.empty())
        return joined;
    for (const auto& place : places) {
        std::string all;
        for (const std::size_t i : place)
            all += (all.empty() ? "" : ", ") + names[first + i];
        joined.push_back(all);
    }
    return joined;
}

} // namespace

void join_repeats(StatePair& states, const std::vector<std::vector<std::size_t>>& before,
                  const std::vector<std::vector<std::size_t>>& after) {
    CompareOptions& options = states.options;
    options.responses_before = states.before.size();
    options.responses_after = states.after.size();
    if (!options.paired) {
        // Both states repeat one place: it is the only way to say so, and so it is the same place.
        options.paired = before.size() == 1 && after.size() == 1 &&
                         std::max(states.before.size(), states.after.size()) > 1;
        const auto given = options.places;
        options.places = joined_names(given, 0, before);
        for (std::string& name : joined_names(given, states.before.size(), after))
            options.places.push_back(std::move(name));
        if (options.paired)
            options.places.resize(std::min<std::size_t>(options.places.size(), 1));
        states.before = one_each(states.before, before);
        states.after = one_each(states.after, after);
        return;
    }
    const Places places = places_of_pairs(before, after, states.before.size());
    std::vector<bool> listening;
    if (!options.listening.empty())
        for (const auto& place : places) {
            bool any = false;
            for (const std::size_t i : place)
                any = any || options.listening[i];
            listening.push_back(any);
        }
    options.listening = listening;
    options.places = joined_names(options.places, 0, places);
    states.before = one_each(states.before, places);
    states.after = one_each(states.after, places);
}

} // namespace ebbmark
