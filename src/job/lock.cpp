// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/lock.hpp"

#include "base/error.hpp"
#include "files/whole_file.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/file.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstring>
#include <sstream>
#include <utility>

namespace ebbmark {

namespace {

std::string this_computer() {
    std::array<char, 256> name{};
    return ::gethostname(name.data(), name.size() - 1) == 0 ? name.data() : "unknown";
}

/// What the holder wrote: "process 123 on host", then the stems of its temporary files and of those that were
/// killed before it, a line each.
struct Held {
    std::string holder;
    std::vector<std::string> stems;
};

Held held_by(int descriptor) {
    std::array<char, 4000> bytes{};
    const auto got = ::pread(descriptor, bytes.data(), bytes.size(), 0);
    std::istringstream text(std::string(bytes.data(), static_cast<std::size_t>(got > 0 ? got : 0)));
    Held held;
    std::getline(text, held.holder);
    for (std::string line; std::getline(text, line);)
        if (is_unfinished_stem(line))
            held.stems.push_back(line);
    return held;
}

[[noreturn]] void refuse(const std::filesystem::path& file, const std::string& what,
                         const std::string& mend) {
    throw Error(ErrorKind::unusable, fmt::format("{}: {}; {}", file.string(), what, mend));
}

} // namespace

JobLock::JobLock(const std::filesystem::path& job) {
    const auto file = job / lock_name;
    descriptor_ = ::open(file.c_str(), O_RDWR | O_CREAT | O_CLOEXEC | O_NOFOLLOW, 0666);
    if (descriptor_ < 0)
        refuse(file, fmt::format("cannot be opened ({})", std::strerror(errno)),
               "the job folder must be writable: change its permissions or copy it");
    const bool locked = ::flock(descriptor_, LOCK_EX | LOCK_NB) == 0;
    const int error = errno;
    const auto [found, stems] = held_by(descriptor_);
    // A lock written on another computer cannot be checked from here: shared folders may not pass locks on.
    const bool foreign = !found.empty() && !found.ends_with(" on " + this_computer());
    if (!locked || foreign) {
        ::close(std::exchange(descriptor_, -1));
        if (!locked && error != EWOULDBLOCK)
            refuse(file, fmt::format("cannot be locked ({})", std::strerror(error)),
                   "copy the job to a disk that knows locks");
        const std::string who = found.empty() ? "another program" : found;
        if (foreign)
            refuse(file, fmt::format("the job is in use by {}", who),
                   "end that program there; if it has ended, delete this file");
        refuse(file, fmt::format("the job is in use by {}", who), "wait until it is done or end it");
    }
    if (!found.empty())
        cleared_ = fmt::format("cleared the lock of {}, which ended without giving it back", found);
    left_stems_ = stems;
    // Those of the others stay noted: this process may be killed too.
    const std::string mine = fmt::format("process {} on {}\n{}\n{}\n", ::getpid(), this_computer(),
                                         unfinished_stem(), fmt::join(left_stems_, "\n"));
    if (::ftruncate(descriptor_, 0) != 0 ||
        ::pwrite(descriptor_, mine.data(), mine.size(), 0) != static_cast<ssize_t>(mine.size())) {
        ::close(std::exchange(descriptor_, -1));
        refuse(file, "cannot be written", "the disk may be full: make room");
    }
}

JobLock::JobLock(JobLock&& other) noexcept
    : descriptor_(std::exchange(other.descriptor_, -1)), cleared_(std::move(other.cleared_)),
      left_stems_(std::move(other.left_stems_)) {}

JobLock::~JobLock() {
    if (descriptor_ < 0)
        return;
    // The file stays: removing it would let two others lock two different files of the same name.
    // Where this fails, the next program finds the name of a dead process and says so.
    const bool emptied = ::ftruncate(descriptor_, 0) == 0;
    const std::string left = fmt::format("\n{}\n", fmt::join(left_stems_, "\n"));
    if (emptied && !left_stems_.empty()) [[maybe_unused]]
        const auto noted = ::pwrite(descriptor_, left.data(), left.size(), 0);
    ::close(descriptor_);
}

} // namespace ebbmark
