// SPDX-License-Identifier: GPL-3.0-or-later
#include "files/archive.hpp"

#include "base/error.hpp"
#include "files/hash.hpp"
#include "files/whole_file.hpp"
#include "system/utf8_names.hpp"

#include <archive.h>
#include <archive_entry.h>
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <ctime>
#include <fstream>
#include <memory>
#include <utility>

namespace ebbmark {

namespace fs = std::filesystem;

namespace {

struct Free {
    void operator()(archive* a) const { archive_free(a); }
    void operator()(archive_entry* entry) const { archive_entry_free(entry); }
};
using Archive = std::unique_ptr<archive, Free>;
using Entry = std::unique_ptr<archive_entry, Free>;

// The first moment that ZIP can write, 1980-01-01 00:00: nobody takes it for a date.
constexpr std::time_t no_time = 315532800;

[[noreturn]] void refuse(const fs::path& path, const std::string& what) {
    throw Error(ErrorKind::unusable, fmt::format("{}: {}", path.string(), what));
}

void require(int code, archive* a, const fs::path& path) {
    if (code < ARCHIVE_WARN)
        refuse(path, fmt::format("{}; is the disk full?", archive_error_string(a)));
}

std::uintmax_t size_of(const ArchiveEntry& entry) {
    if (entry.file.empty())
        return entry.bytes.size();
    require_readable(entry.file);
    return fs::file_size(entry.file);
}

void add(archive* a, const ArchiveEntry& what, const fs::path& path) {
    const Entry entry(archive_entry_new());
    archive_entry_set_pathname_utf8(entry.get(), what.path.c_str());
    archive_entry_set_filetype(entry.get(), AE_IFREG);
    archive_entry_set_perm(entry.get(), 0644);
    archive_entry_set_mtime(entry.get(), no_time, 0);
    archive_entry_set_size(entry.get(), static_cast<la_int64_t>(size_of(what)));
    require(archive_write_header(a, entry.get()), a, path);
    const auto put = [&](const char* bytes, std::size_t count) {
        if (archive_write_data(a, bytes, count) != static_cast<la_ssize_t>(count))
            refuse(path, "could not be written whole; is the disk full?");
    };
    if (what.file.empty())
        return put(what.bytes.data(), what.bytes.size());
    std::ifstream file(what.file, std::ios::binary);
    std::array<char, 1 << 16> block;
    while (file.read(block.data(), block.size()) || file.gcount() > 0)
        put(block.data(), static_cast<std::size_t>(file.gcount()));
}

void write_to(int descriptor, const fs::path& path, const std::vector<ArchiveEntry>& entries) {
    const Utf8Names names;
    const Archive a(archive_write_new());
    archive_write_set_format_zip(a.get());
    archive_write_zip_set_compression_store(a.get());
    require(archive_write_open_fd(a.get(), descriptor), a.get(), path);
    for (const ArchiveEntry& entry : entries)
        add(a.get(), entry, path);
    require(archive_write_close(a.get()), a.get(), path);
}

bool leads_out(const fs::path& path) {
    if (path.empty() || path.is_absolute())
        return true;
    for (const fs::path& part : path)
        if (part == "..")
            return true;
    return false;
}

/// Where an entry goes; its folders are made.
fs::path place_for(const fs::path& inside, bool is_folder, const fs::path& source, const fs::path& folder) {
    const fs::path place = folder / inside;
    std::error_code failure;
    fs::create_directories(is_folder ? place : place.parent_path(), failure);
    if (failure && failure != std::errc::file_exists)
        refuse(source,
               fmt::format("{} could not be unpacked ({}); check the disk, or fetch the archive again",
                           inside.string(), failure.message()));
    if (failure || (!is_folder && fs::exists(fs::symlink_status(place, failure))))
        refuse(source, fmt::format("holds {} twice; do not trust it", inside.string()));
    return place;
}

/// Counts what was unpacked, and refuses what is beyond the limits: what the archive says of itself may be
/// wrong.
class Counted {
  public:
    Counted(const fs::path& source, const ArchiveLimits& limits)
        : source_(source), limits_(limits),
          most_(std::min(limits.bytes,
                         std::max(limits.bytes_always, limits.times_packed * fs::file_size(source)))) {}

    void entry(const fs::path& inside) {
        if (++entries_ > limits_.entries)
            refuse(source_, fmt::format("holds more than {} files; no job does, so it was not unpacked",
                                        limits_.entries));
        if (static_cast<std::size_t>(std::distance(inside.begin(), inside.end())) > limits_.depth)
            refuse(source_,
                   fmt::format("holds folders more than {} deep; no job does, so it was not unpacked",
                               limits_.depth));
    }

    void bytes(std::uintmax_t count) {
        bytes_ += count;
        if (bytes_ > most_)
            refuse(source_,
                   fmt::format("unpacks to more than {} MB, far more than its own size; unpack it with "
                               "a tool that you trust, and name the folder",
                               most_ / 1'000'000));
    }

  private:
    fs::path source_;
    ArchiveLimits limits_;
    std::uintmax_t most_, bytes_ = 0;
    std::size_t entries_ = 0;
};

/// Its path where it is a file; empty where it is a folder.
std::string unpack_entry(archive* a, archive_entry* entry, const fs::path& source, const fs::path& folder,
                         Counted& counted) {
    const char* name = archive_entry_pathname_utf8(entry);
    const fs::path inside = name ? name : "";
    counted.entry(inside);
    if (leads_out(inside))
        refuse(source, "holds a path that leads out of it; do not trust it");
    const bool is_folder = archive_entry_filetype(entry) == AE_IFDIR;
    if (!is_folder && archive_entry_filetype(entry) != AE_IFREG)
        refuse(source, fmt::format("holds {}, which is no plain file; do not trust it", inside.string()));
    if (archive_entry_is_encrypted(entry))
        refuse(source, "is locked with a password; unpack it and name the folder");
    const fs::path place = place_for(inside, is_folder, source, folder);
    if (is_folder)
        return "";
    std::ofstream file(place, std::ios::binary);
    std::array<char, 1 << 16> block;
    la_ssize_t got = 0;
    while (file && (got = archive_read_data(a, block.data(), block.size())) > 0) {
        counted.bytes(static_cast<std::uintmax_t>(got));
        file.write(block.data(), got);
    }
    file.close();
    if (got < 0)
        refuse(source, "is damaged; fetch it again");
    if (!file)
        refuse(source, fmt::format("{} could not be unpacked; is the disk full, or the name too long?",
                                   inside.string()));
    return inside.generic_string();
}

/// A ZIP archive ends with the end record of its directory (APPNOTE.TXT 4.3.16) and the comment that it tells
/// the length of. Without it the archive was cut, and a reader that goes on from file to file sees nothing.
bool has_its_end(const fs::path& path) {
    constexpr std::uintmax_t record = 22, longest_comment = 65535;
    const std::uintmax_t size = fs::file_size(path), tail = std::min(size, record + longest_comment);
    std::ifstream file(path, std::ios::binary);
    file.seekg(static_cast<std::streamoff>(size - tail));
    std::string end(tail, '\0');
    if (!file.read(end.data(), static_cast<std::streamsize>(tail)))
        return false;
    for (std::size_t at = 0; at + record <= end.size(); ++at) {
        const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(end[at + i]); };
        if (end.compare(at, 4, "PK\5\6", 4) == 0 && at + record + byte(20) + 256U * byte(21) == end.size())
            return true;
    }
    return false;
}

} // namespace

void write_archive(const fs::path& path, const std::vector<ArchiveEntry>& entries, Overwrite overwrite) {
    write_whole(
        path, [&](int descriptor) { write_to(descriptor, path, entries); }, overwrite);
}

std::vector<std::string> unpack_archive(const fs::path& path, const fs::path& folder,
                                        const ArchiveLimits& limits) {
    require_readable(path);
    const Utf8Names names;
    const Archive a(archive_read_new());
    archive_read_support_format_zip(a.get());
    if (archive_read_open_filename(a.get(), path.c_str(), 1 << 16) != ARCHIVE_OK)
        refuse(path, "is no ZIP archive; name a job, or what ebbmark bundle wrote");
    Counted counted(path, limits);
    archive_entry* entry = nullptr;
    int code = ARCHIVE_OK;
    std::vector<std::string> files;
    while ((code = archive_read_next_header(a.get(), &entry)) == ARCHIVE_OK)
        if (std::string file = unpack_entry(a.get(), entry, path, folder, counted); !file.empty())
            files.push_back(std::move(file));
    if (code != ARCHIVE_EOF || files.empty())
        refuse(path, "is damaged or no ZIP archive; fetch it again");
    if (!has_its_end(path))
        refuse(path, "is cut off at its end; fetch it again");
    return files;
}

bool is_as_written(const fs::path& path, const fs::path& folder, const std::vector<std::string>& files) {
    std::vector<ArchiveEntry> entries;
    for (const std::string& file : files)
        entries.push_back({file, "", folder / file});
    const fs::path again = folder / ".again.zip";
    write_archive(again, entries, Overwrite::never);
    const bool same = sha256_of_file(again) == sha256_of_file(path);
    fs::remove(again);
    return same;
}

} // namespace ebbmark
