// SPDX-License-Identifier: GPL-3.0-or-later
#include "system/interrupt.hpp"

#include "base/error.hpp"

#include <unistd.h>

#include <csignal>

namespace ebbmark {

namespace {

// A signal handler can reach nothing else.
volatile std::sig_atomic_t code_at_end = 0;
volatile std::sig_atomic_t noted = 0;
struct sigaction before;

extern "C" void leave(int) {
    _exit(static_cast<int>(code_at_end));
}

extern "C" void note(int) {
    noted = 1;
}

} // namespace

void end_at_interrupt(int exit_code) {
    code_at_end = exit_code;
    std::signal(SIGINT, leave);
}

void keep_on_where_writing_fails() {
    std::signal(SIGPIPE, SIG_IGN);
    std::signal(SIGXFSZ, SIG_IGN);
}

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
