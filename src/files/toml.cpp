// SPDX-License-Identifier: GPL-3.0-or-later
#include "files/toml.hpp"

#include "base/error.hpp"
#include "files/toml_guard.hpp"
#include "files/whole_file.hpp"

#include <fmt/format.h>
#include <toml++/toml.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <map>
#include <set>

namespace ebbmark {

struct TomlContent {
    std::string name;
    toml::table root;
    std::map<const void*, std::set<std::string>> asked; ///< keys asked for, per table
};

namespace {

const toml::node& as_node(const void* node) {
    return *static_cast<const toml::node*>(node);
}

std::string place(std::string_view file, const toml::source_position& at) {
    return fmt::format("{}, line {}, column {}", file, std::max(at.line, 1u), std::max(at.column, 1u));
}

/// Edits that turn one word into the other: insert, drop, replace, or swap neighbours (Damerau 1964).
std::size_t edits_between(std::string_view a, std::string_view b) {
    std::vector<std::vector<std::size_t>> d(a.size() + 1, std::vector<std::size_t>(b.size() + 1));
    for (std::size_t i = 0; i <= a.size(); ++i)
        for (std::size_t j = 0; j <= b.size(); ++j) {
            if (i == 0 || j == 0) {
                d[i][j] = i + j;
                continue;
            }
            d[i][j] = std::min({d[i - 1][j] + 1, d[i][j - 1] + 1, d[i - 1][j - 1] + (a[i - 1] != b[j - 1])});
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
                d[i][j] = std::min(d[i][j], d[i - 2][j - 2] + 1);
        }
    return d[a.size()][b.size()];
}

/// Whether one word may be a slip of the pen for the other.
bool similar(std::string_view a, std::string_view b) {
    return edits_between(a, b) <= std::clamp<std::size_t>(std::max(a.size(), b.size()) / 3, 1, 2);
}

std::string joined(const std::string& table, std::string_view key) {
    return table.empty() ? std::string(key) : fmt::format("{}.{}", table, key);
}

std::string list_of(const auto& words) {
    std::string text;
    for (const auto& word : words)
        text += (text.empty() ? "" : ", ") + std::string(word);
    return text;
}

std::string_view unit_of(Dimension dimension) {
    switch (dimension) {
    case Dimension::length:
        return " m";
    case Dimension::area:
        return " m2";
    case Dimension::volume:
        return " m3";
    case Dimension::frequency:
        return " Hz";
    case Dimension::time:
        return " s";
    case Dimension::temperature:
        return " °C";
    case Dimension::percent:
        return " %";
    case Dimension::density:
        return " kg/m3";
    case Dimension::mass:
        return " kg";
    case Dimension::surface_density:
        return " kg/m2";
    case Dimension::flow_resistivity:
        return " Pa.s/m2";
    case Dimension::flow_resistance:
        return " Pa.s/m";
    case Dimension::level:
        return " dB";
    }
    return "";
}

/// The value as it may stand in a message; long or composed ones are left out.
std::string shown(const toml::node& node) {
    if (node.is_table() || node.is_array())
        return "";
    std::string text;
    node.visit([&](const auto& n) {
        if constexpr (toml::is_string<decltype(n)>)
            text = fmt::format("\"{}\"", n.get());
        else if constexpr (toml::is_floating_point<decltype(n)>)
            text = fmt::format("{}", n.get());
        else if constexpr (toml::is_value<decltype(n)>) {
            std::ostringstream stream;
            stream << n;
            text = stream.str();
        }
    });
    return text.size() > 60 ? "" : " = " + text;
}

void check_range(const TomlValue& value, double x, Range range, std::string_view unit) {
    if (x >= range.low && x <= range.high)
        return;
    if (std::isinf(range.high))
        value.refuse(fmt::format("must be at least {:g}{}", range.low, unit));
    if (std::isinf(range.low))
        value.refuse(fmt::format("must be at most {:g}{}", range.high, unit));
    value.refuse(fmt::format("must be from {:g} to {:g}{}", range.low, range.high, unit));
}

} // namespace

TomlValue::TomlValue(std::shared_ptr<TomlContent> file, const void* node, std::string key)
    : file_(std::move(file)), node_(node), key_(std::move(key)) {}

void TomlValue::refuse(std::string_view mend) const {
    const toml::node& node = as_node(node_);
    const std::string key = key_.empty() ? "" : ": " + key_;
    throw Error(ErrorKind::unusable,
                fmt::format("{}{}{}: {}", place(file_->name, node.source().begin), key, shown(node), mend));
}

std::string TomlValue::text() const {
    const auto* value = as_node(node_).as_string();
    if (!value)
        refuse("must be a text in double quotes");
    return value->get();
}

std::string TomlValue::choice(std::initializer_list<std::string_view> allowed) const {
    const std::string word = text();
    if (std::find(allowed.begin(), allowed.end(), word) != allowed.end())
        return word;
    const auto close = std::find_if(allowed.begin(), allowed.end(),
                                    [&](std::string_view other) { return similar(word, other); });
    refuse(close != allowed.end() ? fmt::format("is not known; did you mean \"{}\"?", *close)
                                  : fmt::format("is not known; write one of: {}", list_of(allowed)));
}

bool TomlValue::flag() const {
    const auto* value = as_node(node_).as_boolean();
    if (!value)
        refuse("must be true or false, without quotes");
    return value->get();
}

double TomlValue::number(Range range) const {
    const auto value = as_node(node_).value<double>();
    if (!as_node(node_).is_number() || !value)
        refuse("must be a number without quotes and unit");
    if (!std::isfinite(*value))
        refuse("must be a finite number");
    check_range(*this, *value, range, "");
    return *value;
}

int TomlValue::whole(int low, int high) const {
    const auto* value = as_node(node_).as_integer();
    if (!value || value->get() < low || value->get() > high)
        refuse(fmt::format("must be a whole number from {} to {}", low, high));
    return static_cast<int>(value->get());
}

double TomlValue::quantity(Dimension dimension, Range range) const {
    double value = 0;
    if (as_node(node_).is_number()) {
        value = number();
    } else {
        if (!as_node(node_).is_string())
            refuse(fmt::format("must be a number with its unit in double quotes, such as \"1.5{}\"",
                               unit_of(dimension)));
        try {
            value = parse_quantity(text(), dimension);
        } catch (const Error& error) {
            refuse(error.what());
        }
    }
    check_range(*this, value, range, unit_of(dimension));
    return value;
}

std::string TomlValue::date() const {
    using namespace std::chrono;
    int y = 0;
    unsigned m = 0, d = 0;
    if (const auto* local = as_node(node_).as_date()) {
        y = local->get().year, m = local->get().month, d = local->get().day;
    } else {
        const auto* quoted = as_node(node_).as_string();
        char rest = 0;
        if (!quoted || quoted->get().size() != 10 ||
            std::sscanf(quoted->get().c_str(), "%4d-%2u-%2u%c", &y, &m, &d, &rest) != 3)
            refuse("must be a date such as 2026-11-25");
    }
    if (!year_month_day(year(y), month(m), day(d)).ok())
        refuse("is no day of the calendar");
    return fmt::format("{:04}-{:02}-{:02}", y, m, d);
}

bool TomlValue::is_list() const {
    return as_node(node_).is_array();
}

std::vector<TomlValue> TomlValue::list() const {
    const auto* array = as_node(node_).as_array();
    if (!array)
        refuse("must be a list in square brackets");
    std::vector<TomlValue> values;
    for (std::size_t i = 0; i < array->size(); ++i)
        values.push_back({file_, array->get(i), fmt::format("{}[{}]", key_, i + 1)});
    return values;
}

TomlTable TomlValue::table() const {
    if (!as_node(node_).is_table())
        refuse(as_node(node_).is_array() ? fmt::format("must stand there once, as [{}]", key_)
                                         : fmt::format("must be a table: write [{}]", key_));
    return TomlTable(*this);
}

std::vector<TomlTable> TomlValue::tables() const {
    if (!as_node(node_).is_array())
        refuse(fmt::format("may stand there several times: write [[{}]]", key_));
    std::vector<TomlTable> tables;
    for (const TomlValue& value : list())
        tables.push_back(value.table());
    return tables;
}

bool TomlTable::has(std::string_view key) const {
    return find(key).has_value();
}

std::optional<TomlValue> TomlTable::find(std::string_view key) const {
    value_.file_->asked[value_.node_].emplace(key);
    const toml::node* node = as_node(value_.node_).as_table()->get(key);
    if (!node)
        return {};
    return TomlValue(value_.file_, node, joined(value_.key_, key));
}

TomlValue TomlTable::need(std::string_view key) const {
    if (auto value = find(key))
        return *value;
    for (const auto& [other, node] : *as_node(value_.node_).as_table())
        if (similar(other.str(), key))
            throw Error(ErrorKind::unusable, fmt::format("{}: {} is not known; did you mean {}?",
                                                         place(value_.file_->name, other.source().begin),
                                                         joined(value_.key_, other.str()), key));
    throw Error(ErrorKind::unusable,
                fmt::format("{}: {} is missing; add it",
                            place(value_.file_->name, as_node(value_.node_).source().begin),
                            joined(value_.key_, key)));
}

std::vector<std::string> TomlTable::keys() const {
    std::vector<std::string> all;
    for (const auto& [key, node] : *as_node(value_.node_).as_table())
        all.emplace_back(key.str());
    return all;
}

std::string TomlTable::text_or(std::string_view key, std::string_view otherwise) const {
    const auto value = find(key);
    return value ? value->text() : std::string(otherwise);
}

bool TomlTable::flag_or(std::string_view key, bool otherwise) const {
    const auto value = find(key);
    return value ? value->flag() : otherwise;
}

double TomlTable::number_or(std::string_view key, double otherwise, Range range) const {
    const auto value = find(key);
    return value ? value->number(range) : otherwise;
}

std::optional<double> TomlTable::quantity_if(std::string_view key, Dimension dimension, Range range) const {
    const auto value = find(key);
    return value ? std::optional(value->quantity(dimension, range)) : std::nullopt;
}

std::vector<TomlTable> TomlTable::tables(std::string_view key) const {
    const auto value = find(key);
    return value ? value->tables() : std::vector<TomlTable>();
}

TomlFile TomlFile::read(const std::filesystem::path& path) {
    return parse(read_whole(path), path.string());
}

TomlFile TomlFile::parse(std::string_view text, std::string_view name) {
    check_toml_text(text, name);
    auto file = std::make_shared<TomlContent>();
    file->name = name;
    try {
        file->root = toml::parse(text, name);
    } catch (const toml::parse_error& error) {
        throw Error(
            ErrorKind::unusable,
            fmt::format("{}: is not valid TOML ({}); texts, and numbers with a unit, stand in double quotes",
                        place(name, error.source().begin), error.description()));
    }
    return TomlFile(std::move(file));
}

TomlTable TomlFile::root() const {
    const toml::node* node = &file_->root;
    return TomlTable(TomlValue(file_, node, ""));
}

namespace {

void refuse_unknown_key(const TomlContent& file, const std::set<std::string>& known, const toml::key& key,
                        const std::string& full) {
    const auto close =
        std::find_if(known.begin(), known.end(), [&](const std::string& k) { return similar(k, key.str()); });
    const std::string mend = close != known.end() ? fmt::format("did you mean {}?", *close)
                                                  : fmt::format("known here: {}", list_of(known));
    throw Error(ErrorKind::unusable,
                fmt::format("{}: {} is not known; {}", place(file.name, key.source().begin), full, mend));
}

/// Walks everything under `node` that was read, and throws for the first key that was not asked for.
void refuse_unknown(const TomlContent& file, const toml::node& node, const std::string& name) {
    if (const auto* array = node.as_array()) {
        for (std::size_t i = 0; i < array->size(); ++i)
            refuse_unknown(file, *array->get(i), fmt::format("{}[{}]", name, i + 1));
        return;
    }
    const auto* table = node.as_table();
    const auto asked = file.asked.find(&node);
    if (!table || asked == file.asked.end())
        return;
    for (const auto& [key, value] : *table) {
        if (!asked->second.contains(std::string(key.str())))
            refuse_unknown_key(file, asked->second, key, joined(name, key.str()));
        refuse_unknown(file, value, joined(name, key.str()));
    }
}

} // namespace

void TomlFile::refuse_unknown_keys() const {
    refuse_unknown(*file_, file_->root, "");
}

std::string toml_quoted(std::string_view text) {
    std::string quoted = "\"";
    while (!text.empty()) {
        const std::size_t length = utf8_length(text);
        const auto c = static_cast<unsigned char>(text[0]);
        if (length == 0)
            throw Error(ErrorKind::unusable,
                        fmt::format("byte {:#04x} is not UTF-8 text; write the text in UTF-8", c));
        if (c == '"' || c == '\\')
            quoted += fmt::format("\\{}", static_cast<char>(c));
        else if (c < 0x20 || c == 0x7F)
            quoted += fmt::format("\\u{:04X}", static_cast<unsigned>(c));
        else
            quoted += text.substr(0, length);
        text.remove_prefix(length);
    }
    return quoted + "\"";
}

} // namespace ebbmark
