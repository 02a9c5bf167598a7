// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "proof/document/document.hpp"
#include "verdict/comparison.hpp"

#include <string>

namespace ebbmark {

/// What the interval of the question's answer is made of, with what is in no part of it; empty without one.
DocumentSection budget_section(const Comparison& comparison);

/// The same of a promise's headline, at these places, in words; no parts where there is no headline.
DocumentSection budget_section(const Measured& promised_percent, const std::optional<PredictedParts>& parts,
                               const std::string& bands, const std::string& places);

} // namespace ebbmark
