// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "job/verify_notes.hpp"
#include "proof/words/sentences.hpp"

#include <string>

namespace ebbmark {

std::string sentence(const VerifyNote& note);

} // namespace ebbmark
