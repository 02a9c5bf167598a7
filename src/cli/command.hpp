// SPDX-License-Identifier: GPL-3.0-or-later
// A command is a row of one table: its words, its options, and what it runs.
#pragma once

#include "base/quantity.hpp"
#include "cli/console.hpp"

#include <boost/program_options.hpp>

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace ebbmark {

/// What was typed after the command's name. Wrong words are Error(usage).
class Arguments {
  public:
    /// `destination` is the index of the word that names a file to be written, if one does.
    Arguments(boost::program_options::variables_map values, std::vector<std::string> words,
              std::optional<std::size_t> destination = {})
        : values_(std::move(values)), words_(std::move(words)), destination_(destination) {}

    const std::vector<std::string>& words() const { return words_; } ///< arguments that are no options
    /// Every text that was typed and names no destination: what may be a file to be read.
    std::vector<std::string> inputs() const;
    /// The files that are to be written, as they were typed.
    std::vector<std::string> destinations() const;
    bool has(const std::string& option) const { return values_.count(option) > 0; }
    bool flag(const std::string& option) const { return has(option) && values_[option].as<bool>(); }
    std::string text(const std::string& option) const;
    std::vector<std::string> list(const std::string& option) const;
    std::optional<double> quantity(const std::string& option, Dimension dimension) const;
    /// The same, at least `least` and at most `most`, in the unit of the dimension (base/quantity.hpp).
    std::optional<double> quantity(const std::string& option, Dimension dimension, double least,
                                   double most) const;
    std::optional<int> whole_number(const std::string& option, int least, int most) const;
    /// One of `choices`, of which the first is the default.
    std::string choice(const std::string& option, const std::vector<std::string>& choices) const;

  private:
    boost::program_options::variables_map values_;
    std::vector<std::string> words_;
    std::optional<std::size_t> destination_;
};

using Options = boost::program_options::options_description;

struct Command {
    std::string_view name;
    std::string_view stage;     ///< plan, measure, analyse, prove, learn
    std::string_view arguments; ///< as shown after the name
    std::string_view does;      ///< one line
    std::string_view details;   ///< what --help adds: units, ranges, what the figures rest on, examples
    std::size_t least_words;
    std::size_t most_words;
    void (*declare)(Options&);
    int (*run)(const Arguments&, Console&);      ///< returns the exit code
    std::optional<std::size_t> destination = {}; ///< index of the word that names a file to be written
};

std::span<const Command> commands();

/// A text option with a placeholder for its value, as the help shows it.
void add_option(Options& options, const char* name, const char* placeholder, const char* text);
void add_list(Options& options, const char* name, const char* placeholder, const char* text);
void add_flag(Options& options, const char* name, const char* text);

} // namespace ebbmark
