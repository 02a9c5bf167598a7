// SPDX-License-Identifier: GPL-3.0-or-later
#include "../files/folder.hpp"
#include "signal/sweep.hpp"
#include "work/response_check.hpp"

#include <doctest/doctest.h>

using namespace ebbmark;

TEST_CASE("the recording of a sweep is no response, and the mend is what to type") {
    const Signal sweep = whole_signal(Sweep{20, 20000, 3, 48000, -12, 0, 0.1, 0.005, 0.5, 1, 1, 1});
    const std::string said =
        refusal([&] { require_response(sweep, "take 1.wav", deconvolve_mend("take 1.wav")); });
    CHECK(contains(said, "take 1.wav: is the recording of a sweep"));
    CHECK(contains(said, "ebbmark deconvolve 'take 1.wav' --sweep"));
    Signal click{std::vector<double>(48000, 0.0), 48000};
    click.samples[1000] = 1;
    CHECK(refusal([&] { require_response(click, "click.wav", ""); }) == "no error");
}
