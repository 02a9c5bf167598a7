// SPDX-License-Identifier: GPL-3.0-or-later
// Ctrl-C, and signals that would end the program where an error can be said. Another system: its own way to
// take Ctrl-C, which must also end waiting for a key; where writing fails by an error anyway, nothing.
#pragma once

namespace ebbmark {

/// From now on Ctrl-C ends the program at once with this exit code.
void end_at_interrupt(int exit_code);

/// From now on a pipe that nobody reads and a file that may not grow are errors of writing, reported as such.
void keep_on_where_writing_fails();

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
