// SPDX-License-Identifier: GPL-3.0-or-later
#include "work/compared_files.hpp"

#include "base/error.hpp"
#include "signal/same_place.hpp"
#include "verdict/comparison.hpp"
#include "verdict/places.hpp"
#include "work/analysed_files.hpp"
#include "work/room_responses.hpp"

#include <fmt/format.h>

#include <filesystem>
#include <string>

namespace ebbmark {

namespace {

std::vector<ResponseDecay> decays(const AnalysedFiles& analysed) {
    std::vector<ResponseDecay> list;
    for (const DecayEntry& entry : analysed.entries)
        list.push_back(entry.decay);
    return list;
}

/// What each response is called: its file, with the channel where it is not the first.
std::vector<std::string> names(const AnalysedFiles& analysed) {
    std::vector<std::string> list;
    for (const DecayEntry& entry : analysed.entries) {
        const std::string file = std::filesystem::path(entry.file).filename().string();
        list.push_back(entry.channel > 1 ? fmt::format("{}, channel {}", file, entry.channel) : file);
    }
    return list;
}

void require_pairs(const AnalysedFiles& before, const AnalysedFiles& after) {
    if (before.entries.size() != after.entries.size())
        throw Error(
            ErrorKind::usage,
            fmt::format("{} responses before and {} after do not pair; give the same positions in the same "
                        "order, or add --unpaired to compare without pairing",
                        before.entries.size(), after.entries.size()));
}

} // namespace

CompareReport compare_files(const FilesToCompare& files, const DecayOptions& asked, Progress& progress) {
    const AnalysedFiles before =
        analyse_files(files.before, files.after, files.only_channel, asked, progress);
    const AnalysedFiles after = analyse_files(files.after, files.before, files.only_channel, asked, progress);
    if (files.paired)
        require_pairs(before, after);
    CompareReport report;
    report.simulated = before.simulated || after.simulated;
    report.before_files = before.files;
    report.after_files = after.files;
    report.volume_m3 = files.volume_m3;
    CompareOptions options;
    options.paired = files.paired;
    options.volume_m3 = files.volume_m3;
    options.places = names(before);
    if (!files.paired)
        for (std::string& name : names(after))
            options.places.push_back(std::move(name));
    const RoomResponses before_room = read_every_channel(files.before, files.only_channel),
                        after_room = read_every_channel(files.after, files.only_channel);
    StatePair states{decays(before), decays(after), options};
    join_repeats(states, places_of(before_room.responses), places_of(after_room.responses));
    ModesOfTwo modes; // in the bass; who looks at higher bands alone need not wait for them
    if (asked.from_hz <= RingingOptions{}.to_hz)
        modes = modes_of_two(before_room, after_room, {1, files.paired});
    states.options.modes = modes.pairs;
    report.comparison = compare(states.before, states.after, states.options);
    report.notes = std::move(modes.notes);
    return report;
}

} // namespace ebbmark
