// SPDX-License-Identifier: GPL-3.0-or-later
// One program at a time writes to a job.
#pragma once

#include "job/repair_notes.hpp"
#include "system/file.hpp"

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace ebbmark {

/// Holds the lock of a job folder while it lives. The system takes the lock away from a process that dies, so
/// that no job stays locked.
class JobLock {
  public:
    /// Throws Error(unusable) naming the process and computer that hold the lock, or where the folder may not
    /// be written.
    explicit JobLock(const std::filesystem::path& job);
    ~JobLock();
    JobLock(JobLock&&) noexcept = default;
    JobLock& operator=(JobLock&&) = delete;

    /// The dead process whose lock was taken over; nothing where there was none.
    const std::optional<LockTakenOver>& cleared() const { return cleared_; }

    /// The stems of the temporary files of the processes that held the lock and were killed
    /// (files/whole_file.hpp), as they noted them in it.
    const std::vector<std::string>& left_stems() const { return left_stems_; }
    /// Those files are gone; until then the stems stay noted, also when the lock is given back.
    void forget_left() { left_stems_.clear(); }

  private:
    OpenFile file_;
    std::optional<LockTakenOver> cleared_;
    std::vector<std::string> left_stems_;
};

/// The lock's file in a job folder.
inline constexpr const char* lock_name = ".lock";

} // namespace ebbmark
