// SPDX-License-Identifier: GPL-3.0-or-later
#include "in_child.hpp"
#include "system/process.hpp"
#include "system/sound_process.hpp"

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

TEST_CASE("a sound process knows when the one that started it has ended") {
    struct Seen {
        std::atomic<bool> alive = false, ended = false;
    };
    const SharedMemory memory(sizeof(Seen));
    Seen& seen = *new (memory.data()) Seen;
    const auto comes_true = [](const std::atomic<bool>& what) {
        for (int looks = 0; looks < 2000 && !what; ++looks)
            std::this_thread::sleep_for(std::chrono::milliseconds(5));
        return what.load();
    };
    CHECK(in_child([&] {
              const long here = this_process();
              // Never destroyed: that would wait for the sound process.
              new SoundProcess([&] {
                  seen.alive = !starter_ended(here);
                  for (int looks = 0; looks < 2000 && !seen.ended; ++looks) {
                      std::this_thread::sleep_for(std::chrono::milliseconds(5));
                      seen.ended = starter_ended(here);
                  }
              });
              return comes_true(seen.alive) ? 0 : 1;
          }) == 0);
    CHECK(comes_true(seen.ended));
}

TEST_CASE("a sound process whose driver hangs ends by itself") {
    const auto start = Clock::now();
    SoundProcess process([] {
        end_after(1);
        while (true)
            ::pause();
    });
    CHECK(ends_within(process, 10));
    CHECK(Clock::now() - start > std::chrono::milliseconds(900));
}
