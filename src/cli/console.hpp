// SPDX-License-Identifier: GPL-3.0-or-later
// The outside world as the commands see it, so that tests can stand in for it.
#pragma once

#include "work/progress.hpp"

#include <cstddef>
#include <functional>
#include <iosfwd>
#include <string>
#include <string_view>

namespace ebbmark {

/// Results go to `out`, progress and warnings to `err`.
struct Console {
    std::ostream& out;
    std::ostream& err;
    bool err_is_terminal = false;
    std::function<std::string()> now; ///< ISO 8601 with zone, such as "2001-02-03T14:05:00+01:00"
    std::istream* in = nullptr;       ///< answers of a person; null: nobody answers
    bool in_is_terminal = false;
    std::function<double()> seconds = {}; ///< of a clock that only goes forward; empty: no time is foretold

    std::string today() const { return now().substr(0, 10); }
};

/// The real one. Now is the system's local time, or that of SOURCE_DATE_EPOCH in UTC where that variable is
/// set.
Console system_console();

/// One line on a terminal that is rewritten as work proceeds, with the time that is left where that can be
/// told, and removed at the end; control characters are not sent. Draws nothing elsewhere.
class ProgressLine : public Progress {
  public:
    ProgressLine(Console& console, bool quiet);
    ~ProgressLine() override;
    ProgressLine(const ProgressLine&) = delete;
    ProgressLine& operator=(const ProgressLine&) = delete;
    void show(std::size_t done, std::size_t all, std::string_view what) override;
    void show(std::string_view line) override;

  private:
    void draw(const std::string& line);
    /// ", about 12 s left", or nothing.
    std::string time_left(std::size_t done, std::size_t all);

    Console& console_;
    bool drawn_;
    std::size_t width_ = 0;
    std::size_t all_ = 0; ///< of the work that is being shown, since `begun_s_` and step `begun_at_`
    double begun_s_ = 0;
    std::size_t begun_at_ = 0;
};

} // namespace ebbmark
