// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/lock.hpp"

#include "base/error.hpp"
#include "files/whole_file.hpp"
#include "system/process.hpp"

#include <fmt/format.h>

#include <cerrno>
#include <cstring>
#include <sstream>

namespace ebbmark {

namespace {

/// What the holder wrote: "process 123 on host", then the stems of its temporary files and of those that were
/// killed before it, a line each.
struct Held {
    std::string holder;
    std::vector<std::string> stems;
};

Held held_by(const OpenFile& file) {
    std::istringstream text(text_of(file, 4000));
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
    const auto path = job / lock_name;
    auto [file, refused] = open_to_keep(path);
    if (refused != 0)
        refuse(path, fmt::format("cannot be opened ({})", std::strerror(refused)),
               "the job folder must be writable: change its permissions or copy it");
    const int error = lock_alone(file);
    const auto [found, stems] = held_by(file);
    // A lock written on another computer cannot be checked from here: shared folders may not pass locks on.
    const bool foreign = !found.empty() && !found.ends_with(" on " + this_computer());
    if (error != 0 || foreign) {
        if (error != 0 && error != EWOULDBLOCK)
            refuse(path, fmt::format("cannot be locked ({})", std::strerror(error)),
                   "copy the job to a disk that knows locks");
        const std::string who = found.empty() ? "another program" : found;
        if (foreign)
            refuse(path, fmt::format("the job is in use by {}", who),
                   "end that program there; if it has ended, delete this file");
        refuse(path, fmt::format("the job is in use by {}", who), "wait until it is done or end it");
    }
    if (!found.empty())
        cleared_ = LockTakenOver{found};
    left_stems_ = stems;
    // Those of the others stay noted: this process may be killed too.
    const std::string mine = fmt::format("process {} on {}\n{}\n{}\n", this_process(), this_computer(),
                                         unfinished_stem(), fmt::join(left_stems_, "\n"));
    if (!replace_text(file, mine))
        refuse(path, "cannot be written", "the disk may be full: make room");
    file_ = std::move(file);
}

JobLock::~JobLock() {
    if (!file_.is_open())
        return;
    // The file stays: removing it would let two others lock two different files of the same name.
    // Where this fails, the next program finds the name of a dead process and says so.
    const std::string left = fmt::format("\n{}\n", fmt::join(left_stems_, "\n"));
    [[maybe_unused]] const bool noted = replace_text(file_, left_stems_.empty() ? "" : left);
}

} // namespace ebbmark
