// SPDX-License-Identifier: GPL-3.0-or-later
// A virtual room's description in TOML; room, places and traps are written as in a job. See
// data/demo-room.toml for every key.
#pragma once

#include "capture/room_description.hpp"

#include <filesystem>
#include <string_view>

namespace ebbmark {

/// Throws Error(unusable) with file, line, column, key and mend where the text is wrong, incomplete or
/// contradicts itself. `name` stands for the file in messages.
RoomDescription room_description(std::string_view text, std::string_view name);

/// The same from a file.
RoomDescription read_room_description(const std::filesystem::path& path);

} // namespace ebbmark
