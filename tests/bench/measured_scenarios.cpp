// SPDX-License-Identifier: GPL-3.0-or-later
// How often something is found in measured rooms in which nothing changed:
//   measured_scenarios DATA bands [--draws N] [--seed N] [--list]
#include "measured_nulls.hpp"
#include "rates.hpp"
#include "signal/same_place.hpp"
#include "verdict/comparison.hpp"
#include "verdict/places.hpp"

#include <fmt/format.h>

#include <cmath>
#include <cstdlib>
#include <functional>
#include <random>
#include <string>

using namespace ebbmark;
using namespace ebbmark::tests;

namespace {

struct Arguments {
    std::filesystem::path data;
    std::string table = "bands";
    NullCounts counts;
    bool list = false; ///< every comparison with a finding
};

/// What was found in one comparison, in words; empty: nothing.
using Judge = std::function<std::string(const NullComparison&)>;

struct Tally {
    int found = 0, count = 0;

    void add(bool one) {
        found += one;
        ++count;
    }
    /// Chance of so many or more where each has 5 %: exact binomial.
    double p_above_5_percent() const {
        double sum = 0, term = 1;
        for (int k = 0; k <= count; ++k) {
            term = k == 0 ? std::pow(0.95, count) : term * (count - k + 1) / k * (0.05 / 0.95);
            sum += k >= found ? term : 0;
        }
        return sum;
    }
};

std::string interval_over_rooms(const std::vector<Tally>& rooms) {
    std::mt19937 random(1);
    std::vector<double> rates;
    for (int n = 0; n < 2000; ++n) {
        Tally sum;
        for (std::size_t i = 0; i < rooms.size(); ++i) {
            const Tally& one = rooms[random() % rooms.size()];
            sum.found += one.found;
            sum.count += one.count;
        }
        rates.push_back(100.0 * sum.found / sum.count);
    }
    return fmt::format("{:.1f} to {:.1f} % over rooms", quantile(rates, 0.025), quantile(rates, 0.975));
}

void print_nulls(const Arguments& arguments, const Judge& judge) {
    std::vector<std::pair<std::string, Tally>> kinds, rooms;
    Tally first, second;
    const auto tally = [](auto& list, const std::string& name) -> Tally& {
        for (auto& [key, one] : list)
            if (key == name)
                return one;
        return list.emplace_back(name, Tally{}).second;
    };
    for (const NullComparison& one : null_comparisons(arguments.data, arguments.counts)) {
        const std::string found = judge(one);
        tally(kinds, one.room + ", " + one.kind).add(!found.empty());
        tally(rooms, one.room).add(!found.empty());
        (is_first_group(one.room) ? first : second).add(!found.empty());
        if (arguments.list && !found.empty())
            fmt::print("  {}, {}: {}\n", one.room, one.kind, found);
    }
    for (const auto& [name, one] : kinds)
        fmt::print("  {:42} {:3} of {:3}\n", name, one.found, one.count);
    std::vector<Tally> all;
    for (const auto& [name, one] : rooms) {
        fmt::print("{:20} {}; p of more than 5 %: {:.3f}\n", name, rate(one.found, one.count),
                   one.p_above_5_percent());
        all.push_back(one);
    }
    fmt::print("variable, repeats, listening {}\nother rooms {}\n", rate(first.found, first.count),
               rate(second.found, second.count));
    fmt::print("pooled {}, {}\n", rate(first.found + second.found, first.count + second.count),
               interval_over_rooms(all));
}

/// The bands as `compare` on files judges them.
class BandJudge {
  public:
    explicit BandJudge(BandWidth width) { options_.width = width; }

    std::string operator()(const NullComparison& one) {
        CompareOptions options;
        options.paired = one.paired;
        StatePair states{decays(one.before), decays(one.after), options};
        join_repeats(states, places_of(responses_.of(one.before)), places_of(responses_.of(one.after)));
        std::string found;
        for (const BandFinding& band : compare(states.before, states.after, states.options).bands)
            if (band.finding == Finding::shorter || band.finding == Finding::longer)
                found +=
                    fmt::format("{} Hz {:+.1f} ({:.1f} to {:.1f}) % ", label(band.band), *band.change_percent,
                                band.change_percent.low.value_or(0), band.change_percent.high.value_or(0));
        return found;
    }

  private:
    std::vector<ResponseDecay> decays(const std::vector<std::filesystem::path>& files) {
        std::vector<ResponseDecay> list;
        for (const auto& file : files) {
            auto found = analysed_.find(file);
            if (found == analysed_.end())
                found = analysed_.emplace(file, analyse_decay(responses_.at(file), options_)).first;
            list.push_back(found->second);
        }
        return list;
    }

    DecayOptions options_;
    MeasuredResponses responses_;
    std::map<std::filesystem::path, ResponseDecay> analysed_;
};

void print_bands(const Arguments& arguments) {
    for (const BandWidth width : {BandWidth::third, BandWidth::octave}) {
        fmt::print("{}s, 20 Hz to 10 kHz: comparisons with any band called changed\n", name(width));
        BandJudge judge(width);
        print_nulls(arguments, std::ref(judge));
    }
}

} // namespace

int main(int count, char** words) {
    Arguments arguments;
    std::vector<std::string> plain;
    for (int i = 1; i < count; ++i) {
        const std::string word = words[i];
        if (word == "--list")
            arguments.list = true;
        else if (word == "--draws" && i + 1 < count)
            arguments.counts.draws = std::atoi(words[++i]);
        else if (word == "--seed" && i + 1 < count)
            arguments.counts.seed = static_cast<unsigned>(std::atoi(words[++i]));
        else
            plain.push_back(word);
    }
    if (plain.size() != 2 || plain[1] != "bands" || !std::filesystem::is_directory(plain[0])) {
        fmt::print(stderr, "measured_scenarios DATA bands [--draws N] [--seed N] [--list]\n");
        return 2;
    }
    arguments.data = plain[0];
    print_bands(arguments);
    return 0;
}
