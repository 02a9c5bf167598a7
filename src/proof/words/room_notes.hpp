// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "proof/words/sentences.hpp"
#include "room/notes.hpp"

#include <string>

namespace ebbmark {

std::string sentence(const RoomNote& note);
std::string sentence(const SetupNote& note);

} // namespace ebbmark
