// SPDX-License-Identifier: GPL-3.0-or-later
// A JACK server without a sound card, and a room as its only device, for as long as the object lives.
#pragma once

#include <sys/types.h>

#include <filesystem>
#include <memory>
#include <string>
#include <vector>

namespace ebbmark::tests {

/// A program that was started, with its standard output in a file.
class Child {
  public:
    Child(const std::vector<std::string>& words, const std::filesystem::path& output,
          const std::filesystem::path& errors);
    ~Child(); ///< ends it: first asked to, after 3 s by force
    Child(const Child&) = delete;
    Child& operator=(const Child&) = delete;

    void send(int signal) const;
    /// Its exit code, 128 + signal where a signal ended it, or −1 where it still runs after so many seconds.
    int wait(double seconds);
    bool runs();

  private:
    pid_t pid_ = -1;
    int code_ = -1;
};

/// Gives this process and its children a shared memory of their own, so that servers of other tests do not
/// meet. Without the rights to do so nothing happens.
void separate_shared_memory();

/// A killed server leaves its place in the system's list of eight; this empties that list, where it is the
/// tests' own.
void forget_killed_servers();

bool server_installed();

class SoundServer {
  public:
    /// `words` as jack_room takes them after the response's file. Throws std::runtime_error where it does not
    /// come up.
    SoundServer(const std::filesystem::path& folder, const std::filesystem::path& response,
                const std::vector<std::string>& words, int rate_hz = 48000);

    Child& server() { return *server_; }
    Child& room() { return *room_; }
    /// Waits until the room hears something; false where it has not after so many seconds.
    bool sounds_within(double seconds) const;

  private:
    std::filesystem::path said_;           ///< what the room printed
    std::unique_ptr<Child> server_, room_; ///< the room ends first
};

} // namespace ebbmark::tests
