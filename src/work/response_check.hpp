// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/signal.hpp"

#include <string>

namespace ebbmark {

/// Throws Error(unusable), with the mend, where the sound is the recording of a sweep and no response.
void require_response(const Signal& sound, const std::string& name, const std::string& mend);

/// The mend where a file was given to an analysis.
std::string deconvolve_mend(const std::string& path);

} // namespace ebbmark
