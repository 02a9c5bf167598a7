// SPDX-License-Identifier: GPL-3.0-or-later
// ZIP archives whose bytes depend on their content alone. The only place that knows libarchive.
#pragma once

#include "files/whole_file.hpp"

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

/// Unpacks into an existing empty folder. Throws Error(unusable) where it is no archive, is damaged, holds
/// anything but files and folders, a path twice, or one that leads out of the folder.
void unpack_archive(const std::filesystem::path& path, const std::filesystem::path& folder);

} // namespace ebbmark
