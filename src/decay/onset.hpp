// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/signal.hpp"

namespace ebbmark {

/// Arrival of the direct sound in seconds after the first sample: where the response first clearly leaves the
/// noise on its way to the maximum, not more than 20 dB below it (ISO 3382-1:2009, A.2.1). A burst well
/// before and apart from the response does not count; a direct sound weaker than a reflection within 20 ms
/// does. 0 for a silent response.
double find_onset_s(const Signal& response);

} // namespace ebbmark
