// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "decay/notes.hpp"

#include <string>
#include <vector>

namespace ebbmark {

std::string sentence(const DecayNote& note);

/// Each once: of several takes two may differ in digits that no sentence shows.
std::vector<std::string> sentences(const std::vector<DecayNote>& notes);

} // namespace ebbmark
