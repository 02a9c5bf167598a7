// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/interrupt.hpp"

#include "base/error.hpp"

#include <csignal>

namespace ebbmark {

namespace {

volatile std::sig_atomic_t noted = 0; // a signal handler can reach nothing else
struct sigaction before;

extern "C" void note(int) {
    noted = 1;
}

} // namespace

InterruptNoted::InterruptNoted() {
    noted = 0;
    struct sigaction action {};
    action.sa_handler = note; // without SA_RESTART: waiting for a key ends too
    sigaction(SIGINT, &action, &before);
}

InterruptNoted::~InterruptNoted() {
    sigaction(SIGINT, &before, nullptr);
}

bool InterruptNoted::interrupted() const {
    return noted != 0;
}

void InterruptNoted::stop_if_interrupted() const {
    if (interrupted())
        throw Error(ErrorKind::interrupted, "interrupted; what was measured before is kept");
}

} // namespace ebbmark
