// SPDX-License-Identifier: GPL-3.0-or-later
// Files as the system has them: open, locked, safe on the disk. What is said about them stands in
// files/whole_file and job/lock. Errors are the numbers of <cerrno>, 0 for none.
#pragma once

#include <cstddef>
#include <filesystem>
#include <string>
#include <string_view>

namespace ebbmark {

/// An open file, closed at the end, which no process that starts another program passes on. Another system:
/// libraries are given the number (libarchive), so it must be one of the C library's.
class OpenFile {
  public:
    OpenFile() = default;
    explicit OpenFile(int number) : number_(number) {}
    ~OpenFile();
    OpenFile(OpenFile&& other) noexcept;
    OpenFile& operator=(OpenFile&& other) noexcept;

    int number() const { return number_; }
    bool is_open() const { return number_ >= 0; }
    /// 0 or the error: closing can report a full disk of a network drive.
    int close_now();

  private:
    int number_ = -1;
};

/// The file, or the error where it is not open.
struct Opened {
    OpenFile file;
    int error = 0;
};

Opened open_to_read(const std::filesystem::path& path);
/// A new file to write; EEXIST where the name is taken, also by a link that leads nowhere.
Opened open_new(const std::filesystem::path& path);
/// To read and write, made where it is not there; a link is never followed.
Opened open_to_keep(const std::filesystem::path& path);

/// 0 or the error.
int length_of(const OpenFile& file, std::size_t& bytes);
/// Fills `bytes` from the file's place of reading on; shorter where the file ends before.
int read_into(const OpenFile& file, std::string& bytes);
int write_all(const OpenFile& file, std::string_view bytes);
/// Comes back when all of it is on the disk; no error where this kind of file knows no flushing.
int flush_and_close(OpenFile& file);
/// Its text from the start, so many bytes of it at most; empty where it cannot be read.
std::string text_of(const OpenFile& file, std::size_t most_bytes);
/// Whether `text` is now all that the file has.
bool replace_text(const OpenFile& file, std::string_view text);

/// Locks the file for this process alone, without waiting: 0, EWOULDBLOCK where another one has it, or the
/// error of a disk that knows no locks. The lock ends with the file's closing or the process, however that
/// ends. Another system: others must be able to read the text of a file that is locked.
int lock_alone(const OpenFile& file);

/// Gives the file at `from` a second name where nothing has that name yet (EEXIST otherwise), in one step, or
/// renames it so; 0 or the error. Another system: never in two steps, and never over another file.
int name_as_new(const std::filesystem::path& from, const std::filesystem::path& to);
/// Flushes a folder's list of names to the disk, after files in it were renamed or removed. Another system:
/// where it cannot, nothing; the file itself is safe by then.
void flush_folder(const std::filesystem::path& folder);

/// 0 where this process may read it, else the error.
int refused_reading(const std::filesystem::path& path);
bool is_writable(const std::filesystem::path& path);

/// Bytes of the longest file that this process may write (ulimit -f), at least 1.
std::size_t longest_file();

/// What to do about an error of the system, for the end of a sentence. Another system: also for the numbers
/// that std::filesystem gives there.
std::string mend_for(int error);

} // namespace ebbmark
