// SPDX-License-Identifier: GPL-3.0-or-later
// Whether a path leads into a job, where nothing is written but by the job's own functions.
#pragma once

#include <filesystem>
#include <optional>

namespace ebbmark {

/// The job that holds this path outside its results folder, found through relative paths and links of
/// folders; nothing where there is none. A job is a folder with a list of evidence, or with job.toml and
/// visits. The path itself need not exist.
std::optional<std::filesystem::path> job_around(const std::filesystem::path& path);

} // namespace ebbmark
