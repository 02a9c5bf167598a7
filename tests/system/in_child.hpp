// SPDX-License-Identifier: GPL-3.0-or-later
// Work in a process of its own, so that signals and streams of the tests stay as they are.
#pragma once

#include <sys/wait.h>
#include <unistd.h>

namespace ebbmark {

/// The exit code that `work` gives, or 1000 and the number of the signal that ended it.
template <class Work>
int in_child(Work&& work) {
    const pid_t child = ::fork();
    if (child == 0)
        ::_exit(work());
    int status = 0;
    ::waitpid(child, &status, 0);
    return WIFEXITED(status) ? WEXITSTATUS(status) : 1000 + WTERMSIG(status);
}

} // namespace ebbmark
