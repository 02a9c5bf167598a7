// SPDX-License-Identifier: GPL-3.0-or-later
// What the file tests share: a folder of their own, and the text of the error that a call throws.
#pragma once

#include "base/error.hpp"

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <string_view>
#include <vector>

namespace ebbmark {

/// An empty folder that is removed at the end.
class TestFolder {
  public:
    TestFolder() {
        std::string pattern = (std::filesystem::temp_directory_path() / "ebbmark-test-XXXXXX").string();
        path_ = ::mkdtemp(pattern.data());
    }
    ~TestFolder() { std::filesystem::remove_all(path_); }
    TestFolder(const TestFolder&) = delete;
    TestFolder& operator=(const TestFolder&) = delete;

    const std::filesystem::path& path() const { return path_; }
    std::filesystem::path operator/(std::string_view name) const { return path_ / name; }

    std::filesystem::path write(std::string_view name, std::string_view bytes) const {
        std::ofstream(path_ / name, std::ios::binary) << bytes;
        return path_ / name;
    }

    std::size_t entries() const {
        const std::filesystem::directory_iterator all(path_);
        return static_cast<std::size_t>(std::distance(begin(all), end(all)));
    }

  private:
    std::filesystem::path path_;
};

inline std::string bytes_of(const std::filesystem::path& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

/// The text of the Error(unusable) that `call` throws, or what else happened.
template <class Call>
std::string refusal(Call&& call) {
    try {
        call();
    } catch (const Error& error) {
        return error.kind() == ErrorKind::unusable ? error.what()
                                                   : "another kind: " + std::string(error.what());
    }
    return "no error";
}

inline bool contains(std::string_view text, std::string_view part) {
    return text.find(part) != std::string_view::npos;
}

inline bool any_contains(const std::vector<std::string>& lines, std::string_view part) {
    return std::any_of(lines.begin(), lines.end(),
                       [&](const std::string& line) { return contains(line, part); });
}

} // namespace ebbmark
