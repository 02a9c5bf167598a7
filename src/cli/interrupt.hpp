// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

namespace ebbmark {

/// While it lives, Ctrl-C is only noted, so that what was recorded is kept before the program ends.
class InterruptNoted {
  public:
    InterruptNoted();
    ~InterruptNoted();
    InterruptNoted(const InterruptNoted&) = delete;
    InterruptNoted& operator=(const InterruptNoted&) = delete;

    bool interrupted() const;
    /// Throws Error(interrupted) where it was.
    void stop_if_interrupted() const;
};

} // namespace ebbmark
