// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/day_digits.hpp"

#include "files/hash.hpp"
#include "files/toml.hpp"

#include <fmt/format.h>

namespace ebbmark {

namespace {

constexpr int most_lines = 1'000'000;

} // namespace

std::string to_toml(const DayDigits& day) {
    return fmt::format(
        "# Digits that were shown at the end of a visit. They are the SHA-256 of the first lines "
        "of evidence.sha256.\n[day]\nvisit = {}\nshown_at = {}\nlines = {}\nsha256 = {}\n",
        toml_quoted(day.visit), toml_quoted(day.shown_at), day.lines, toml_quoted(day.sha256));
}

DayDigits day_digits_from(std::string_view toml, std::string_view name) {
    const TomlFile file = TomlFile::parse(toml, name);
    const TomlTable table = file.root().need("day").table();
    DayDigits day;
    day.visit = table.need("visit").text();
    day.shown_at = table.need("shown_at").text();
    day.lines = static_cast<std::size_t>(table.need("lines").whole(1, most_lines));
    const TomlValue hash = table.need("sha256");
    day.sha256 = hash.text();
    if (!is_sha256(day.sha256))
        hash.refuse("is no SHA-256");
    file.refuse_unknown_keys();
    return day;
}

} // namespace ebbmark
