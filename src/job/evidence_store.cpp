// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/evidence_store.hpp"

#include "base/error.hpp"
#include "files/hash.hpp"
#include "files/whole_file.hpp"
#include "system/file.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace ebbmark {

namespace fs = std::filesystem;

namespace {

constexpr std::string_view waiting_prefix = ".unfinished-";

[[noreturn]] void refuse(const fs::path& file, std::string_view what, std::string_view mend) {
    throw Error(ErrorKind::unusable, fmt::format("{}: {}; {}", file.string(), what, mend));
}

constexpr std::string_view restore_mend =
    "run verify, and restore the file from the copy on your second disk";

/// The last step of keeping a file. Where it fails, the file waits for repair().
void put_in_place(const fs::path& waiting, const fs::path& place) {
    std::error_code failure;
    fs::rename(waiting, place, failure);
    if (failure)
        refuse(place, fmt::format("cannot be put in place ({})", failure.message()),
               "check the disk; the next command on this job finishes it");
    flush_folder(place.parent_path());
}

void remove_quietly(const fs::path& place) {
    std::error_code ignored;
    fs::remove(place, ignored);
}

/// Removes what was begun, ".waiting" last: where the disk refuses, repair() knows what is left.
void take_back(std::vector<fs::path> begun) {
    std::error_code failure;
    for (; !begun.empty() && !failure; begun.pop_back())
        fs::remove(begun.back(), failure);
}

/// What a program that was killed had begun to add; nothing where no list of that form is there.
Manifest noted_in(const fs::path& list) {
    std::error_code ignored;
    if (!fs::is_regular_file(fs::symlink_status(list, ignored)))
        return {};
    try {
        return by_path(evidence_lines(read_whole(list), list.string()));
    } catch (const Error&) {
        return {}; // written whole by this program, so this one is another's
    }
}

} // namespace

fs::path waiting_place(const fs::path& place) {
    return place.parent_path() / (std::string(waiting_prefix) + place.filename().string());
}

EvidenceStore::EvidenceStore(fs::path job, Trust trust) : job_(std::move(job)), trust_(trust) {
    const fs::path list = job_ / manifest_name;
    if (!fs::exists(list))
        refuse(list, "the list of evidence is missing", "restore it from the copy on your second disk");
    lines_ = evidence_lines(read_whole(list), list.string());
    manifest_ = by_path(lines_);
}

fs::path EvidenceStore::place_of(const std::string& path) const {
    const fs::path place = job_ / path;
    if (!manifest_.contains(path))
        refuse(place, "is not in the list of evidence", restore_mend);
    const fs::path waiting = waiting_place(place);
    const bool still_waiting = !fs::exists(place) && fs::exists(waiting);
    if (!still_waiting && !fs::exists(place))
        refuse(place, "is evidence and is missing", restore_mend);
    return still_waiting ? waiting : place;
}

std::string EvidenceStore::read(const std::string& path) const {
    const fs::path place = place_of(path);
    std::string bytes = read_whole(place, data_limit_bytes);
    if (trust_ == Trust::checked && sha256(bytes) != manifest_.at(path))
        refuse(place, "is evidence and was changed", restore_mend);
    return bytes;
}

fs::path EvidenceStore::checked(const std::string& path) const {
    const fs::path place = place_of(path);
    if (trust_ == Trust::checked && sha256_of_file(place) != manifest_.at(path))
        refuse(place, "is evidence and was changed", restore_mend);
    return place;
}

void EvidenceStore::add(const std::map<std::string, std::string>& files) {
    if (fs::exists(fs::symlink_status(job_ / waiting_name)))
        repair({}); // of files that could not be put in place before
    EvidenceLines added;
    for (const auto& [path, bytes] : files) {
        if (manifest_.contains(path))
            refuse(job_ / path, "is in the list of evidence already", restore_mend);
        added.push_back({path, sha256(bytes)});
    }
    EvidenceLines extended = lines_;
    extended.insert(extended.end(), added.begin(), added.end());
    std::vector<fs::path> waiting;
    try {
        write_whole(job_ / waiting_name, to_text(added), Overwrite::never);
        waiting.push_back(job_ / waiting_name);
        for (const auto& [path, bytes] : files) {
            const fs::path place = job_ / path;
            if (fs::exists(fs::symlink_status(place)))
                refuse(place, "exists already and is not overwritten",
                       "move the file away; it is not from here");
            write_whole(waiting_place(place), bytes, Overwrite::never);
            waiting.push_back(waiting_place(place));
        }
        write_whole(job_ / manifest_name, to_text(extended), Overwrite::derived);
    } catch (...) {
        take_back(std::move(waiting));
        throw;
    }
    lines_ = std::move(extended);
    manifest_ = by_path(lines_);
    for (const auto& [path, bytes] : files) {
        const fs::path place = job_ / path;
        put_in_place(waiting_place(place), place);
    }
    remove_quietly(job_ / waiting_name);
}

/// A waiting file with the content that was noted for it is put in place where it is evidence, and removed
/// where it was not yet.
std::optional<RepairNote> EvidenceStore::settle(const std::string& path, const std::string& hash) {
    const fs::path place = job_ / path, waiting = waiting_place(place);
    std::error_code ignored;
    if (!fs::is_regular_file(fs::symlink_status(waiting, ignored)) || sha256_of_file(waiting) != hash)
        return {};
    const auto listed = manifest_.find(path);
    if (listed != manifest_.end() && listed->second == hash &&
        !fs::exists(fs::symlink_status(place, ignored))) {
        put_in_place(waiting, place);
        return KeepingFinished{path};
    }
    fs::remove(waiting, ignored);
    return UnkeptRemoved{waiting.lexically_relative(job_).generic_string()};
}

std::vector<RepairNote> EvidenceStore::repair(const std::vector<std::string>& left_stems) {
    std::vector<RepairNote> done;
    Manifest to_settle;
    for (const auto& [path, hash] : manifest_) // also where the list of what waits was lost
        if (!fs::exists(fs::symlink_status(job_ / path)))
            to_settle[path] = hash;
    const Manifest noted = noted_in(job_ / waiting_name);
    to_settle.insert(noted.begin(), noted.end());
    for (const auto& [path, hash] : to_settle)
        if (const auto settled = settle(path, hash))
            done.push_back(*settled);
    if (!noted.empty())
        remove_quietly(job_ / waiting_name);
    if (left_stems.empty())
        return done;
    for (const std::string& path : files_under(job_)) {
        const fs::path place = job_ / path;
        const bool left = std::any_of(left_stems.begin(), left_stems.end(), [&](const std::string& stem) {
            return is_unfinished_write(place.filename().string(), stem);
        });
        std::error_code failure;
        if (left && fs::is_regular_file(fs::symlink_status(place, failure)) && fs::remove(place, failure))
            done.push_back(HalfWrittenRemoved{path});
    }
    return done;
}

std::vector<std::string> files_under(const fs::path& folder) {
    std::vector<std::string> paths;
    std::vector<fs::path> folders = {folder};
    while (!folders.empty()) {
        const fs::path next = std::move(folders.back());
        folders.pop_back();
        std::error_code failure;
        for (fs::directory_iterator entry(next, failure), end; !failure && entry != end;
             entry.increment(failure))
            if (fs::is_directory(entry->symlink_status()))
                folders.push_back(entry->path());
            else
                paths.push_back(entry->path().lexically_relative(folder).generic_string());
        if (failure)
            refuse(next, fmt::format("cannot be read ({})", failure.message()),
                   "change the permissions of the folder, or take it out of the job");
    }
    std::sort(paths.begin(), paths.end());
    return paths;
}

} // namespace ebbmark
