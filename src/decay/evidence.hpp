// SPDX-License-Identifier: GPL-3.0-or-later
// What a response itself shows of its source and of its noise, whoever made it.
#pragma once

#include "base/signal.hpp"

#include <vector>

namespace ebbmark {

struct ResponseEvidence {
    /// Below this nothing was emitted: from the lowest third octave up to here the first part of the response
    /// is no more than what it holds at 8 to 16 Hz, where a loudspeaker that is 25 dB stronger elsewhere
    /// gives nothing, and that falls with time, as noise does under a window. 0 where it is not so.
    double emitted_from_hz = 0;
    /// Lines from 20 to 400 Hz that stand in the second half of the response and do not fall.
    std::vector<double> steady_hz;
};

/// `onset_s` from find_onset_s. Responses that end less than 0.4 s after it show nothing.
ResponseEvidence evidence_of(const Signal& response, double onset_s);

} // namespace ebbmark
