// SPDX-License-Identifier: GPL-3.0-or-later
// The list of evidence: path in the job folder and SHA-256 of every file, in the lines that `sha256sum -c`
// checks, so that nobody needs this program to check a job. New files come at the end: the list's first lines
// are what was kept by some moment. The last line, "# HASH", is that of all lines before it.
#pragma once

#include <map>
#include <string>
#include <string_view>
#include <vector>

namespace ebbmark {

/// Path to hash, sorted by path; paths with / between folders.
using Manifest = std::map<std::string, std::string>;

struct EvidenceLine {
    std::string path;
    std::string sha256;
    friend bool operator==(const EvidenceLine&, const EvidenceLine&) = default;
};

/// In the order in which files were kept; no path twice.
using EvidenceLines = std::vector<EvidenceLine>;

inline constexpr std::string_view manifest_name = "evidence.sha256";

/// Throws Error(unusable) naming the line where one is not "HASH  PATH" with a path inside the folder, where
/// a path comes twice, or where the list's own hash is wrong. `name` stands for the file.
EvidenceLines evidence_lines(std::string_view text, std::string_view name);

std::string to_text(const EvidenceLines& lines);

Manifest by_path(const EvidenceLines& lines);

/// SHA-256 over the first `count` lines, what the list's own last line said when it had no more: the digits
/// of a day. `head -n COUNT evidence.sha256 | sha256sum` gives the same.
std::string digest_of_first(const EvidenceLines& lines, std::size_t count);

} // namespace ebbmark
