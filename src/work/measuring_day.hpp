// SPDX-License-Identifier: GPL-3.0-or-later
// Takes of one visit, one after the other, with a person who moves the microphone.
#pragma once

#include "work/measure_take.hpp"
#include "work/person.hpp"
#include "work/take_sweep.hpp"

#include <functional>
#include <string>
#include <vector>

namespace ebbmark {

struct DayPlan {
    std::string visit;
    AskedSweep asked;
    Calibration calibration;
    std::function<std::string(const std::string& source)> find_level_command; ///< what to type
    std::function<Occasion()> occasion;                                       ///< of each take
};

struct DayResult {
    std::vector<KeptTake> kept;
    Ending ending = Ending::complete; ///< of the last recording
};

class MeasuringDay {
  public:
    /// Reads the levels that were found. Throws Error(unusable) where a visit may not be called so; before
    /// anything is played.
    MeasuringDay(AnalysedJob& job, SoundDevice& device, DayPlan plan, Person& person);

    /// One take. Throws as sweep_of_take and measure_take do.
    void measure(const PlannedTake& step);
    /// Every position that is missing, then the return; a rejected one is asked for again. What stands ready
    /// on an output without a level is left for later; Error(unusable) where all is.
    void walk();

    const DayResult& result() const { return result_; }

  private:
    using Steps = std::vector<PlannedTake>;
    Steps without_level() const;
    Sweep sweep_at(const std::string& source) const;

    AnalysedJob& job_;
    SoundDevice& device_;
    DayPlan plan_;
    Person& person_;
    KeptLevels levels_;
    DayResult result_;
};

} // namespace ebbmark
