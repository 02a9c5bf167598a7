// SPDX-License-Identifier: GPL-3.0-or-later
#include "files/broadcast_info.hpp"

#include "files/whole_file.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <fstream>
#include <string_view>

namespace ebbmark {

namespace {

// Offsets in the chunk: EBU Tech 3285 version 2.
constexpr std::size_t fixed_bytes = 602;
constexpr std::size_t most_chunks = 1000;

std::uint64_t little_endian(std::string_view bytes) {
    std::uint64_t value = 0;
    for (std::size_t n = bytes.size(); n-- > 0;)
        value = value << 8 | static_cast<unsigned char>(bytes[n]);
    return value;
}

/// Up to the first zero byte; what is not printable ASCII becomes a question mark.
std::string text_in(std::string_view field) {
    std::string text(field.substr(0, field.find('\0')));
    std::replace_if(
        text.begin(), text.end(), [](char c) { return c < 32 || c > 126; }, '?');
    text.erase(text.find_last_not_of(' ') + 1);
    return text;
}

/// The text where it has the form, in which d stands for a digit and any other character for a separator.
std::string formed(std::string_view field, std::string_view form, char separator) {
    std::string text(field);
    for (std::size_t n = 0; n < form.size(); ++n) {
        const bool digit = text[n] >= '0' && text[n] <= '9';
        if (digit != (form[n] == 'd'))
            return "";
        if (!digit)
            text[n] = separator; // the standard allows several
    }
    return text;
}

BroadcastInfo info_in(std::string_view chunk) {
    return {text_in(chunk.substr(0, 256)), text_in(chunk.substr(256, 32)),
            formed(chunk.substr(320, 10), "dddd-dd-dd", '-'), formed(chunk.substr(330, 8), "dd:dd:dd", ':'),
            little_endian(chunk.substr(338, 8))};
}

} // namespace

std::optional<BroadcastInfo> broadcast_info(const std::filesystem::path& path) {
    require_readable(path);
    std::ifstream file(path, std::ios::binary);
    std::string head(12, '\0');
    if (!file.read(head.data(), 12) || head.substr(8) != "WAVE" ||
        (!head.starts_with("RIFF") && !head.starts_with("RF64") && !head.starts_with("BW64")))
        return {};
    for (std::size_t n = 0; n < most_chunks; ++n) {
        std::string chunk(8, '\0');
        if (!file.read(chunk.data(), 8))
            return {};
        const std::uint64_t length = little_endian(std::string_view(chunk).substr(4));
        if (chunk.starts_with("bext")) {
            std::string bytes(fixed_bytes, '\0');
            if (length < fixed_bytes || !file.read(bytes.data(), static_cast<std::streamsize>(fixed_bytes)))
                return {};
            return info_in(bytes);
        }
        file.seekg(static_cast<std::streamoff>(length + length % 2), std::ios::cur);
    }
    return {};
}

std::string sentence(const BroadcastInfo& info) {
    std::string text = "Recorded";
    if (!info.date.empty())
        text += " " + info.date + (info.time.empty() ? "" : " " + info.time);
    if (!info.originator.empty())
        text += " with " + info.originator;
    if (!info.description.empty())
        text += fmt::format(", \"{}\"", info.description);
    return text + " (as the recorder wrote it).";
}

} // namespace ebbmark
