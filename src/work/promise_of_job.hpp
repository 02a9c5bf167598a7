// SPDX-License-Identifier: GPL-3.0-or-later
// From a job to what its promise says.
#pragma once

#include "results/promise_input.hpp"
#include "work/analysed_job.hpp"
#include "work/progress.hpp"

#include <string>

namespace ebbmark {

/// With the decay measured before the build, where there is such a visit with a usable take.
PromiseInput promise_input(const AnalysedJob& job, const StoredPromise& promise, Units units,
                           Progress& progress);

} // namespace ebbmark
