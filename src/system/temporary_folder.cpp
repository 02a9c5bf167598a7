// SPDX-License-Identifier: GPL-3.0-or-later
#include "system/temporary_folder.hpp"

#include "base/error.hpp"

#include <stdlib.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <csignal>
#include <string>
#include <system_error>

namespace ebbmark {

namespace fs = std::filesystem;

namespace {

void remove_quietly(const fs::path& folder) {
    std::error_code ignored;
    fs::remove_all(folder, ignored);
}

/// In the second process: waits until nobody can write to the pipe any more.
[[noreturn]] void clear_up_after(int pipe, const fs::path& folder) {
    for (const int signal : {SIGINT, SIGTERM, SIGHUP, SIGPIPE})
        std::signal(signal, SIG_IGN);
    dup2(pipe, STDIN_FILENO);
    close_range(1, ~0U, 0); // no lock stays held, and whoever reads what this program prints need not wait
    char byte = 0;
    while (read(STDIN_FILENO, &byte, 1) < 0 && errno == EINTR) {
    }
    remove_quietly(folder);
    _exit(0);
}

} // namespace

TemporaryFolder::TemporaryFolder() {
    std::string name = (fs::temp_directory_path() / "ebbmark-XXXXXX").string();
    if (!::mkdtemp(name.data()))
        throw Error(ErrorKind::unusable, name + ": could not be made; free some space there, or set TMPDIR");
    path_ = name;
    post_guard();
}

/// Without a second process the folder stays where the program is ended by a signal.
void TemporaryFolder::post_guard() {
    std::array<int, 2> ends{};
    if (::pipe(ends.data()) != 0)
        return;
    guard_ = fork();
    if (guard_ == 0)
        clear_up_after(ends[0], path_);
    close(ends[0]);
    alive_ = ends[1];
}

TemporaryFolder::~TemporaryFolder() {
    remove_quietly(path_);
    if (alive_ >= 0)
        close(alive_);
    if (guard_ > 0)
        waitpid(guard_, nullptr, 0);
}

} // namespace ebbmark
