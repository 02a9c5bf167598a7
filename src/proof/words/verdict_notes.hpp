// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "proof/words/sentences.hpp"
#include "verdict/notes.hpp"

#include <string>

namespace ebbmark {

std::string sentence(const VerdictNote& note);

/// How it is decided whether what was agreed is met, for every place that shows the result.
std::string decision_rule(const AcceptanceRule& rule);

} // namespace ebbmark
