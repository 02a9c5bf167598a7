// SPDX-License-Identifier: GPL-3.0-or-later
// What a job lacks and what to do next, in words.
#pragma once

#include "job/advice.hpp"
#include "proof/words/sentences.hpp"

#include <string>

namespace ebbmark {

std::string sentence(PlanItem item);
std::string sentence(const Lack& lack);
std::string sentence(const Step& step);

} // namespace ebbmark
