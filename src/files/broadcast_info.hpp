// SPDX-License-Identifier: GPL-3.0-or-later
// What a recorder wrote into the `bext` chunk of a Broadcast Wave file: EBU Tech 3285.
#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>

namespace ebbmark {

struct BroadcastInfo {
    std::string description; ///< printable text
    std::string originator;
    std::string date; ///< "2026-11-25" as written by the recorder, empty where it is no date
    std::string time; ///< "14:03:11"
    std::uint64_t samples_since_midnight = 0;

    friend bool operator==(const BroadcastInfo&, const BroadcastInfo&) = default;
};

/// Of RIFF, RF64 and BW64 files; nothing for others, without such a chunk, or where it is cut off. Throws
/// Error(unusable) where the file cannot be read.
std::optional<BroadcastInfo> broadcast_info(const std::filesystem::path& path);

/// For people: "Recorded 2026-11-25 14:03:11, \"kitchen\" (as the recorder wrote it)."
std::string sentence(const BroadcastInfo& info);

} // namespace ebbmark
