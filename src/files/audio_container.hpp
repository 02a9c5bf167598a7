// SPDX-License-Identifier: GPL-3.0-or-later
// What the header of an audio file promises, so that a file that was cut off is noticed: audio libraries
// silently read what is left of it.
#pragma once

#include <cstdint>
#include <filesystem>
#include <iosfwd>
#include <optional>

namespace ebbmark {

/// Bytes of sound that the header promises, and that the file holds from there to its end.
struct PromisedSound {
    std::uint64_t promised_bytes = 0;
    std::uint64_t present_bytes = 0;
};

/// Of RIFF/RF64 WAV (EBU Tech 3306), AIFF, W64 and CAF files; nothing for other files or without a data
/// chunk.
std::optional<PromisedSound> promised_sound(const std::filesystem::path& path);
std::optional<PromisedSound> promised_sound(std::istream& file);

} // namespace ebbmark
