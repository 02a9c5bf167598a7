// SPDX-License-Identifier: GPL-3.0-or-later
// One visit of a job, analysed.
#pragma once

#include "job/visit_result.hpp"

#include <string>

namespace ebbmark {

struct VisitReport {
    bool simulated = false;
    std::string visit;
    std::string digest;  ///< of the evidence
    std::string version; ///< of the program
    VisitResult result;
};

} // namespace ebbmark
