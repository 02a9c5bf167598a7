// SPDX-License-Identifier: GPL-3.0-or-later
// What a job knows beforehand of a take: how far the sound travels, and what an earlier visit heard there.
#pragma once

#include "base/quality_check.hpp"
#include "base/signal.hpp"
#include "signal/position.hpp"
#include "signal/recording.hpp"
#include "work/analysed_job.hpp"

#include <optional>
#include <string>
#include <vector>

namespace ebbmark {

class PlaceChecks {
  public:
    PlaceChecks(const AnalysedJob& job, std::string visit);

    /// Distance between the two places, and the speed of sound at the visit's temperature.
    RecordingOptions options(const Position& position) const;
    /// Whether the response is rather that of another position of the earliest other visit; nothing where
    /// that has no take at this position. Reflections off surfaces with traps do not count.
    std::optional<QualityCheck> mixed_up(const Position& position, const Signal& response);

  private:
    void load();

    const AnalysedJob& job_;
    std::string visit_;
    bool loaded_ = false;
    std::vector<Position> positions_;
    std::vector<EarlierPlace> earlier_;
};

} // namespace ebbmark
