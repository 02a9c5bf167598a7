// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <filesystem>

namespace ebbmark {

/// A new folder where the system keeps what is temporary, open to this user alone; it goes away with
/// everything in it, however the program ends: a second process waits for that end and clears up.
class TemporaryFolder {
  public:
    /// Throws Error(unusable) where there is no room for it.
    TemporaryFolder();
    ~TemporaryFolder();
    TemporaryFolder(const TemporaryFolder&) = delete;
    TemporaryFolder& operator=(const TemporaryFolder&) = delete;

    const std::filesystem::path& path() const { return path_; }

  private:
    void post_guard();

    std::filesystem::path path_;
    int alive_ = -1; ///< open as long as this process lives
    int guard_ = -1; ///< the second process
};

} // namespace ebbmark
