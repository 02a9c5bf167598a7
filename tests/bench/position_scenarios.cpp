// SPDX-License-Identifier: GPL-3.0-or-later
// Whether mixed-up positions are told in a measured room whose walls changed between two visits:
//   position_scenarios FOLDER tuning|judging [JOBS [FIRST-JOB]]
// FOLDER holds responses named STATE_PLACE.wav and, 5 cm beside, STATE_PLACE_front.wav, of states 000 and
// 100. Each job has six places of one half of all, drawn at random; the limits were chosen on the tuning
// half.
#include "files/audio_file.hpp"
#include "rates.hpp"
#include "signal/position.hpp"
#include "simulated_recording.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <map>
#include <string>
#include <vector>

using namespace ebbmark;
using namespace ebbmark::bench;

namespace {

constexpr std::size_t places_of_job = 6;

struct Count {
    int asked = 0, told = 0, wrong_name = 0;
};

std::map<std::string, Signal> responses_of(const std::filesystem::path& folder) {
    std::map<std::string, Signal> responses;
    for (const auto& entry : std::filesystem::directory_iterator(folder))
        if (entry.path().extension() == ".wav")
            responses[entry.path().stem().string()] = read_audio(entry.path()).channel(1);
    return responses;
}

std::vector<std::string> half_of_places(const std::map<std::string, Signal>& responses, bool judging) {
    std::vector<std::string> places;
    int n = 0;
    for (const auto& [name, response] : responses)
        if (name.starts_with("000_") && !name.ends_with("_front") && (n++ % 2 == 1) == judging)
            places.push_back(name.substr(4));
    return places;
}

/// One job with the later visit in some state, with the microphone at its place or 5 cm beside.
void judge(const std::map<std::string, Signal>& responses, const std::vector<std::string>& places,
           const std::string& before, const std::string& after, const std::string& beside, Count& right,
           Count& swapped, bool show) {
    std::vector<EarlierPlace> earlier;
    for (const std::string& place : places)
        earlier.push_back({place, responses.at(before + place)});
    for (std::size_t n = 0; n < places.size(); ++n) {
        const Signal& heard = responses.at(after + places[n] + beside);
        for (std::size_t claimed = 0; claimed < places.size(); ++claimed) {
            const auto check = position_check(heard, earlier, claimed);
            Count& count = claimed == n ? right : swapped;
            ++count.asked;
            count.told += !check->held();
            count.wrong_name +=
                !check->held() && check->advice.find("at " + places[n] + ":") == std::string::npos;
            if (show)
                fmt::print("{} {} as {}: {:.2f}, limit {:.2f}\n", after, places[n], places[claimed],
                           check->figure, check->limit);
        }
    }
}

} // namespace

int main(int argc, char** argv) {
    if (argc < 3) {
        fmt::print(stderr, "position_scenarios FOLDER tuning|judging [JOBS [FIRST-JOB]]\n");
        return 2;
    }
    const auto responses = responses_of(argv[1]);
    const bool judging = std::string(argv[2]) == "judging";
    const auto places = half_of_places(responses, judging);
    const int jobs = argc > 3 ? std::stoi(argv[3]) : 5;
    const int first = argc > 4 ? std::stoi(argv[4]) : 1;
    std::map<std::string, std::pair<Count, Count>> counts;
    for (int job = 0; job < jobs; ++job) {
        Dice dice(static_cast<std::uint64_t>(first + job));
        auto drawn = places;
        for (std::size_t n = 0; n < places_of_job; ++n)
            std::swap(drawn[n], drawn[n + dice.below(drawn.size() - n)]);
        drawn.resize(places_of_job);
        for (const std::string beside : {"", "_front"})
            for (const std::string after : {"000_", "100_"}) {
                if (beside.empty() && after == "000_")
                    continue; // the same files
                auto& [right, swapped] = counts[after + (beside.empty() ? "same place" : "5 cm beside")];
                judge(responses, drawn, "000_", after, beside, right, swapped, argc > 5);
            }
    }
    for (const auto& [name, both] : counts)
        fmt::print("{}: false alarms {}; swapped found {}, with another name {}\n", name,
                   tests::rate(both.first.told, both.first.asked),
                   tests::rate(both.second.told, both.second.asked), both.second.wrong_name);
}
