// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "cli/run.hpp"

#include <unistd.h>

#include <csignal>

namespace {

extern "C" void leave(int) {
    _exit(static_cast<int>(ebbmark::ErrorKind::interrupted));
}

} // namespace

int main(int count, char** words) {
    std::signal(SIGINT, leave);
    std::signal(SIGPIPE, SIG_IGN); // a closed pipe is an error of standard output, reported as such
    std::signal(SIGXFSZ, SIG_IGN); // a file that may not grow is an error of writing, reported as such
    auto console = ebbmark::system_console();
    return ebbmark::run({words + 1, words + count}, console);
}
