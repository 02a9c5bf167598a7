// SPDX-License-Identifier: GPL-3.0-or-later
// One recorded sweep, deconvolved and judged: what `deconvolve`, `import` and every take have in common.
#pragma once

#include "results/examined_recording.hpp"
#include "signal/recording.hpp"
#include "work/take_response.hpp"

#include <string>
#include <vector>

namespace ebbmark {

struct Examined {
    TakeResponse made;
    DeconvolveReport report; ///< without the response's file name
};

/// `name` stands for the recording in messages. Throws Error(unusable) where the sweep is not in it.
Examined examine(const Signal& recording, const Signal& loopback, const Excitation& excitation,
                 const std::string& name, const RecordingOptions& options = {});

} // namespace ebbmark
