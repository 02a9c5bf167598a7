// SPDX-License-Identifier: GPL-3.0-or-later
// What was fixed before the build, in a promise or by the first take after it, and where job.toml says
// otherwise now. Pure.
#pragma once

#include "job/job_folder.hpp"
#include "job/notes.hpp"
#include "job/plan_difference.hpp"

#include <optional>
#include <string>
#include <vector>

namespace ebbmark {

/// The promise that counts: the one that fixed the question, and before anything was fixed the last one;
/// nothing where there is none.
const StoredPromise* promise_that_counts(const std::optional<FixedQuestion>& fixed,
                                         const std::vector<StoredPromise>& promises);

/// The trap of this name; nothing where there is none.
const JobTrap* trap_named(const std::vector<JobTrap>& traps, const std::string& name);

/// `now` with the question, acceptance, size of the room, places and planned traps as fixed. To a promise's
/// places and traps job.toml adds photos, what was built, and places that the promise does not name; to its
/// room the recommendation aimed at, and the size where it has none. Where no promise counts, only question
/// and acceptance can be fixed.
JobDescription as_fixed(const JobDescription& now, const std::optional<FixedQuestion>& fixed,
                        const StoredPromise* promise);

/// The same for a job whose question is fixed; else its description as it is.
JobDescription as_fixed(const JobFolder& job);

/// Where `now` plans otherwise than what was promised or fixed; nothing where it does not. `path` is the job
/// as the user writes it.
std::optional<PlanDiffers> plan_differs(const JobDescription& now, const std::optional<FixedQuestion>& fixed,
                                        const std::vector<StoredPromise>& promises, const std::string& path);

} // namespace ebbmark
