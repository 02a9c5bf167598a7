// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "proof/words/sentences.hpp"
#include "results/notes.hpp"

#include <string>

namespace ebbmark {

std::string sentence(const Note& note);

} // namespace ebbmark
