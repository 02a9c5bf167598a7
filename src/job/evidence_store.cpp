// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/evidence_store.hpp"

#include "base/error.hpp"
#include "files/hash.hpp"
#include "files/whole_file.hpp"

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

void remove_quietly(const std::vector<fs::path>& places) {
    std::error_code ignored;
    for (const fs::path& place : places)
        fs::remove(place, ignored);
}

} // namespace

fs::path waiting_place(const fs::path& place) {
    return place.parent_path() / (std::string(waiting_prefix) + place.filename().string());
}

EvidenceStore::EvidenceStore(fs::path job) : job_(std::move(job)) {
    const fs::path list = job_ / manifest_name;
    if (!fs::exists(list))
        refuse(list, "the list of evidence is missing", "restore it from the copy on your second disk");
    manifest_ = manifest_from(read_whole(list), list.string());
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
    if (sha256(bytes) != manifest_.at(path))
        refuse(place, "is evidence and was changed", restore_mend);
    return bytes;
}

fs::path EvidenceStore::checked(const std::string& path) const {
    const fs::path place = place_of(path);
    if (sha256_of_file(place) != manifest_.at(path))
        refuse(place, "is evidence and was changed", restore_mend);
    return place;
}

void EvidenceStore::add(const std::map<std::string, std::string>& files) {
    Manifest extended = manifest_;
    std::vector<fs::path> waiting;
    try {
        for (const auto& [path, bytes] : files) {
            const fs::path place = job_ / path;
            if (fs::exists(fs::symlink_status(place)))
                refuse(place, "exists already and is not overwritten",
                       "move the file away; it is not from here");
            waiting.push_back(waiting_place(place));
            write_whole(waiting.back(), bytes, Overwrite::never);
            extended[path] = sha256(bytes);
        }
        write_whole(job_ / manifest_name, to_text(extended), Overwrite::derived);
    } catch (...) {
        remove_quietly(waiting);
        throw;
    }
    manifest_ = std::move(extended);
    for (const auto& [path, bytes] : files) {
        const fs::path place = job_ / path;
        put_in_place(waiting_place(place), place);
    }
}

std::vector<std::string> EvidenceStore::repair() {
    std::vector<std::string> done;
    for (const std::string& path : files_under(job_)) {
        const fs::path place = job_ / path;
        const std::string name = place.filename().string();
        if (is_unfinished_write(name)) {
            fs::remove(place);
            done.push_back(fmt::format("removed {}, left by a program that was ended while writing", path));
        }
        if (!name.starts_with(waiting_prefix))
            continue;
        const fs::path target = place.parent_path() / name.substr(waiting_prefix.size());
        const std::string key = target.lexically_relative(job_).generic_string();
        const auto listed = manifest_.find(key);
        if (listed != manifest_.end() && !fs::exists(target) && sha256_of_file(place) == listed->second) {
            put_in_place(place, target);
            done.push_back(fmt::format("finished keeping {}, which was interrupted", key));
        } else {
            fs::remove(place);
            done.push_back(
                fmt::format("removed {}, left by a program that was ended before it was kept", path));
        }
    }
    return done;
}

std::vector<std::string> files_under(const fs::path& folder) {
    std::vector<std::string> paths;
    for (const auto& entry : fs::recursive_directory_iterator(folder))
        if (!entry.is_directory() || entry.is_symlink())
            paths.push_back(entry.path().lexically_relative(folder).generic_string());
    std::sort(paths.begin(), paths.end());
    return paths;
}

} // namespace ebbmark
