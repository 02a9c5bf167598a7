// SPDX-License-Identifier: GPL-3.0-or-later
// SHA-256 (FIPS 180-4) of bytes and of files, as 64 lower-case hexadecimal digits.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>

namespace ebbmark {

std::string sha256(std::string_view bytes);

/// Reads the file in pieces. Throws Error(unusable) where it cannot be read.
std::string sha256_of_file(const std::filesystem::path& path);

/// Whether `text` is 64 lower-case hexadecimal digits.
bool is_sha256(std::string_view text);

} // namespace ebbmark
