// SPDX-License-Identifier: GPL-3.0-or-later
#include "files/toml_guard.hpp"

#include "base/error.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <string>

namespace ebbmark {

namespace {

constexpr int most_levels = 32;

/// Walks over the text once, in the states that decide whether a character stands in quotes.
class Scanner {
  public:
    Scanner(std::string_view text, std::string_view name) : rest_(text), name_(name) {
        if (rest_.starts_with("\xEF\xBB\xBF")) // some editors put this mark in front of UTF-8
            rest_.remove_prefix(3);
    }

    void scan() {
        while (!rest_.empty()) {
            const std::size_t length = checked_length();
            if (!closing_.empty())
                in_quotes(length);
            else if (in_comment_)
                step(length);
            else
                outside(length);
        }
        if (levels_ > 0)
            refuse(opened_line_, opened_column_, "this bracket is not closed; close it, or remove it");
    }

  private:
    [[noreturn]] void refuse(int line, int column, std::string_view what) const {
        throw Error(ErrorKind::unusable,
                    fmt::format("{}, line {}, column {}: is not valid TOML: {}", name_, line, column, what));
    }
    [[noreturn]] void refuse(std::string_view what) const { refuse(line_, column_, what); }

    std::size_t checked_length() const {
        const auto c = static_cast<unsigned char>(rest_[0]);
        if ((c < 0x20 && c != '\t' && c != '\n' && c != '\r') || c == 0x7F)
            refuse(
                fmt::format("byte {:#04x} is no text; open the file in an editor and remove it, or fetch the "
                            "file again",
                            c));
        const std::size_t length = utf8_length(rest_);
        if (length == 0)
            refuse(fmt::format("byte {:#04x} is not UTF-8 text; save the file in UTF-8", c));
        return length;
    }

    void step(std::size_t bytes) {
        if (rest_[0] == '\n') {
            ++line_;
            column_ = 0;
            in_comment_ = false;
            names_ = 0;
            begun_ = false;
            if (closing_.size() == 1) // the parser tells that the quotes are not closed
                closing_.clear();
        }
        ++column_;
        rest_.remove_prefix(bytes);
    }

    void steps(std::size_t count) {
        for (std::size_t i = 0; i < count && !rest_.empty(); ++i)
            step(checked_length());
    }

    void in_quotes(std::size_t length) {
        if (rest_[0] == '\\' && closing_[0] == '"')
            return steps(2);
        if (!rest_.starts_with(closing_))
            return step(length);
        // Up to two quotes may stand right before the three that close.
        std::size_t quotes = closing_.size();
        while (closing_.size() == 3 && quotes < 5 && quotes < rest_.size() && rest_[quotes] == closing_[0])
            ++quotes;
        closing_.clear();
        steps(quotes);
    }

    void outside(std::size_t length) {
        const char c = rest_[0];
        if (length > 1)
            refuse(
                fmt::format("\"{}\" stands outside quotes; texts, and numbers with a unit, stand in double "
                            "quotes",
                            rest_.substr(0, length)));
        if (c == '"' || c == '\'') {
            begun_ = true;
            const std::string three(3, c);
            closing_ = rest_.starts_with(three) ? three : std::string(1, c);
            return steps(closing_.size());
        }
        in_comment_ = c == '#';
        if (c == '[' && !begun_)
            check_heading();
        begun_ = begun_ || (c != ' ' && c != '\t');
        if (c == '[' || c == '{')
            open();
        else if (c == ']' || c == '}')
            levels_ = levels_ > 0 ? levels_ - 1 : 0;
        count_names(c);
        step(length);
    }

    /// A bracket that begins a line outside of others begins the heading of a table: a name must follow.
    void check_heading() const {
        std::string_view after = rest_.substr(rest_.starts_with("[[") ? 2 : 1);
        after.remove_prefix(std::min(after.find_first_not_of(" \t"), after.size()));
        const char c = after.empty() ? '\n' : after[0];
        const bool begins_name = std::isalnum(static_cast<unsigned char>(c)) != 0 ||
                                 std::string_view("_-\"']").find(c) != std::string_view::npos;
        if (levels_ == 0 && !begins_name)
            refuse("a name must follow the bracket that begins a line, such as [room]");
    }

    void open() {
        if (levels_ == 0)
            opened_line_ = line_, opened_column_ = column_;
        if (++levels_ > most_levels)
            refuse(fmt::format("more than {} brackets within each other; nothing here needs as many",
                               most_levels));
    }

    void count_names(char c) {
        if (c == ',' || c == '=' || c == '[' || c == ']' || c == '{' || c == '}')
            names_ = 0;
        else if (c == '.' && ++names_ >= most_levels)
            refuse(fmt::format("more than {} names with dots between them; nothing here needs as many",
                               most_levels));
    }

    std::string_view rest_, name_;
    std::string closing_; ///< the quotes that end what is being read; empty outside quotes
    bool in_comment_ = false;
    bool begun_ = false; ///< the line holds more than blanks so far
    int levels_ = 0, names_ = 0, line_ = 1, column_ = 1, opened_line_ = 1, opened_column_ = 1;
};

} // namespace

void check_toml_text(std::string_view text, std::string_view name) {
    Scanner(text, name).scan();
}

std::size_t utf8_length(std::string_view text) {
    const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
    const unsigned first = byte(0);
    const std::size_t length = first < 0x80   ? 1
                               : first < 0xC2 ? 0
                               : first < 0xE0 ? 2
                               : first < 0xF0 ? 3
                               : first < 0xF5 ? 4
                                              : 0;
    if (length > text.size())
        return 0;
    for (std::size_t i = 1; i < length; ++i)
        if ((byte(i) & 0xC0) != 0x80)
            return 0;
    const bool overlong = (first == 0xE0 && byte(1) < 0xA0) || (first == 0xF0 && byte(1) < 0x90);
    const bool surrogate = first == 0xED && byte(1) > 0x9F;
    const bool too_large = first == 0xF4 && byte(1) > 0x8F;
    return overlong || surrogate || too_large ? 0 : length;
}

} // namespace ebbmark
