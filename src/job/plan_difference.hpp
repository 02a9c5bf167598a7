// SPDX-License-Identifier: GPL-3.0-or-later
// In what two descriptions of a job differ.
#pragma once

#include "job/description.hpp"

#include <string>
#include <vector>

namespace ebbmark {

enum class PlanPart { question, acceptance, room, source, microphone, trap };

/// A part of the plan that is fixed otherwise than job.toml has it.
struct PlanDifference {
    PlanPart part = PlanPart::question;
    std::string name;              ///< of a place or trap: "M1", "rear wall"
    bool fixed = true, now = true; ///< whether a place or trap is there at all

    bool operator==(const PlanDifference&) const = default;
};

/// In the order of job.toml. Photos, distances and what was built are no part of the plan.
std::vector<PlanDifference> plan_differences(const JobDescription& fixed, const JobDescription& now);

} // namespace ebbmark
