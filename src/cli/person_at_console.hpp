// SPDX-License-Identifier: GPL-3.0-or-later
// The person in the room of `level` and `take`, at a console: countdown, meter, cautions, questions.
#pragma once

#include "cli/command.hpp"
#include "system/interrupt.hpp"
#include "work/person.hpp"

#include <optional>
#include <string>

namespace ebbmark {

/// "███████─── −14 dBFS": 3 dB a step from −60 to 0.
std::string meter_text(const Meter& meter);

/// While it lives, Ctrl-C ends sound, faded, and questions. Without answers every question ends.
class PersonAtConsole : public Person {
  public:
    /// Takes --delay, --quiet and --positions (each take is then told as it is kept).
    PersonAtConsole(const Arguments& arguments, Console& console);

    Answer ask(const Prompt& prompt) override;
    /// Counts down; on a terminal each second is shown.
    void leave_room() override;
    Watch watch() override;
    void stop_if_interrupted() override { interrupt_.stop_if_interrupted(); }
    void left_for_later(const std::string& source, const std::string& why) override;
    void kept(const KeptTake& take) override;

  private:
    std::optional<std::string> typed(std::string_view question);
    Answer answer(const StandHere& here);
    Answer answer(const SoundGrows&);

    const Arguments& arguments_;
    Console& console_;
    InterruptNoted interrupt_;
    std::optional<ProgressLine> meter_;
};

} // namespace ebbmark
