// SPDX-License-Identifier: GPL-3.0-or-later
// A recording on the disk before anything else is done with it.
#pragma once

#include "job/job_folder.hpp"
#include "results/notes.hpp"

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace ebbmark {

/// A recording that was just made, and what must be typed to bring it in by hand.
struct FreshRecording {
    std::string bytes; ///< of its WAV file; of a virtual room's its comment is simulated_comment
    Sweep sweep;
    std::string job; ///< folder, as it is typed
    std::string visit, position;
    std::vector<std::string> options; ///< further words for import, such as "--return"
};

/// The comment of a rescued recording that a virtual room made; `import` reads it.
inline constexpr std::string_view simulated_comment = "ebbmark recording; simulated=true";

/// Files "rescued-VISIT-POSITION-….wav" and ".toml" (the sweep, and the command) in the job's folder, or
/// among the system's temporary files where the job's disk refuses. Where no file may be as long as the
/// recording (ulimit -f), the WAV is cut into parts that may. They stay unless dropped.
class SafeRecording {
  public:
    explicit SafeRecording(const FreshRecording& recording);

    /// To be called when the job has kept it.
    void drop() const;
    /// Where it lies and what to type, or that it is lost: to be put after an error's text.
    std::string sentence() const;

  private:
    bool put_into(const std::filesystem::path& folder, const FreshRecording& recording);

    std::vector<std::filesystem::path> files_; ///< all that was written; empty where no disk took it
    std::string where_, command_;
};

/// What lies rescued in a job's folder and waits to be brought in.
std::vector<RecordingWaits> rescued_in(const std::filesystem::path& job);

} // namespace ebbmark
