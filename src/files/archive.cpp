// SPDX-License-Identifier: GPL-3.0-or-later
#include "files/archive.hpp"

#include "base/error.hpp"
#include "files/whole_file.hpp"
#include "system/utf8_names.hpp"

#include <archive.h>
#include <archive_entry.h>
#include <fmt/format.h>

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

void unpack_entry(archive* a, archive_entry* entry, const fs::path& source, const fs::path& folder) {
    const char* name = archive_entry_pathname_utf8(entry);
    const fs::path inside = name ? name : "";
    if (leads_out(inside))
        refuse(source, "holds a path that leads out of it; do not trust it");
    const bool is_folder = archive_entry_filetype(entry) == AE_IFDIR;
    if (!is_folder && archive_entry_filetype(entry) != AE_IFREG)
        refuse(source, fmt::format("holds {}, which is no plain file; do not trust it", inside.string()));
    if (archive_entry_is_encrypted(entry))
        refuse(source, "is locked with a password; unpack it and name the folder");
    const fs::path place = place_for(inside, is_folder, source, folder);
    if (is_folder)
        return;
    std::ofstream file(place, std::ios::binary);
    std::array<char, 1 << 16> block;
    la_ssize_t got = 0;
    while (file && (got = archive_read_data(a, block.data(), block.size())) > 0)
        file.write(block.data(), got);
    file.close();
    if (got < 0)
        refuse(source, "is damaged; fetch it again");
    if (!file)
        refuse(source, fmt::format("{} could not be unpacked; is the disk full, or the name too long?",
                                   inside.string()));
}

} // namespace

void write_archive(const fs::path& path, const std::vector<ArchiveEntry>& entries, Overwrite overwrite) {
    write_whole(
        path, [&](int descriptor) { write_to(descriptor, path, entries); }, overwrite);
}

void unpack_archive(const fs::path& path, const fs::path& folder) {
    require_readable(path);
    const Utf8Names names;
    const Archive a(archive_read_new());
    archive_read_support_format_zip(a.get());
    if (archive_read_open_filename(a.get(), path.c_str(), 1 << 16) != ARCHIVE_OK)
        refuse(path, "is no ZIP archive; name a job, or what ebbmark bundle wrote");
    archive_entry* entry = nullptr;
    int code = ARCHIVE_OK, count = 0;
    while ((code = archive_read_next_header(a.get(), &entry)) == ARCHIVE_OK) {
        unpack_entry(a.get(), entry, path, folder);
        ++count;
    }
    if (code != ARCHIVE_EOF || count == 0)
        refuse(path, "is damaged or no ZIP archive; fetch it again");
}

} // namespace ebbmark
