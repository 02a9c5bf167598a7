// SPDX-License-Identifier: GPL-3.0-or-later
// Which part of a sound file belongs to which take. A long file is looked through block by block, so that the
// memory depends on the takes and not on the file.
#pragma once

#include "files/audio_file.hpp"
#include "job/take.hpp"
#include "signal/excitation.hpp"

#include <cstddef>
#include <filesystem>
#include <optional>
#include <vector>

namespace ebbmark {

/// A segment of a file; all of it without one.
AudioFile read_part(const std::filesystem::path& path, const std::optional<Segment>& segment);

/// One part for each of the `wanted` takes, in order; nothing in it: the whole file. Throws Error(unusable),
/// naming the file, where the takes are not that many.
std::vector<std::optional<Segment>> recorded_parts(const std::filesystem::path& path, int channel,
                                                   const Excitation& excitation, std::size_t wanted);

} // namespace ebbmark
