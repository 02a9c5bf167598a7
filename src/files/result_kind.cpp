// SPDX-License-Identifier: GPL-3.0-or-later
#include "files/result_kind.hpp"

#include "base/error.hpp"
#include "files/audio_file.hpp"
#include "files/hash.hpp"
#include "files/response_comment.hpp"
#include "files/sweep_file.hpp"
#include "files/toml.hpp"
#include "files/toml_guard.hpp"
#include "files/whole_file.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <fstream>
#include <string>

namespace ebbmark {

namespace fs = std::filesystem;

namespace {

constexpr std::size_t head_bytes = 1 << 16;

std::string head_of(const fs::path& path) {
    require_readable(path);
    std::string head(head_bytes, '\0');
    std::ifstream file(path, std::ios::binary);
    file.read(head.data(), static_cast<std::streamsize>(head.size()));
    head.resize(static_cast<std::size_t>(file.gcount()));
    return head;
}

std::string lower(std::string text) {
    std::transform(text.begin(), text.end(), text.begin(),
                   [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    return text;
}

/// Without the blanks, and the mark of UTF-8, before it.
std::string_view begun(std::string_view head) {
    if (head.starts_with("\xEF\xBB\xBF"))
        head.remove_prefix(3);
    const auto first = head.find_first_not_of(" \t\r\n");
    return first == head.npos ? std::string_view() : head.substr(first);
}

/// All our JSON objects begin with the command that wrote them.
bool is_our_json(std::string_view head) {
    std::string_view text = begun(head);
    if (!text.starts_with('{'))
        return false;
    text.remove_prefix(1);
    return begun(text).starts_with("\"ebbmark\"");
}

bool is_markup(std::string_view head, std::string_view first, std::string_view other) {
    const std::string text = lower(std::string(begun(head).substr(0, 1000)));
    if (text.starts_with(first) || text.starts_with(other))
        return true;
    return text.starts_with("<?xml") && text.find(first) != text.npos;
}

/// The first file of a bundle is its README: a ZIP local header, the name from byte 30 on
/// (APPNOTE.TXT 4.3.7).
bool is_our_bundle(std::string_view head) {
    return head.starts_with("PK\x03\x04") && head.find("README.txt") == 30 &&
           head.find("Made with Ebbmark") != head.npos;
}

bool is_text(std::string_view head) {
    while (!head.empty()) {
        const auto c = static_cast<unsigned char>(head[0]);
        const std::size_t length = utf8_length(head);
        if (length == 0)
            return head.size() < 4 && c >= 0xC2; // cut within a letter
        if ((c < 0x20 && c != '\t' && c != '\n' && c != '\r') || c == 0x7F)
            return false;
        head.remove_prefix(length);
    }
    return true;
}

bool is_toml(std::string_view text) {
    try {
        TomlFile::parse(text, "");
        return true;
    } catch (const Error&) {
        return false;
    }
}

bool is_hash_list(std::string_view text) {
    return text.size() > 64 && is_sha256(std::string(text.substr(0, 64)));
}

bool is_unmarked(const fs::path& path, std::string_view head, bool is_table) {
    constexpr std::array<std::string_view, 5> endings = {"", ".txt", ".text", ".md", ".log"};
    const std::string ending = lower(path.extension().string());
    const bool named = std::find(endings.begin(), endings.end(), ending) != endings.end();
    const std::string_view text = begun(head);
    return (named || (is_table && ending == ".csv")) && is_text(head) && !text.starts_with('<') &&
           !text.starts_with('{') && !text.starts_with('%') && !is_hash_list(text) && !is_toml(head);
}

bool is_response(const fs::path& path) {
    try {
        return response_info(audio_header(path).comment, path.string()).has_value();
    } catch (const Error&) {
        return false;
    }
}

bool is_sweep_description(const fs::path& path) {
    try {
        read_sweep(path);
        return true;
    } catch (const Error&) {
        return false;
    }
}

bool is_sweep(const fs::path& path) {
    const fs::path description = fs::path(path).replace_extension(".toml");
    return is_sweep_description(description) && read_sweep(description).sha256 == sha256_of_file(path);
}

} // namespace

std::string_view name(ResultKind kind) {
    switch (kind) {
    case ResultKind::text:
        return "a text";
    case ResultKind::json:
        return "JSON written by ebbmark";
    case ResultKind::csv:
        return "a table in CSV";
    case ResultKind::html:
        return "an HTML page";
    case ResultKind::svg:
        return "an SVG picture";
    case ResultKind::png:
        return "a PNG picture";
    case ResultKind::jpeg:
        return "a JPEG picture";
    case ResultKind::pdf:
        return "a PDF file";
    case ResultKind::bundle:
        return "a bundle written by ebbmark";
    case ResultKind::response:
        return "a response made by ebbmark";
    case ResultKind::sweep:
        return "a sweep with its description beside it";
    case ResultKind::sweep_description:
        return "the description of a sweep";
    }
    return "";
}

bool is_result(const fs::path& path, ResultKind kind) {
    const std::string head = head_of(path);
    if (head.empty())
        return true;
    switch (kind) {
    case ResultKind::text:
        return is_unmarked(path, head, false);
    case ResultKind::json:
        return is_our_json(head);
    case ResultKind::csv:
        return is_unmarked(path, head, true);
    case ResultKind::html:
        return is_markup(head, "<!doctype html", "<html");
    case ResultKind::svg:
        return is_markup(head, "<svg", "<svg");
    case ResultKind::png:
        return head.starts_with("\x89PNG\r\n\x1A\n");
    case ResultKind::jpeg:
        return head.starts_with("\xFF\xD8\xFF");
    case ResultKind::pdf:
        return head.starts_with("%PDF-");
    case ResultKind::bundle:
        return is_our_bundle(head);
    case ResultKind::response:
        return is_response(path);
    case ResultKind::sweep:
        return is_sweep(path);
    case ResultKind::sweep_description:
        return is_sweep_description(path);
    }
    return false;
}

} // namespace ebbmark
