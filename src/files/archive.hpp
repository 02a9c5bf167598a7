// SPDX-License-Identifier: GPL-3.0-or-later
// ZIP archives whose bytes depend on their content alone. The only place that knows libarchive.
#pragma once

#include "files/whole_file.hpp"

#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

namespace ebbmark {

/// A file that goes into an archive: bytes, or where no bytes are given a file on the disk.
struct ArchiveEntry {
    std::string path; ///< in the archive, with / between folders
    std::string bytes;
    std::filesystem::path file;
};

/// Writes the entries in the order given, stored without compression, all with the time 1980-01-01 and the
/// same permissions. The archive appears whole or not at all. Throws Error(unusable) where a file cannot be
/// read, the disk refuses, or `path` exists and may not be overwritten.
void write_archive(const std::filesystem::path& path, const std::vector<ArchiveEntry>& entries,
                   Overwrite overwrite);

/// What an archive may hold: more than any job, less than what fills a disk by surprise.
struct ArchiveLimits {
    std::uintmax_t bytes = 16'000'000'000; ///< unpacked, all together
    std::uintmax_t times_packed =
        50; ///< unpacked, of the archive's own size; below `bytes_always` it is not asked
    std::uintmax_t bytes_always = 50'000'000;
    std::size_t entries = 20'000;
    std::size_t depth = 8; ///< folders within each other
};

/// Unpacks into an existing empty folder; gives the paths of its files in their order. Throws Error(unusable)
/// where it is no archive, is damaged or cut, holds anything but files and folders, a path twice, one that
/// leads out of the folder, or more than the limits.
std::vector<std::string> unpack_archive(const std::filesystem::path& path,
                                        const std::filesystem::path& folder,
                                        const ArchiveLimits& limits = {});

/// Whether the archive is, byte for byte, what write_archive makes of these files of the folder in this
/// order: whether nothing lies in it beside them.
bool is_as_written(const std::filesystem::path& path, const std::filesystem::path& folder,
                   const std::vector<std::string>& files);

} // namespace ebbmark
