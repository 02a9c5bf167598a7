// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "forecast/notes.hpp"
#include "proof/words/sentences.hpp"

#include <string>

namespace ebbmark {

std::string sentence(const ForecastNote& note);

} // namespace ebbmark
