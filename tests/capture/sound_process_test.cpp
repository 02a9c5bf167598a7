// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "capture/sound_process.hpp"

#include <doctest/doctest.h>
#include <unistd.h>

#include <atomic>
#include <chrono>
#include <csignal>
#include <cstdlib>
#include <new>
#include <stdexcept>
#include <thread>

using namespace ebbmark;

namespace {

using Clock = std::chrono::steady_clock;

bool ends_within(SoundProcess& process, double seconds) {
    const auto end = Clock::now() + std::chrono::duration<double>(seconds);
    while (process.runs() && Clock::now() < end)
        std::this_thread::sleep_for(std::chrono::milliseconds(5));
    return !process.runs();
}

} // namespace

TEST_CASE("what a sound process wrote stays, whichever way it ends") {
    for (void (*end)() : {+[] { std::abort(); }, +[] { std::raise(SIGPIPE); }, +[] { std::exit(7); },
                          +[] { throw std::runtime_error("a driver's own"); }, +[] {}}) {
        const SharedMemory memory(sizeof(std::atomic<int>));
        auto& number = *new (memory.data()) std::atomic<int>(0);
        SoundProcess process([&] {
            number = 42;
            end();
        });
        CHECK(ends_within(process, 10));
        CHECK(number == 42);
    }
}

TEST_CASE("a sound process that hangs holds nobody up") {
    const auto start = Clock::now();
    {
        SoundProcess process([] {
            while (true)
                ::pause();
        });
        CHECK(process.runs());
    }
    CHECK(Clock::now() - start < std::chrono::seconds(4));
}

TEST_CASE("Ctrl-C does not end a sound process") {
    const SharedMemory memory(sizeof(std::atomic<bool>));
    auto& survived = *new (memory.data()) std::atomic<bool>(false);
    SoundProcess process([&] {
        std::raise(SIGINT);
        survived = true;
    });
    CHECK(ends_within(process, 10));
    CHECK(survived);
}
