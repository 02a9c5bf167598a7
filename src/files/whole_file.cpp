// SPDX-License-Identifier: GPL-3.0-or-later
#include "files/whole_file.hpp"

#include "base/error.hpp"
#include "system/file.hpp"
#include "system/process.hpp"

#include <fmt/format.h>

#include <atomic>
#include <cerrno>
#include <cstring>
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

fs::path folder_of(const fs::path& path) {
    return path.has_parent_path() ? path.parent_path() : fs::path(".");
}

/// A new temporary file beside the target, removed at the end under that name. A name that is taken is left
/// to whoever has it, and a link is never followed.
class Temporary {
  public:
    explicit Temporary(const fs::path& target) {
        static std::atomic<unsigned> count = 0;
        const fs::path folder = folder_of(target);
        do {
            path_ = folder / fmt::format("{}{}{}", unfinished_stem(), ++count, unfinished_suffix);
            opened_ = open_new(path_);
        } while (opened_.error == EEXIST);
        if (opened_.error != 0)
            refuse_write(target, opened_.error);
    }
    ~Temporary() {
        std::error_code ignored; // after a renaming there is none
        fs::remove(path_, ignored);
    }
    Temporary(const Temporary&) = delete;
    Temporary& operator=(const Temporary&) = delete;

    const fs::path& path() const { return path_; }
    OpenFile& file() { return opened_.file; }

  private:
    fs::path path_;
    Opened opened_;
};

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

void write_through(const fs::path& path, const std::function<void(const OpenFile&)>& fill,
                   Overwrite overwrite) {
    require_free(path, overwrite);
    Temporary temporary(path);
    fill(temporary.file());
    if (const int error = flush_and_close(temporary.file()))
        refuse_write(path, error);
    if (overwrite == Overwrite::derived) {
        std::error_code failure;
        fs::rename(temporary.path(), path, failure);
        if (failure)
            refuse_write(path, failure.value());
    } else if (const int error = name_as_new(temporary.path(), path)) {
        if (error == EEXIST)
            refuse_existing(path);
        refuse_write(path, error);
    }
    flush_folder(folder_of(path));
}

} // namespace

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
    if (const int error = refused_reading(path))
        refuse(path, fmt::format("cannot be read ({})", std::strerror(error)), mend_for(error));
}

std::string read_whole(const fs::path& path, std::size_t limit) {
    require_readable(path);
    const auto [file, refused] = open_to_read(path);
    std::size_t length = 0;
    if (const int error = refused != 0 ? refused : length_of(file, length))
        refuse(path, fmt::format("cannot be read ({})", std::strerror(error)), mend_for(error));
    if (length > limit)
        refuse(path, fmt::format("has more than {} bytes, too many for a file of this kind", limit),
               "check that this is the right file");
    std::string bytes(length, '\0');
    if (const int error = read_into(file, bytes))
        refuse(path, fmt::format("cannot be read ({})", std::strerror(error)),
               "check the disk and copy the file again");
    return bytes;
}

void write_whole(const fs::path& path, std::string_view bytes, Overwrite overwrite) {
    write_through(
        path,
        [&](const OpenFile& file) {
            if (const int error = write_all(file, bytes))
                refuse_write(path, error);
        },
        overwrite);
}

void write_whole(const fs::path& path, const std::function<void(int descriptor)>& fill, Overwrite overwrite) {
    write_through(
        path, [&](const OpenFile& file) { fill(file.number()); }, overwrite);
}

void make_folder(const fs::path& path) {
    std::error_code failure;
    if (fs::create_directory(path, failure))
        flush_folder(folder_of(path));
    else if (failure == std::errc::file_exists)
        refuse(path, "is a file and not a folder", "choose another name or move the file away");
    else if (failure)
        refuse(path, fmt::format("cannot be created ({})", failure.message()), mend_for(failure.value()));
}

const std::string& unfinished_stem() {
    static const std::string stem = [] {
        std::random_device random;
        return fmt::format("{}{}-{:08x}{:08x}-", unfinished_prefix, this_process(), random(), random());
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
