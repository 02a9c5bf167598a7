// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <string_view>

namespace ebbmark {

/// Who is told how long work proceeds. What is shown may come from files: it is no text to be trusted.
class Progress {
  public:
    virtual ~Progress() = default;
    /// Step `done` of `all`, and what is being worked on.
    virtual void show(std::size_t done, std::size_t all, std::string_view what) = 0;
    /// Any other line.
    virtual void show(std::string_view line) = 0;
};

} // namespace ebbmark
