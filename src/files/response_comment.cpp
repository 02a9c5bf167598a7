// SPDX-License-Identifier: GPL-3.0-or-later
#include "files/response_comment.hpp"

#include "base/error.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>

namespace ebbmark {

namespace {

constexpr std::string_view mark = "ebbmark response";

/// The text after "; NAME=", up to the next semicolon; nothing where the field is missing.
std::optional<std::string_view> field(std::string_view comment, std::string_view name) {
    const std::string start = fmt::format("; {}=", name);
    const auto at = comment.find(start);
    if (at == comment.npos)
        return {};
    const auto rest = comment.substr(at + start.size());
    return rest.substr(0, rest.find(';'));
}

std::optional<double> signed_number(std::optional<std::string_view> text) {
    double value = 0;
    if (!text)
        return {};
    const auto [end, failure] = std::from_chars(text->data(), text->data() + text->size(), value);
    if (failure != std::errc{} || end != text->data() + text->size() || !std::isfinite(value))
        return {};
    return value;
}

std::optional<double> number(std::optional<std::string_view> text) {
    const auto value = signed_number(text);
    return value && *value >= 0 ? value : std::nullopt;
}

/// Numbers between blanks; nothing where one is damaged.
std::optional<std::vector<double>> numbers(std::string_view text) {
    std::vector<double> values;
    while (!text.empty()) {
        const auto end = std::min(text.find(' '), text.size());
        const auto value = number(text.substr(0, end));
        if (!value)
            return {};
        values.push_back(*value);
        text.remove_prefix(std::min(end + 1, text.size()));
    }
    return values;
}

} // namespace

std::string to_comment(const ResponseInfo& info) {
    std::string text = fmt::format("{}; source_from_hz={}; source_to_hz={}; simulated={}", mark,
                                   info.source_from_hz, info.source_to_hz, info.simulated);
    if (!info.hum_hz.empty())
        text += fmt::format("; hum_hz={:.6g}", fmt::join(info.hum_hz, " "));
    if (!info.disturbed_hz.empty())
        text += fmt::format("; disturbed_hz={:.6g}", fmt::join(info.disturbed_hz, " "));
    if (info.delay_s)
        text += fmt::format("; delay_s={:.6f}", *info.delay_s);
    if (info.level_db && info.noise_db)
        text += fmt::format("; level_db={}; noise_db={}", *info.level_db, *info.noise_db);
    return text;
}

std::optional<ResponseInfo> response_info(std::string_view comment, std::string_view file) {
    if (!comment.starts_with(mark))
        return {};
    const auto from = number(field(comment, "source_from_hz"));
    const auto to = number(field(comment, "source_to_hz"));
    const auto simulated = field(comment, "simulated");
    const auto hum = numbers(field(comment, "hum_hz").value_or(""));
    const auto disturbed = numbers(field(comment, "disturbed_hz").value_or(""));
    if (!from || !to || !hum || !disturbed || (simulated != "true" && simulated != "false"))
        throw Error(ErrorKind::unusable,
                    fmt::format("{}: the comment in the file is damaged (\"{}\"); make the response again "
                                "from its recording",
                                file, comment));
    return ResponseInfo{*from,
                        *to,
                        simulated == "true",
                        *hum,
                        number(field(comment, "delay_s")),
                        *disturbed,
                        signed_number(field(comment, "level_db")),
                        signed_number(field(comment, "noise_db"))};
}

} // namespace ebbmark
