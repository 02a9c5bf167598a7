// SPDX-License-Identifier: GPL-3.0-or-later
// The one exception of the program. It is caught once, in cli/main.cpp, where its kind becomes the exit code.
#pragma once

#include <stdexcept>
#include <string>

namespace ebbmark {

/// What went wrong, seen from the user's side. The values are the exit codes of the program.
enum class ErrorKind {
    bug = 1,      ///< the program failed
    usage = 2,    ///< wrong command line
    unusable = 3, ///< a file, job, format, disk, lock or port cannot be used
    device = 4,   ///< sound device or stream failed
    rejected = 5, ///< measured, but rejected or nothing measurable
    changed = 6,  ///< evidence changed or missing
    interrupted = 130
};

/// The text names the file, the place in it and the mend, in one or two plain sentences.
class Error : public std::runtime_error {
  public:
    Error(ErrorKind kind, const std::string& text) : std::runtime_error(text), kind_(kind) {}
    ErrorKind kind() const { return kind_; }

  private:
    ErrorKind kind_;
};

} // namespace ebbmark
