// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/manifest.hpp"

#include "base/error.hpp"
#include "files/hash.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>

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

std::string own_hash(std::string_view lines) {
    return "# " + sha256(lines) + "\n";
}

} // namespace

Manifest manifest_from(std::string_view text, std::string_view name) {
    const auto refuse = [&](std::string_view place) {
        throw Error(
            ErrorKind::unusable,
            fmt::format("{}{}: is damaged; restore the file from the copy on your second disk", name, place));
    };
    const std::size_t own_line = hash_digits + 3;
    if (text.size() < own_line ||
        text.substr(text.size() - own_line) != own_hash(text.substr(0, text.size() - own_line)))
        refuse("");
    text.remove_suffix(own_line);
    Manifest manifest;
    for (int number = 1; !text.empty(); ++number) {
        const auto end = text.find('\n');
        const std::string line(text.substr(0, end));
        const std::string hash = line.substr(0, hash_digits);
        const std::string path = line.size() > hash_digits + 2 ? line.substr(hash_digits + 2) : "";
        const bool separated = line.compare(std::min(hash_digits, line.size()), 2, "  ") == 0;
        const bool in_order = manifest.empty() || manifest.rbegin()->first < path;
        if (end == text.npos || !is_sha256(hash) || !separated || !is_inside(path) || !in_order)
            refuse(fmt::format(", line {}", number));
        manifest.emplace(path, hash);
        text.remove_prefix(end + 1);
    }
    return manifest;
}

std::string to_text(const Manifest& manifest) {
    std::string text;
    for (const auto& [path, hash] : manifest)
        text += hash + "  " + path + "\n";
    return text + own_hash(text);
}

} // namespace ebbmark
