// SPDX-License-Identifier: GPL-3.0-or-later
// The modes of one state again and again without some of its positions: how far a decay depends on where the
// microphones happened to stand. Neighbours that stay hidden, or merge with a mode, bend its decay
// differently at different places; the residual of one fit does not know of it.
#pragma once

#include "ringing/ringing.hpp"
#include "ringing/room_fit.hpp"

#include <cstddef>
#include <memory>
#include <span>
#include <vector>

namespace ebbmark {

struct ResampledRinging {
    Ringing whole;
    /// Without each part of the places in turn; the amplitudes of those left out are 0. Empty with fewer than
    /// three places.
    std::vector<Ringing> without;
    std::size_t places = 0;                 ///< repeats of one place count once
    std::shared_ptr<const FittedRoom> room; ///< the fit of the whole; none where nothing could be looked for
    /// With each return in place of its position's response.
    std::vector<Ringing> returned = {};
};

/// A position measured again after its microphone was moved away and back.
struct ReturnedResponse {
    std::size_t position = 0; ///< index into the responses
    Signal response;
};

/// Which positions are left out together: each place alone up to eight, above that every eighth. Parts ×
/// positions.
std::vector<std::vector<std::size_t>> parts_of(const std::vector<std::vector<std::size_t>>& places);

/// measure_ringing() of all positions and of all without each part. Each refit looks for its own order.
/// Responses that repeat one place (`signal/same_place`) are one place.
ResampledRinging resample_ringing(std::span<const Signal> responses, const RingingOptions& options = {},
                                  std::span<const ReturnedResponse> returns = {});

} // namespace ebbmark
