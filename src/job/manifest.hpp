// SPDX-License-Identifier: GPL-3.0-or-later
// The list of evidence: path in the job folder and SHA-256 of every file, in the lines that `sha256sum -c`
// checks, so that nobody needs this program to check a job. The last line, "# HASH", is that of the list
// itself.
#pragma once

#include <map>
#include <string>
#include <string_view>

namespace ebbmark {

/// Path to hash, sorted by path; paths with / between folders.
using Manifest = std::map<std::string, std::string>;

inline constexpr std::string_view manifest_name = "evidence.sha256";

/// Throws Error(unusable) naming the line where one is not "HASH  PATH" with a path inside the folder, where
/// they are not in order, or where the list's own hash is wrong. `name` stands for the file.
Manifest manifest_from(std::string_view text, std::string_view name);

std::string to_text(const Manifest& manifest);

} // namespace ebbmark
