// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/console.hpp"

#include "proof/text/guarded.hpp"
#include "system/terminal.hpp"

#include <fmt/chrono.h>
#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <chrono>
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
    const auto seconds = [] {
        return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count();
    };
    return {std::cout, std::cerr, err_is_terminal(), local_time, &std::cin, in_is_terminal(), seconds};
}

ProgressLine::ProgressLine(Console& console, bool quiet)
    : console_(console), drawn_(console.err_is_terminal && !quiet) {}

ProgressLine::~ProgressLine() {
    if (drawn_ && width_ > 0)
        console_.err << '\r' << std::string(width_, ' ') << '\r' << std::flush;
}

void ProgressLine::show(std::size_t done, std::size_t all, std::string_view what) {
    if (drawn_)
        draw(fmt::format("{} of {}  {}{}", done, all, shortened(plain_text(what), 60), time_left(done, all)));
}

std::string ProgressLine::time_left(std::size_t done, std::size_t all) {
    if (!console_.seconds)
        return "";
    const double now_s = console_.seconds();
    if (all != all_ || done < begun_at_)
        all_ = all, begun_s_ = now_s, begun_at_ = done;
    // Before that neither a rate nor a wait is worth a word.
    constexpr double least_s = 0.5, worth_telling_s = 2;
    const double taken_s = now_s - begun_s_;
    if (taken_s < least_s || done <= begun_at_ || all <= done)
        return "";
    const double left_s = taken_s * static_cast<double>(all - done) / static_cast<double>(done - begun_at_);
    if (left_s < worth_telling_s)
        return "";
    return left_s < 100 ? fmt::format(", about {:.0f} s left", left_s)
                        : fmt::format(", about {:.0f} min left", left_s / 60);
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
