// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "in_child.hpp"
#include "system/interrupt.hpp"

#include <doctest/doctest.h>
#include <sys/resource.h>

#include <cerrno>
#include <csignal>
#include <cstdio>
#include <ctime>
#include <thread>

using namespace ebbmark;

TEST_CASE("Ctrl-C ends the program with the code that was given") {
    CHECK(in_child([] {
              end_at_interrupt(130);
              std::raise(SIGINT);
              return 1;
          }) == 130);
}

TEST_CASE("while Ctrl-C is noted nothing ends, and afterwards it ends as before") {
    CHECK(in_child([] {
              end_at_interrupt(130);
              {
                  const InterruptNoted interrupt;
                  if (interrupt.interrupted())
                      return 1;
                  interrupt.stop_if_interrupted();
                  std::raise(SIGINT);
                  if (!interrupt.interrupted())
                      return 2;
                  try {
                      interrupt.stop_if_interrupted();
                      return 3;
                  } catch (const Error& error) {
                      if (error.kind() != ErrorKind::interrupted)
                          return 4;
                  }
              }
              if (const InterruptNoted next; next.interrupted())
                  return 5;
              std::raise(SIGINT);
              return 6;
          }) == 130);
}

TEST_CASE("waiting for a key ends with Ctrl-C") {
    CHECK(in_child([] {
              int keys[2];
              if (::pipe(keys) != 0)
                  return 1;
              const InterruptNoted interrupt;
              const pid_t here = ::getpid();
              const pid_t presses = ::fork();
              if (presses == 0) {
                  std::this_thread::sleep_for(std::chrono::milliseconds(200));
                  ::kill(here, SIGINT);
                  std::this_thread::sleep_for(std::chrono::seconds(5));
                  [[maybe_unused]] const auto key = ::write(keys[1], "x", 1); // so that a failure ends too
                  ::_exit(0);
              }
              char key = 0;
              const auto got = ::read(keys[0], &key, 1);
              const bool ended = got < 0 && errno == EINTR && interrupt.interrupted();
              ::kill(presses, SIGKILL);
              return ended ? 0 : 2;
          }) == 0);
}

TEST_CASE("a pipe that nobody reads and a file that may not grow are errors of writing") {
    const auto closed_pipe = [] {
        int ends[2];
        if (::pipe(ends) != 0 || ::close(ends[0]) != 0)
            return 1;
        return ::write(ends[1], "x", 1) < 0 ? errno : 0;
    };
    const auto limited_file = [] {
        struct rlimit small {
            10, RLIM_INFINITY
        };
        ::setrlimit(RLIMIT_FSIZE, &small);
        std::FILE* file = std::tmpfile();
        if (file == nullptr || ::ftruncate(::fileno(file), 10) != 0 ||
            ::lseek(::fileno(file), 10, SEEK_SET) < 0)
            return 1;
        return ::write(::fileno(file), "x", 1) < 0 ? errno : 0;
    };
    CHECK(in_child(closed_pipe) == 1000 + SIGPIPE);
    CHECK(in_child(limited_file) == 1000 + SIGXFSZ);
    CHECK(in_child([&] { return keep_on_where_writing_fails(), closed_pipe(); }) == EPIPE);
    CHECK(in_child([&] { return keep_on_where_writing_fails(), limited_file(); }) == EFBIG);
}
