// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/in_parallel.hpp"

#include <doctest/doctest.h>

#include <chrono>
#include <numeric>
#include <stdexcept>
#include <string>

using namespace ebbmark;

TEST_CASE("every call is made once, whatever the number of threads") {
    for (const int threads : {1, 2, 5}) {
        std::vector<int> calls(100);
        in_parallel(calls.size(), threads, [&](std::size_t i) { ++calls[i]; });
        CHECK(std::accumulate(calls.begin(), calls.end(), 0) == 100);
        CHECK(*std::max_element(calls.begin(), calls.end()) == 1);
    }
}

TEST_CASE("of several calls that throw the first in order is heard, though it is the last to throw") {
    for (int run = 0; run < 20; ++run) {
        std::string heard;
        try {
            in_parallel(4, 4, [](std::size_t i) {
                std::this_thread::sleep_for(std::chrono::milliseconds(i == 1 ? 5 : 0));
                if (i > 0)
                    throw std::runtime_error(std::to_string(i));
            });
        } catch (const std::runtime_error& error) {
            heard = error.what();
        }
        CHECK(heard == "1");
    }
}
