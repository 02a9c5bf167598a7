// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <filesystem>

namespace ebbmark {

/// A new folder where the system keeps what is temporary, open to this user alone; it goes away with
/// everything in it.
class TemporaryFolder {
  public:
    /// Throws Error(unusable) where there is no room for it.
    TemporaryFolder();
    ~TemporaryFolder();
    TemporaryFolder(const TemporaryFolder&) = delete;
    TemporaryFolder& operator=(const TemporaryFolder&) = delete;

    const std::filesystem::path& path() const { return path_; }

  private:
    std::filesystem::path path_;
};

} // namespace ebbmark
