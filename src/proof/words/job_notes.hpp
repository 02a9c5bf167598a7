// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "job/notes.hpp"
#include "job/repair_notes.hpp"
#include "proof/words/sentences.hpp"

#include <string>

namespace ebbmark {

std::string sentence(const JobNote& note);
std::string sentence(NotJudged why);
std::string sentence(const RepairNote& note);

/// "the trap \"rear wall\"", "the microphone place M1", "the question".
std::string words_for(const PlanDifference& difference);

} // namespace ebbmark
