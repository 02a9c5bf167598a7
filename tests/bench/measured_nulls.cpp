// SPDX-License-Identifier: GPL-3.0-or-later
#include "measured_nulls.hpp"

#include "files/audio_file.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <random>

namespace ebbmark::tests {

namespace {

using Files = std::vector<std::filesystem::path>;

Files files_in(const std::filesystem::path& folder, const std::string& beginning,
               const std::string& without) {
    Files files;
    if (std::filesystem::exists(folder))
        for (const auto& entry : std::filesystem::directory_iterator(folder)) {
            const std::string name = entry.path().filename().string();
            if (entry.path().extension() == ".wav" && name.starts_with(beginning) &&
                (without.empty() || name.find(without) == std::string::npos))
                files.push_back(entry.path());
        }
    std::sort(files.begin(), files.end());
    return files;
}

/// Fisher and Yates, written out because std::shuffle differs between libraries.
void shuffle(Files& files, std::mt19937& random) {
    for (std::size_t i = files.size(); i > 1; --i)
        std::swap(files[i - 1], files[random() % i]);
}

class Drawing {
  public:
    explicit Drawing(const NullCounts& counts) : counts_(counts), random_(counts.seed) {}

    void halves(const std::string& room, Files files, std::size_t size) {
        for (int n = 0; n < counts_.draws && files.size() >= 2 * size; ++n) {
            shuffle(files, random_);
            const auto middle = files.begin() + static_cast<std::ptrdiff_t>(size);
            add({room,
                 fmt::format("halves of {}", size),
                 {files.begin(), middle},
                 {middle, middle + static_cast<std::ptrdiff_t>(size)},
                 false});
        }
    }

    void beside(const std::string& room, Files files, std::size_t size) {
        for (int n = 0; n < counts_.draws && files.size() >= size; ++n) {
            shuffle(files, random_);
            NullComparison made{room, fmt::format("{} at 5 cm", size), {}, {}, true};
            for (std::size_t i = 0; i < size; ++i) {
                made.before.push_back(files[i]);
                made.after.push_back(files[i].parent_path() / (files[i].stem().string() + "_front.wav"));
            }
            add(made);
        }
    }

    void repeats(const std::string& room, Files files, std::size_t size, bool paired) {
        for (int n = 0; n < counts_.draws && files.size() >= 2 * size; ++n) {
            shuffle(files, random_);
            const auto middle = files.begin() + static_cast<std::ptrdiff_t>(size);
            add({room,
                 fmt::format("repeats, {} each{}", size, paired ? ", paired" : ""),
                 {files.begin(), middle},
                 {middle, middle + static_cast<std::ptrdiff_t>(size)},
                 paired});
        }
    }

    void add(NullComparison made) { made_.push_back(std::move(made)); }
    std::vector<NullComparison> made() const { return made_; }

  private:
    NullCounts counts_;
    std::mt19937 random_;
    std::vector<NullComparison> made_;
};

void draw_listening_room(Drawing& drawing, const std::filesystem::path& folder) {
    const Files all = files_in(folder, "mic", "");
    for (const std::size_t size : {6, 10})
        drawing.halves("listening", all, size);
    std::map<std::string, Files> by_speaker;
    for (const auto& file : all) {
        const std::string name = file.stem().string();
        by_speaker[name.substr(name.find("speaker"))].push_back(file);
    }
    for (auto one = by_speaker.begin(); one != by_speaker.end(); ++one)
        for (auto other = std::next(one); other != by_speaker.end(); ++other)
            drawing.add({"listening", "other loudspeaker", one->second, other->second, false});
}

} // namespace

std::vector<NullComparison> null_comparisons(const std::filesystem::path& data, const NullCounts& counts) {
    Drawing drawing(counts);
    const auto variable = data / "variable-room-arni";
    for (const std::string state : {"2", "50"}) {
        const Files files = files_in(variable, "IR_numClosed_" + state + "_", "");
        if (files.size() == 2)
            drawing.add({"variable", "repeats, 1 each, paired", {files[0]}, {files[1]}, true});
    }
    const Files repeats = files_in(data / "repeats-one-position", "rec1", "");
    drawing.repeats("repeats", repeats, 1, true);
    drawing.repeats("repeats", repeats, 3, true);
    drawing.repeats("repeats", repeats, 3, false);
    draw_listening_room(drawing, data / "listening-room-otala");
    for (const std::string state : {"000", "100"}) {
        const Files files = files_in(data / "panel-room-34-positions" / "ir", state + "_", "_front");
        for (const std::size_t size : {6, 10, 14})
            drawing.halves("panel " + state, files, size);
        for (const std::size_t size : {1, 2, 3, 6, 12})
            drawing.beside("panel " + state, files, size);
    }
    const Files box = files_in(data / "degenerate-box-computed", "p", "");
    for (const std::size_t size : {6, 14})
        drawing.halves("degenerate box", box, size);
    return drawing.made();
}

bool is_first_group(const std::string& room) {
    return room == "variable" || room == "repeats" || room == "listening";
}

const Signal& MeasuredResponses::at(const std::filesystem::path& file) {
    const auto found = read_.find(file);
    return found != read_.end() ? found->second
                                : read_.emplace(file, read_audio(file).channel(1)).first->second;
}

std::vector<Signal> MeasuredResponses::of(const std::vector<std::filesystem::path>& files) {
    std::vector<Signal> responses;
    for (const auto& file : files)
        responses.push_back(at(file));
    return responses;
}

} // namespace ebbmark::tests
