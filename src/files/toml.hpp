// SPDX-License-Identifier: GPL-3.0-or-later
// TOML read with errors that a user can act on: file, line, column, key and mend. The only place that knows
// toml++. Every key that is asked for is noted, so that keys which nobody understands are refused in the end.
#pragma once

#include "base/quantity.hpp"

#include <filesystem>
#include <initializer_list>
#include <limits>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace ebbmark {

/// Limits of a number, both included, in the unit in which the value is returned.
struct Range {
    double low = -std::numeric_limits<double>::infinity();
    double high = std::numeric_limits<double>::infinity();
};

class TomlTable;
struct TomlContent;

/// One value of a file. Every function throws Error(unusable) where the value is not of its kind.
class TomlValue {
  public:
    std::string text() const;
    std::string choice(std::initializer_list<std::string_view> allowed) const;
    bool flag() const;
    double number(Range range = {}) const;
    int whole(int low, int high) const;
    /// A text with a unit, or a bare number in the unit of the dimension (base/quantity.hpp).
    double quantity(Dimension dimension, Range range = {}) const;
    /// "2026-11-25", quoted or not, as text.
    std::string date() const;
    bool is_list() const;
    std::vector<TomlValue> list() const;
    TomlTable table() const;
    std::vector<TomlTable> tables() const;

    /// Throws with file, line, column, key and value; `mend` says what to write instead.
    [[noreturn]] void refuse(std::string_view mend) const;

  private:
    friend class TomlTable;
    friend class TomlFile;
    TomlValue(std::shared_ptr<TomlContent> file, const void* node, std::string key);

    std::shared_ptr<TomlContent> file_;
    const void* node_;
    std::string key_; ///< full, such as "trap[2].layer[1].thickness"
};

/// One table of a file.
class TomlTable {
  public:
    bool has(std::string_view key) const;
    /// The value, or nothing where the key is not there.
    std::optional<TomlValue> find(std::string_view key) const;
    /// Throws Error(unusable) naming the table and a similar key where the key is not there.
    TomlValue need(std::string_view key) const;
    /// Of all that stands in it, in the order of their bytes.
    std::vector<std::string> keys() const;

    std::string text_or(std::string_view key, std::string_view otherwise) const;
    bool flag_or(std::string_view key, bool otherwise) const;
    double number_or(std::string_view key, double otherwise, Range range = {}) const;
    std::optional<double> quantity_if(std::string_view key, Dimension dimension, Range range = {}) const;
    /// The tables of [[key]], none where there is no such key.
    std::vector<TomlTable> tables(std::string_view key) const;

    /// Throws with the place of the table.
    [[noreturn]] void refuse(std::string_view mend) const { value_.refuse(mend); }

  private:
    friend class TomlValue;
    friend class TomlFile;
    explicit TomlTable(TomlValue value) : value_(std::move(value)) {}
    TomlValue value_;
};

class TomlFile {
  public:
    /// Throws Error(unusable) where the file cannot be read or is not TOML.
    static TomlFile read(const std::filesystem::path& path);
    /// `name` stands for the file in messages.
    static TomlFile parse(std::string_view text, std::string_view name);

    TomlTable root() const;
    /// To be called when all is read: throws Error(unusable) for the first key that nobody asked for.
    void refuse_unknown_keys() const;

  private:
    explicit TomlFile(std::shared_ptr<TomlContent> file) : file_(std::move(file)) {}
    std::shared_ptr<TomlContent> file_;
};

/// A text in quotes, escaped as TOML wants it. Throws Error(unusable) where it is not UTF-8.
std::string toml_quoted(std::string_view text);

} // namespace ebbmark
