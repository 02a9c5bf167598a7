// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/console.hpp"

#include <doctest/doctest.h>

#include <sstream>

using namespace ebbmark;

namespace {

/// What was last drawn.
std::string last_line(const std::ostringstream& err) {
    const std::string all = err.str();
    const std::string line = all.substr(all.rfind('\r') + 1);
    return line.substr(0, line.find_last_not_of(' ') + 1);
}

} // namespace

TEST_CASE("progress tells the time that is left once a rate is known, and for other work anew") {
    std::ostringstream out, err;
    double now_s = 100;
    Console console{out, err, true, [] { return std::string(); }, nullptr, false, [&] { return now_s; }};
    ProgressLine progress(console, false);
    progress.show(0, 100, "modes");
    CHECK(last_line(err) == "0 of 100  modes");
    now_s += 0.2; // too early for a rate
    progress.show(1, 100, "modes");
    CHECK(last_line(err) == "1 of 100  modes");
    now_s += 9.8;
    progress.show(20, 100, "modes");
    CHECK(last_line(err) == "20 of 100  modes, about 40 s left"); // 10 s for 20: by hand
    now_s += 290;
    progress.show(40, 100, "modes");
    CHECK(last_line(err) == "40 of 100  modes, about 8 min left");
    progress.show(100, 100, "modes");
    CHECK(last_line(err) == "100 of 100  modes");
    progress.show(1, 48, "changes"); // other work begins here
    now_s += 2;
    progress.show(2, 48, "changes");
    CHECK(last_line(err) == "2 of 48  changes, about 92 s left");
}

TEST_CASE("progress foretells nothing without a clock, and draws nothing where nobody looks") {
    std::ostringstream out, err;
    Console console{out, err, true, [] { return std::string(); }};
    ProgressLine(console, false).show(5, 10, "work");
    CHECK(err.str().find("5 of 10  work") != std::string::npos);
    CHECK(err.str().find("left") == std::string::npos);
    std::ostringstream quiet;
    Console watched{out, quiet, true, [] { return std::string(); }};
    ProgressLine(watched, true).show(5, 10, "work");
    CHECK(quiet.str().empty());
}
