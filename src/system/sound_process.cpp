// SPDX-License-Identifier: GPL-3.0-or-later
#include "system/sound_process.hpp"

#include "base/error.hpp"

#include <fcntl.h>
#include <sys/mman.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <csignal>
#include <thread>

namespace ebbmark {

namespace {

constexpr auto look = std::chrono::milliseconds(10);
constexpr int most_looks_at_its_end = 200; // 2 s

/// What the new process must not have of the old one: its streams and files (a job's lock among them), its
/// way to take signals, and a memory dump where a driver aborts.
void leave_what_is_the_others() {
    std::signal(SIGINT, SIG_IGN); // the other one decides, and fades the sound out
    std::signal(SIGABRT, SIG_DFL);
    const rlimit no_dump{0, 0};
    setrlimit(RLIMIT_CORE, &no_dump);
    const int nowhere = ::open("/dev/null", O_RDWR);
    for (const int stream : {STDIN_FILENO, STDOUT_FILENO, STDERR_FILENO})
        ::dup2(nowhere, stream);
    constexpr int more_than_are_open = 1024;
    for (int file = STDERR_FILENO + 1; file < more_than_are_open; ++file)
        ::close(file);
}

pid_t number(long process) {
    return static_cast<pid_t>(process);
}

} // namespace

SharedMemory::SharedMemory(std::size_t bytes)
    : data_(::mmap(nullptr, bytes, PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0)),
      bytes_(bytes) {
    if (data_ == MAP_FAILED)
        throw Error(ErrorKind::unusable, "not enough memory for so long a recording; use a shorter sweep");
}

SharedMemory::~SharedMemory() {
    ::munmap(data_, bytes_);
}

SoundProcess::SoundProcess(const std::function<void()>& call) : process_(::fork()) {
    if (process_ < 0)
        throw Error(ErrorKind::device,
                    "no further process can be started for the sound system; end other programs");
    if (process_ > 0)
        return;
    leave_what_is_the_others();
    try {
        call();
    } catch (...) { // the stack that it would unwind is the other process's
    }
    ::_exit(0); // nothing of the other process is tidied up a second time
}

SoundProcess::~SoundProcess() {
    for (int looks = 0; looks < most_looks_at_its_end && runs(); ++looks)
        std::this_thread::sleep_for(look);
    if (!ended_) {
        ::kill(number(process_), SIGKILL);
        ::waitpid(number(process_), nullptr, 0);
    }
}

bool SoundProcess::runs() {
    ended_ = ended_ || ::waitpid(number(process_), nullptr, WNOHANG) == process_;
    return !ended_;
}

bool starter_ended(long starter) {
    return ::getppid() != starter;
}

void end_after(unsigned seconds) {
    ::alarm(seconds);
}

} // namespace ebbmark
