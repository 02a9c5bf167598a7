// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/console.hpp"

#include "proof/text/guarded.hpp"
#include "system/terminal.hpp"

#include <fmt/chrono.h>
#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cstdlib>
#include <cstring>
#include <ctime>
#include <iostream>

namespace ebbmark {

namespace {

std::string local_time() {
    if (const char* fixed = std::getenv("SOURCE_DATE_EPOCH")) {
        std::time_t time = 0;
        std::from_chars(fixed, fixed + std::strlen(fixed), time);
        return fmt::format("{:%Y-%m-%dT%H:%M:%S}+00:00", fmt::gmtime(time));
    }
    const std::string text = fmt::format("{:%Y-%m-%dT%H:%M:%S%z}", fmt::localtime(std::time(nullptr)));
    return text.substr(0, 22) + ":" + text.substr(22); // +0100 to +01:00
}

} // namespace

Console system_console() {
    return {std::cout, std::cerr, err_is_terminal(), local_time, &std::cin, in_is_terminal()};
}

ProgressLine::ProgressLine(Console& console, bool quiet)
    : console_(console), drawn_(console.err_is_terminal && !quiet) {}

ProgressLine::~ProgressLine() {
    if (drawn_ && width_ > 0)
        console_.err << '\r' << std::string(width_, ' ') << '\r' << std::flush;
}

void ProgressLine::show(std::size_t done, std::size_t all, std::string_view what) {
    if (drawn_)
        draw(fmt::format("{} of {}  {}", done, all, shortened(plain_text(what), 60)));
}

void ProgressLine::show(std::string_view line) {
    if (drawn_)
        draw(plain_text(line));
}

void ProgressLine::draw(const std::string& line) {
    const std::size_t shown = columns(line);
    console_.err << '\r' << line << std::string(width_ > shown ? width_ - shown : 0, ' ') << std::flush;
    width_ = std::max(width_, shown);
}

} // namespace ebbmark
