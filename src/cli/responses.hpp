// SPDX-License-Identifier: GPL-3.0-or-later
// The options of an analysis of impulse responses.
#pragma once

#include "cli/command.hpp"
#include "decay/decay.hpp"

#include <optional>

namespace ebbmark {

/// --bands, --from, --to, --channel.
void declare_analysis(Options& options);

/// The bands asked for.
DecayOptions decay_options(const Arguments& arguments);

/// --channel.
std::optional<int> channel_of(const Arguments& arguments);

} // namespace ebbmark
