// SPDX-License-Identifier: GPL-3.0-or-later
#include "sound_server.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sched.h>
#include <sys/mount.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <csignal>
#include <cstdlib>
#include <fstream>
#include <functional>
#include <sstream>
#include <stdexcept>
#include <thread>

namespace ebbmark::tests {

namespace {

std::string text_of(const std::filesystem::path& path) {
    std::stringstream text;
    text << std::ifstream(path).rdbuf();
    return text.str();
}

bool within(double seconds, const std::function<bool()>& holds) {
    const auto end = std::chrono::steady_clock::now() + std::chrono::duration<double>(seconds);
    while (!holds()) {
        if (std::chrono::steady_clock::now() > end)
            return false;
        std::this_thread::sleep_for(std::chrono::milliseconds(10));
    }
    return true;
}

} // namespace

Child::Child(const std::vector<std::string>& words, const std::filesystem::path& output,
             const std::filesystem::path& errors) {
    pid_ = fork();
    if (pid_ < 0)
        throw std::runtime_error("no more processes");
    if (pid_ > 0)
        return;
    const int in = open("/dev/null", O_RDONLY);
    const int out = open(output.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600);
    const int err = open(errors.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600);
    dup2(in, 0), dup2(out, 1), dup2(err, 2);
    std::vector<char*> list;
    for (const std::string& word : words)
        list.push_back(const_cast<char*>(word.c_str()));
    list.push_back(nullptr);
    execvp(list[0], list.data());
    _exit(127);
}

Child::~Child() {
    send(SIGTERM);
    if (wait(3) == -1) {
        send(SIGKILL);
        wait(3);
    }
}

void Child::send(int signal) const {
    if (code_ == -1)
        kill(pid_, signal);
}

int Child::wait(double seconds) {
    within(seconds, [&] {
        int status = 0;
        if (code_ == -1 && waitpid(pid_, &status, WNOHANG) == pid_)
            code_ = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
        return code_ != -1;
    });
    return code_;
}

bool Child::runs() {
    return wait(0) == -1;
}

namespace {
bool memory_is_separate = false;
}

void separate_shared_memory() {
    if (unshare(CLONE_NEWNS) == 0 && mount("none", "/", nullptr, MS_REC | MS_PRIVATE, nullptr) == 0)
        memory_is_separate = mount("tmpfs", "/dev/shm", "tmpfs", 0, "mode=1777,size=256m") == 0;
}

void forget_killed_servers() {
    if (!memory_is_separate)
        return;
    std::error_code ignored;
    for (const auto& entry : std::filesystem::directory_iterator("/dev/shm", ignored))
        std::filesystem::remove_all(entry.path(), ignored);
}

bool server_installed() {
    return std::system("command -v jackd >/dev/null 2>&1") == 0;
}

SoundServer::SoundServer(const std::filesystem::path& folder, const std::filesystem::path& response,
                         const std::vector<std::string>& words, int rate_hz)
    : said_(folder / "room.txt") {
    static int servers = 0;
    const std::string name = fmt::format("ebbmark-test-{}-{}", getpid(), ++servers);
    std::filesystem::remove(said_); // of an earlier one: it says "ready" already
    setenv("JACK_DEFAULT_SERVER", name.c_str(), 1);
    setenv("JACK_NO_AUDIO_RESERVATION", "1", 1);
    setenv("JACK_NO_START_SERVER", "1", 1);
    // Synchronous, and patient: the server waits for its clients, so that a busy machine loses no block.
    server_ = std::make_unique<Child>(std::vector<std::string>{"jackd", "-n", name, "-S", "-r", "-t", "10000",
                                                               "--port-max", "64", "-d", "dummy", "-r",
                                                               std::to_string(rate_hz), "-p", "1024"},
                                      folder / "jackd.txt", folder / "jackd-errors.txt");
    std::vector<std::string> room = {JACK_ROOM, "room", response.string()};
    room.insert(room.end(), words.begin(), words.end());
    const bool up = within(15, [&] {
        if (!room_ || !room_->runs()) // the server takes a moment until it lets clients in
            room_ = std::make_unique<Child>(room, said_, folder / "room-errors.txt");
        return within(1, [&] { return text_of(said_).find("ready") != std::string::npos; });
    });
    if (!up)
        throw std::runtime_error(
            "the sound server does not come up: " + text_of(folder / "jackd-errors.txt") +
            text_of(folder / "jackd.txt") + text_of(folder / "room-errors.txt"));
}

bool SoundServer::sounds_within(double seconds) const {
    return within(seconds, [&] { return text_of(said_).find("sound") != std::string::npos; });
}

} // namespace ebbmark::tests
