// SPDX-License-Identifier: GPL-3.0-or-later
// Derived files in a job's results folder. Each has a file beside it that says what it was made from, so that
// nothing outdated is taken for a result.
#pragma once

#include "job/job_folder.hpp"

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>

namespace ebbmark {

/// What a result was made from.
struct MadeFrom {
    std::string digest;  ///< of the job, or of one take
    std::string version; ///< of the program
    friend bool operator==(const MadeFrom&, const MadeFrom&) = default;
};

/// A digest of all that the response of one take depends on; not changed by other takes.
std::string digest_of(const Take& take);

/// Writes results/NAME and results/NAME.from, replacing older ones; gives the path. `name` is a plain file
/// name. Throws Error(unusable). Needs a job opened for writing.
std::filesystem::path write_result(const JobFolder& job, std::string_view name, std::string_view bytes,
                                   const MadeFrom& made_from);

/// The bytes of results/NAME where it was made from just this and is whole; otherwise nothing: make it again.
std::optional<std::string> current_result(const JobFolder& job, std::string_view name,
                                          const MadeFrom& made_from);

/// The path of results/NAME where the file beside it says that it was made from just this, whole or not.
std::optional<std::filesystem::path> kept_as_current(const JobFolder& job, std::string_view name,
                                                     const MadeFrom& made_from);

} // namespace ebbmark
