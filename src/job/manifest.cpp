// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/manifest.hpp"

#include "base/error.hpp"
#include "files/hash.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <set>

namespace ebbmark {

namespace {

constexpr std::size_t hash_digits = 64;

/// Whether the path stays in the folder and is spelled in one way only.
bool is_inside(const std::string& path) {
    const std::filesystem::path p(path);
    const bool odd =
        std::any_of(path.begin(), path.end(), [](char c) { return static_cast<unsigned char>(c) < 32; });
    return !path.empty() && !odd && p.is_relative() && p.lexically_normal().string() == path &&
           *p.begin() != ".." && *p.begin() != ".";
}

std::string own_line(std::string_view sha256) {
    return fmt::format("# {}\n", sha256);
}

std::string text_of(const EvidenceLine& line) {
    return line.sha256 + "  " + line.path + "\n";
}

} // namespace

EvidenceLines evidence_lines(std::string_view text, std::string_view name) {
    const auto refuse = [&](std::string_view place) {
        throw Error(
            ErrorKind::unusable,
            fmt::format("{}{}: is damaged; restore the file from the copy on your second disk", name, place));
    };
    const std::size_t own_length = hash_digits + 3;
    if (text.size() < own_length ||
        text.substr(text.size() - own_length) != own_line(sha256(text.substr(0, text.size() - own_length))))
        refuse("");
    text.remove_suffix(own_length);
    EvidenceLines lines;
    std::set<std::string> paths;
    for (int number = 1; !text.empty(); ++number) {
        const auto end = text.find('\n');
        const std::string line(text.substr(0, end));
        const std::string hash = line.substr(0, hash_digits);
        const std::string path = line.size() > hash_digits + 2 ? line.substr(hash_digits + 2) : "";
        const bool separated = line.compare(std::min(hash_digits, line.size()), 2, "  ") == 0;
        if (end == text.npos || !is_sha256(hash) || !separated || !is_inside(path) ||
            !paths.insert(path).second)
            refuse(fmt::format(", line {}", number));
        lines.push_back({path, hash});
        text.remove_prefix(end + 1);
    }
    return lines;
}

std::string to_text(const EvidenceLines& lines) {
    std::string text;
    for (const EvidenceLine& line : lines)
        text += text_of(line);
    return text + own_line(sha256(text));
}

Manifest by_path(const EvidenceLines& lines) {
    Manifest manifest;
    for (const EvidenceLine& line : lines)
        manifest.emplace(line.path, line.sha256);
    return manifest;
}

std::string digest_of_first(const EvidenceLines& lines, std::size_t count) {
    std::string text;
    for (std::size_t i = 0; i < std::min(count, lines.size()); ++i)
        text += text_of(lines[i]);
    return sha256(text);
}

} // namespace ebbmark
