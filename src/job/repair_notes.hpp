// SPDX-License-Identifier: GPL-3.0-or-later
// What was put right when a job was opened for writing, as kinds and names. Their words stand in proof/words.
#pragma once

#include <string>
#include <variant>

namespace ebbmark {

/// The lock of a program that ended without giving it back.
struct LockTakenOver {
    std::string holder; ///< "process 123 on host"
    bool operator==(const LockTakenOver&) const = default;
};

/// A file that was listed already got its name.
struct KeepingFinished {
    std::string path; ///< in the job
    bool operator==(const KeepingFinished&) const = default;
};

/// A file that was not listed yet went away.
struct UnkeptRemoved {
    std::string path;
    bool operator==(const UnkeptRemoved&) const = default;
};

/// A temporary file went away.
struct HalfWrittenRemoved {
    std::string path;
    bool operator==(const HalfWrittenRemoved&) const = default;
};

using RepairNote = std::variant<LockTakenOver, KeepingFinished, UnkeptRemoved, HalfWrittenRemoved>;

} // namespace ebbmark
