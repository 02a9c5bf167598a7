// SPDX-License-Identifier: GPL-3.0-or-later
// The person in the room, as work sees them: prompts are values, which any front end can show.
#pragma once

#include "capture/device.hpp"
#include "results/job_results.hpp"
#include "work/visit_plan.hpp"

#include <string>
#include <variant>

namespace ebbmark {

/// Loudspeaker and microphone are to stand here: measure, leave it for later, or end.
struct StandHere {
    PlannedTake take;
    Situation at;
};

/// Sound is about to be played that grows louder, for real: go on, or end. Cautions belong beside it.
struct SoundGrows {};

using Prompt = std::variant<StandHere, SoundGrows>;

enum class Answer { go_on, later, end };

class Person {
  public:
    virtual ~Person() = default;

    /// Throws Error(interrupted) where everything is to stop; so does leave_room.
    virtual Answer ask(const Prompt& prompt) = 0;
    /// Waits until nobody is in the room any more.
    virtual void leave_room() = 0;
    /// Shows how far a sound is and how loud it comes in, and may end it.
    virtual Watch watch() = 0;
    /// Throws Error(interrupted) where a watch ended the sound.
    virtual void stop_if_interrupted() = 0;
    /// Nothing can be measured with this loudspeaker now.
    virtual void left_for_later(const std::string& source, const std::string& why) = 0;
    /// A take was kept, accepted or not.
    virtual void kept(const KeptTake& take) = 0;
};

} // namespace ebbmark
