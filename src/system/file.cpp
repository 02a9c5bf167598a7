// SPDX-License-Identifier: GPL-3.0-or-later
#include "system/file.hpp"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstdint>
#include <cstdio>
#include <utility>

namespace ebbmark {

namespace fs = std::filesystem;

namespace {

Opened opened(int number) {
    return {OpenFile(number), number < 0 ? errno : 0};
}

int error_unless(bool done) {
    return done ? 0 : errno;
}

} // namespace

OpenFile::~OpenFile() {
    if (is_open())
        ::close(number_);
}

OpenFile::OpenFile(OpenFile&& other) noexcept : number_(std::exchange(other.number_, -1)) {}

OpenFile& OpenFile::operator=(OpenFile&& other) noexcept {
    std::swap(number_, other.number_);
    return *this;
}

int OpenFile::close_now() {
    return error_unless(::close(std::exchange(number_, -1)) == 0);
}

Opened open_to_read(const fs::path& path) {
    return opened(::open(path.c_str(), O_RDONLY | O_CLOEXEC));
}

Opened open_new(const fs::path& path) {
    return opened(::open(path.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC, 0666));
}

Opened open_to_keep(const fs::path& path) {
    return opened(::open(path.c_str(), O_RDWR | O_CREAT | O_CLOEXEC | O_NOFOLLOW, 0666));
}

int length_of(const OpenFile& file, std::size_t& bytes) {
    struct stat state {};
    if (::fstat(file.number(), &state) != 0)
        return errno;
    bytes = static_cast<std::size_t>(state.st_size);
    return 0;
}

int read_into(const OpenFile& file, std::string& bytes) {
    std::size_t filled = 0;
    while (filled < bytes.size()) {
        const auto got = ::read(file.number(), bytes.data() + filled, bytes.size() - filled);
        if (got < 0 && errno == EINTR)
            continue;
        if (got < 0)
            return errno;
        if (got == 0)
            break;
        filled += static_cast<std::size_t>(got);
    }
    bytes.resize(filled);
    return 0;
}

int write_all(const OpenFile& file, std::string_view bytes) {
    while (!bytes.empty()) {
        const auto written = ::write(file.number(), bytes.data(), bytes.size());
        if (written < 0 && errno == EINTR)
            continue;
        if (written < 0)
            return errno;
        bytes.remove_prefix(static_cast<std::size_t>(written));
    }
    return 0;
}

int flush_and_close(OpenFile& file) {
    if (::fsync(file.number()) != 0 && errno != EINVAL)
        return errno;
    return file.close_now();
}

std::string text_of(const OpenFile& file, std::size_t most_bytes) {
    std::string text(most_bytes, '\0');
    const auto got = ::pread(file.number(), text.data(), text.size(), 0);
    text.resize(static_cast<std::size_t>(got > 0 ? got : 0));
    return text;
}

bool replace_text(const OpenFile& file, std::string_view text) {
    return ::ftruncate(file.number(), 0) == 0 &&
           (text.empty() ||
            ::pwrite(file.number(), text.data(), text.size(), 0) == static_cast<ssize_t>(text.size()));
}

int lock_alone(const OpenFile& file) {
    return error_unless(::flock(file.number(), LOCK_EX | LOCK_NB) == 0);
}

int name_as_new(const fs::path& from, const fs::path& to) {
    if (::link(from.c_str(), to.c_str()) == 0)
        return 0;
    const int error = errno;
#ifdef RENAME_NOREPLACE
    // Disks without hard links, such as FAT on a USB stick.
    if (error != EEXIST)
        return error_unless(::renameat2(AT_FDCWD, from.c_str(), AT_FDCWD, to.c_str(), RENAME_NOREPLACE) == 0);
#endif
    return error;
}

void flush_folder(const fs::path& folder) {
    // Some disks cannot flush a folder; the file itself is safe by then, so that is no error.
    const OpenFile opened(::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC));
    if (opened.is_open())
        ::fsync(opened.number());
}

int refused_reading(const fs::path& path) {
    return error_unless(::access(path.c_str(), R_OK) == 0);
}

bool is_writable(const fs::path& path) {
    return ::access(path.c_str(), W_OK) == 0;
}

std::size_t longest_file() {
    rlimit limit{};
    if (::getrlimit(RLIMIT_FSIZE, &limit) != 0 || limit.rlim_cur == RLIM_INFINITY)
        return SIZE_MAX;
    return std::max<std::size_t>(limit.rlim_cur, 1);
}

std::string mend_for(int error) {
    switch (error) {
    case ENOENT:
        return "create the folder first or correct the path";
    case ENOTDIR:
        return "a part of the path is a file and not a folder: correct the path";
    case EACCES:
    case EPERM:
        return "change the permissions or choose another place";
    case EROFS:
        return "the disk is read-only: choose another place";
    case ENOSPC:
    case EDQUOT:
        return "the disk is full: make room or choose another disk";
    case EFBIG:
        return "the file is larger than this disk or this shell (ulimit -f) lets it be: choose another disk "
               "or lift the limit";
    case ENAMETOOLONG:
        return "choose a shorter name";
    default:
        return "check the disk or choose another place";
    }
}

} // namespace ebbmark
