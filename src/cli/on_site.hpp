// SPDX-License-Identifier: GPL-3.0-or-later
// What `level` and `take` share with the person in the room: countdown, meter, cautions, questions.
#pragma once

#include "capture/device.hpp"
#include "cli/command.hpp"
#include "system/interrupt.hpp"

#include <string>
#include <string_view>

namespace ebbmark {

/// Counts down to the start; on a terminal each second is shown. Throws Error(interrupted) on Ctrl-C.
void count_down(const Arguments& arguments, Console& console, const InterruptNoted& interrupt);

/// Shows how far it is and how loud it comes in; ends playing on Ctrl-C.
Watch meter_on(Progress& progress, const InterruptNoted& interrupt);

/// "███████─── −14 dBFS": 3 dB a step from −60 to 0.
std::string meter_text(const Meter& meter);

/// The line that a person types; nothing at the end of input. Throws Error(interrupted) on Ctrl-C.
std::optional<std::string> ask(Console& console, std::string_view question, const InterruptNoted& interrupt);

void print_cautions(Console& console);

} // namespace ebbmark
