// SPDX-License-Identifier: GPL-3.0-or-later
#include "files/hash.hpp"
#include "files/sweep_file.hpp"
#include "folder.hpp"

#include <doctest/doctest.h>

using namespace ebbmark;

TEST_CASE("a written description is read back unchanged") {
    const TestFolder folder;
    Sweep sweep{1.0 / 3 + 20, 18000, 12.3, 96000, -7.25, 0.1, 0.2, 0.01, 0.7, 3, 20.1, 2.5};
    const std::string hash = sha256("the signal");
    const auto read = read_sweep(folder.write("s.toml", to_toml(sweep, hash)));
    CHECK(read.sweep == sweep);
    CHECK(read.sha256 == hash);
    CHECK(read_sweep(folder.write("t.toml", to_toml(sweep, ""))).sha256.empty());
}

TEST_CASE("a description by hand needs three figures") {
    const TestFolder folder;
    const auto read =
        read_sweep(folder.write("s.toml", "[sweep]\nstart_hz = 20\nstop_hz = 20000\nseconds = 10\n"));
    const Sweep expected{20, 20000, 10, 48000, -12, 0, 0.1, 0.005, 0.5, 2, 14, 2};
    CHECK(read.sweep == expected);
}

TEST_CASE("an impossible description is refused with place and key") {
    const TestFolder folder;
    const auto read = [&](const std::string& lines) {
        return refusal([&] { read_sweep(folder.write("s.toml", "[sweep]\n" + lines)); });
    };
    const std::string good = "start_hz = 20\nstop_hz = 20000\nseconds = 10\n";
    CHECK(contains(read("start_hz = 20\nseconds = 10\n"),
                   "s.toml, line 1, column 1: sweep.stop_hz is missing"));
    CHECK(contains(read(good + "level_dbfs = 3\n"), "line 5, column 14: sweep.level_dbfs = 3: must be from"));
    CHECK(contains(read(good + "fade_in = 1\n"), "sweep.fade_in is not known; did you mean fade_in_s?"));
    CHECK(contains(read(good + "kind = \"linear\"\n"), "write one of: exponential"));
    CHECK(contains(read(good + "sha256 = \"12\"\n"), "64 hexadecimal digits"));
    CHECK(contains(read(good + "repeats = 1.5\n"), "whole number"));
    CHECK(contains(read("start_hz = 2000\nstop_hz = 200\nseconds = 10\n"), "stop_hz = 200 is not possible"));
    CHECK(contains(read("start_hz = \"20 Hz\"\n"), "must be a number without quotes"));
    CHECK(contains(refusal([&] { read_sweep(folder.write("n.toml", "")); }), "sweep is missing"));
}
