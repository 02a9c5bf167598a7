// SPDX-License-Identifier: GPL-3.0-or-later
// Files read and written whole. A file that is being written appears under its name complete or not at all,
// also after a power cut.
#pragma once

#include <cstddef>
#include <filesystem>
#include <functional>
#include <string>
#include <string_view>

namespace ebbmark {

/// What to do where the destination exists already.
enum class Overwrite {
    never,  ///< refuse: raw recordings and everything that a user wrote
    derived ///< replace: results that can be made again, on the user's word
};

constexpr std::size_t text_limit_bytes = std::size_t{16} << 20;
constexpr std::size_t data_limit_bytes = std::size_t{16} << 30;

/// All bytes of a regular file. Throws Error(unusable) naming the file, what is wrong with it and the mend
/// where it does not exist, is a folder, may not be read, or has more than `limit` bytes.
std::string read_whole(const std::filesystem::path& path, std::size_t limit = text_limit_bytes);

/// Throws as read_whole does, without reading: for libraries that open files themselves.
void require_readable(const std::filesystem::path& path);

/// Writes through a temporary file in the same folder, flushed to the disk and then put in place in one step.
/// Throws Error(unusable) where the folder is missing or may not be written, the disk is full, or the file
/// exists and may not be overwritten; then nothing is left behind.
void write_whole(const std::filesystem::path& path, std::string_view bytes, Overwrite overwrite);

/// The same for libraries that write themselves: `fill` gets the descriptor of the temporary file. What it
/// throws is passed on, and nothing is left behind.
void write_whole(const std::filesystem::path& path, const std::function<void(int descriptor)>& fill,
                 Overwrite overwrite);

/// Creates one folder and flushes its parent to the disk; an existing folder is fine. Throws Error(unusable).
void make_folder(const std::filesystem::path& path);

/// The beginning of the names of all temporary files that this process writes: ".ebbmark-" with its number
/// and random digits, so that no other file has such a name. Whoever finds it noted after the process was
/// killed knows the files that it left.
const std::string& unfinished_stem();

/// Whether a text is a stem as unfinished_stem() gives them, of any process.
bool is_unfinished_stem(std::string_view text);

/// Whether a file name is that of a temporary file of the process with that stem, or of any process where the
/// stem is empty.
bool is_unfinished_write(std::string_view file_name, std::string_view stem = "");

} // namespace ebbmark
