// SPDX-License-Identifier: GPL-3.0-or-later
#include "work/safe_recording.hpp"

#include "base/error.hpp"
#include "base/shell_word.hpp"
#include "files/hash.hpp"
#include "files/sweep_file.hpp"
#include "files/whole_file.hpp"
#include "system/file.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace ebbmark {

namespace fs = std::filesystem;

namespace {

constexpr std::string_view prefix = "rescued-";

std::string import_command(const FreshRecording& recording, const fs::path& wav,
                           const fs::path& description) {
    std::string command = "ebbmark import";
    for (const std::string& word : {recording.job, recording.visit, wav.string(), recording.position,
                                    std::string("--sweep"), description.string()})
        command += " " + shell_word(word);
    for (const std::string& word : recording.options)
        command += " " + shell_word(word);
    return command;
}

} // namespace

SafeRecording::SafeRecording(const FreshRecording& recording) {
    for (const fs::path& folder : {fs::path(recording.job), fs::temp_directory_path()})
        if (put_into(folder, recording))
            return;
}

bool SafeRecording::put_into(const fs::path& folder, const FreshRecording& recording) {
    const fs::path base = folder / fmt::format("{}{}-{}-{}", prefix, recording.visit, recording.position,
                                               sha256(recording.bytes).substr(0, 12));
    const fs::path wav = base.string() + ".wav", description = base.string() + ".toml";
    const std::size_t most = longest_file();
    const bool whole = recording.bytes.size() <= most;
    where_ = whole ? wav.string() : wav.string() + ".001 and so on";
    command_ =
        whole ? ""
              : fmt::format("cat {}.[0-9]* > {} && ", shell_word(wav.string()), shell_word(wav.string()));
    command_ += import_command(recording, wav, description);
    try {
        const auto write = [&](const fs::path& path, std::string_view bytes) {
            write_whole(path, bytes, Overwrite::never);
            files_.push_back(path);
        };
        const std::string_view bytes = recording.bytes;
        if (whole)
            write(wav, bytes);
        else
            for (std::size_t from = 0, part = 1; from < bytes.size(); from += most, ++part)
                write(fmt::format("{}.{:03}", wav.string(), part), bytes.substr(from, most));
        write(description,
              fmt::format("# Recorded, but not a take of the job yet. This brings it in:\n# {}\n\n{}",
                          command_, to_toml(recording.sweep, "")));
        return true;
    } catch (const Error&) {
        drop();
        files_.clear();
        return false;
    }
}

void SafeRecording::drop() const {
    std::error_code ignored;
    for (const fs::path& file : files_)
        fs::remove(file, ignored);
}

std::string SafeRecording::sentence() const {
    if (files_.empty())
        return " The recording could not be put elsewhere either and is lost: make room and repeat the take.";
    return fmt::format(
        " The recording is safe in {}, its sweep in {}. When that is mended, bring it in with: {}", where_,
        files_.back().string(), command_);
}

std::vector<RecordingWaits> rescued_in(const fs::path& job) {
    std::vector<RecordingWaits> waiting;
    for (const auto& entry : fs::directory_iterator(job)) {
        const std::string name = entry.path().filename().string();
        if (name.starts_with(prefix) && name.ends_with(".toml"))
            waiting.push_back({name});
    }
    std::sort(waiting.begin(), waiting.end(),
              [](const RecordingWaits& a, const RecordingWaits& b) { return a.file < b.file; });
    return waiting;
}

} // namespace ebbmark
