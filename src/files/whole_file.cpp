// SPDX-License-Identifier: GPL-3.0-or-later
#include "files/whole_file.hpp"

#include "base/error.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <atomic>
#include <cerrno>
#include <cstdio>
#include <cstring>
#include <optional>
#include <random>

namespace ebbmark {

namespace fs = std::filesystem;

namespace {

constexpr std::string_view unfinished_prefix = ".ebbmark-";
constexpr std::string_view unfinished_suffix = ".part";

[[noreturn]] void refuse(const fs::path& path, std::string_view what, std::string_view mend) {
    throw Error(ErrorKind::unusable, fmt::format("{}: {}; {}", path.string(), what, mend));
}

[[noreturn]] void refuse_write(const fs::path& path, int error) {
    refuse(path, fmt::format("cannot be written ({})", std::strerror(error)), mend_for(error));
}

/// A file descriptor that closes itself.
class Descriptor {
  public:
    explicit Descriptor(int number) : number_(number) {}
    ~Descriptor() {
        if (number_ >= 0)
            ::close(number_);
    }
    Descriptor(const Descriptor&) = delete;
    Descriptor& operator=(const Descriptor&) = delete;

    int number() const { return number_; }
    bool is_open() const { return number_ >= 0; }
    /// Closing can report a full disk of a network drive; 0 or the error.
    int close_now() {
        const int number = number_;
        number_ = -1;
        return ::close(number) == 0 ? 0 : errno;
    }

  private:
    int number_;
};

/// A new temporary file beside the target, removed at the end under that name. A name that is taken is left
/// to whoever has it, and a link is never followed.
class Temporary {
  public:
    explicit Temporary(const fs::path& target) {
        static std::atomic<unsigned> count = 0;
        const auto folder = target.has_parent_path() ? target.parent_path() : fs::path(".");
        int number = -1;
        do {
            path_ = folder / fmt::format("{}{}{}", unfinished_stem(), ++count, unfinished_suffix);
            number = ::open(path_.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC, 0666);
        } while (number < 0 && errno == EEXIST);
        if (number < 0)
            refuse_write(target, errno);
        file_.emplace(number);
    }
    ~Temporary() { ::unlink(path_.c_str()); }
    Temporary(const Temporary&) = delete;
    Temporary& operator=(const Temporary&) = delete;

    const fs::path& path() const { return path_; }
    Descriptor& file() { return *file_; }

  private:
    fs::path path_;
    std::optional<Descriptor> file_;
};

/// 0, or the error of the system.
int write_all(int descriptor, std::string_view bytes) {
    while (!bytes.empty()) {
        const auto written = ::write(descriptor, bytes.data(), bytes.size());
        if (written < 0 && errno == EINTR)
            continue;
        if (written < 0)
            return errno;
        bytes.remove_prefix(static_cast<std::size_t>(written));
    }
    return 0;
}

/// 0, or the error of the system.
int flush_and_close(Descriptor& file) {
    if (::fsync(file.number()) != 0 && errno != EINVAL)
        return errno;
    return file.close_now();
}

/// Gives the temporary file its name only where nothing has that name yet; 0 or the error.
int place_new(const fs::path& from, const fs::path& to) {
    if (::link(from.c_str(), to.c_str()) == 0)
        return 0;
    const int error = errno;
#ifdef RENAME_NOREPLACE
    // Disks without hard links, such as FAT on a USB stick.
    if (error != EEXIST)
        return ::renameat2(AT_FDCWD, from.c_str(), AT_FDCWD, to.c_str(), RENAME_NOREPLACE) == 0 ? 0 : errno;
#endif
    return error;
}

[[noreturn]] void refuse_existing(const fs::path& path) {
    refuse(path, "exists already and is not overwritten", "choose another name or move the file away");
}

void require_free(const fs::path& path, Overwrite overwrite) {
    std::error_code failure; // left to the write itself, which names it
    const auto status = fs::symlink_status(path, failure);
    if (!fs::exists(status))
        return;
    if (fs::is_directory(status))
        refuse(path, "is a folder", "give the name of a file");
    if (overwrite == Overwrite::never)
        refuse_existing(path);
    if (!fs::is_regular_file(status) && !fs::is_symlink(status))
        refuse(path, "is not a regular file", "give the name of a file");
}

} // namespace

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
               "or "
               "lift the limit";
    case ENAMETOOLONG:
        return "choose a shorter name";
    default:
        return "check the disk or choose another place";
    }
}

void require_readable(const fs::path& path) {
    std::error_code failure;
    const auto status = fs::status(path, failure);
    if (status.type() == fs::file_type::not_found)
        refuse(path, "does not exist", "check the name and the folder");
    if (failure)
        refuse(path, fmt::format("cannot be reached ({})", failure.message()), mend_for(failure.value()));
    if (fs::is_directory(status))
        refuse(path, "is a folder", "give the name of a file");
    if (!fs::is_regular_file(status))
        refuse(path, "is not a regular file", "give the name of a file on a disk");
    if (::access(path.c_str(), R_OK) != 0)
        refuse(path, fmt::format("cannot be read ({})", std::strerror(errno)), mend_for(errno));
}

std::string read_whole(const fs::path& path, std::size_t limit) {
    require_readable(path);
    Descriptor file(::open(path.c_str(), O_RDONLY | O_CLOEXEC));
    struct stat state {};
    if (!file.is_open() || ::fstat(file.number(), &state) != 0)
        refuse(path, fmt::format("cannot be read ({})", std::strerror(errno)), mend_for(errno));
    const auto refuse_size = [&] {
        refuse(path, fmt::format("has more than {} bytes, too many for a file of this kind", limit),
               "check that this is the right file");
    };
    if (static_cast<std::size_t>(state.st_size) > limit)
        refuse_size();
    std::string bytes(static_cast<std::size_t>(state.st_size), '\0');
    std::size_t filled = 0;
    while (filled < bytes.size()) {
        const auto got = ::read(file.number(), bytes.data() + filled, bytes.size() - filled);
        if (got < 0 && errno == EINTR)
            continue;
        if (got < 0)
            refuse(path, fmt::format("cannot be read ({})", std::strerror(errno)),
                   "check the disk and copy the file again");
        if (got == 0)
            break;
        filled += static_cast<std::size_t>(got);
    }
    bytes.resize(filled);
    return bytes;
}

void write_whole(const fs::path& path, std::string_view bytes, Overwrite overwrite) {
    write_whole(
        path,
        [&](int descriptor) {
            if (const int error = write_all(descriptor, bytes))
                refuse_write(path, error);
        },
        overwrite);
}

void write_whole(const fs::path& path, const std::function<void(int descriptor)>& fill, Overwrite overwrite) {
    require_free(path, overwrite);
    Temporary temporary(path);
    fill(temporary.file().number());
    if (const int error = flush_and_close(temporary.file()))
        refuse_write(path, error);
    if (overwrite == Overwrite::derived) {
        if (::rename(temporary.path().c_str(), path.c_str()) != 0)
            refuse_write(path, errno);
    } else if (const int error = place_new(temporary.path(), path)) {
        if (error == EEXIST)
            refuse_existing(path);
        refuse_write(path, error);
    }
    flush_folder(path.has_parent_path() ? path.parent_path() : fs::path("."));
}

void make_folder(const fs::path& path) {
    if (::mkdir(path.c_str(), 0777) != 0) {
        const int error = errno;
        if (error == EEXIST && fs::is_directory(path))
            return;
        if (error == EEXIST)
            refuse(path, "is a file and not a folder", "choose another name or move the file away");
        refuse(path, fmt::format("cannot be created ({})", std::strerror(error)), mend_for(error));
    }
    flush_folder(path.has_parent_path() ? path.parent_path() : fs::path("."));
}

void flush_folder(const fs::path& folder) {
    // Some disks cannot flush a folder; the file itself is safe by then, so that is no error.
    const Descriptor opened(::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC));
    if (opened.is_open())
        ::fsync(opened.number());
}

const std::string& unfinished_stem() {
    static const std::string stem = [] {
        std::random_device random;
        return fmt::format("{}{}-{:08x}{:08x}-", unfinished_prefix, ::getpid(), random(), random());
    }();
    return stem;
}

bool is_unfinished_stem(std::string_view text) {
    if (!text.starts_with(unfinished_prefix))
        return false;
    text.remove_prefix(unfinished_prefix.size());
    const auto process = text.find_first_not_of("0123456789");
    return process != 0 && process != text.npos && text.size() == process + 18 && text[process] == '-' &&
           text.find_first_not_of("0123456789abcdef", process + 1) == text.size() - 1 && text.back() == '-';
}

bool is_unfinished_write(std::string_view file_name, std::string_view stem) {
    if (!file_name.ends_with(unfinished_suffix))
        return false;
    file_name.remove_suffix(unfinished_suffix.size());
    const auto number = file_name.find_last_of('-') + 1;
    const std::string_view own_stem = file_name.substr(0, number);
    return is_unfinished_stem(own_stem) && (stem.empty() || stem == own_stem) && number < file_name.size() &&
           file_name.find_first_not_of("0123456789", number) == file_name.npos;
}

} // namespace ebbmark
