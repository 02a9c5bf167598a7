// SPDX-License-Identifier: GPL-3.0-or-later
// From a job to what its promise says.
#pragma once

#include "cli/command.hpp"
#include "job/job_folder.hpp"
#include "proof/promise_document.hpp"

namespace ebbmark {

/// With the decay measured before the build, where there is such a visit with a usable take.
PromiseInput promise_input(const JobFolder& job, const StoredPromise& promise, Units units,
                           Progress& progress);

} // namespace ebbmark
