// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "cli/command.hpp"
#include "cli/nearest.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>

namespace ebbmark {

namespace po = boost::program_options;

namespace {

[[noreturn]] void refuse(const std::string& text) {
    throw Error(ErrorKind::usage, text);
}

/// The options that name what is written.
constexpr std::array output_files = {"out", "picture", "page", "response"};
constexpr std::array output_folders = {"into", "data"};

} // namespace

std::vector<std::string> Arguments::inputs() const {
    std::vector<std::string> inputs;
    for (std::size_t i = 0; i < words_.size(); ++i)
        if (i != destination_)
            inputs.push_back(words_[i]);
    for (const auto& [name, value] : values_) {
        if (std::find(output_files.begin(), output_files.end(), name) != output_files.end() ||
            std::find(output_folders.begin(), output_folders.end(), name) != output_folders.end())
            continue;
        if (const auto* one = boost::any_cast<std::string>(&value.value()))
            inputs.push_back(*one);
        if (const auto* several = boost::any_cast<std::vector<std::string>>(&value.value()))
            inputs.insert(inputs.end(), several->begin(), several->end());
    }
    return inputs;
}

std::vector<std::string> Arguments::destinations() const {
    std::vector<std::string> files;
    if (destination_ && *destination_ < words_.size())
        files.push_back(words_[*destination_]);
    for (const char* name : output_files)
        if (has(name) && text(name) != "-")
            files.push_back(text(name));
    return files;
}

std::string Arguments::text(const std::string& option) const {
    return has(option) ? values_[option].as<std::string>() : std::string();
}

std::vector<std::string> Arguments::list(const std::string& option) const {
    return has(option) ? values_[option].as<std::vector<std::string>>() : std::vector<std::string>();
}

std::optional<double> Arguments::quantity(const std::string& option, Dimension dimension) const {
    if (!has(option))
        return {};
    try {
        return parse_quantity(text(option), dimension);
    } catch (const Error& error) {
        refuse(fmt::format("--{}: {}", option, error.what()));
    }
}

std::optional<double> Arguments::quantity(const std::string& option, Dimension dimension, double least,
                                          double most) const {
    const auto value = quantity(option, dimension);
    if (value && (*value < least || *value > most))
        refuse(fmt::format("--{}: {} lies outside {:g} to {:g}; correct the number or its unit.", option,
                           text(option), least, most));
    return value;
}

std::optional<int> Arguments::whole_number(const std::string& option, int least, int most) const {
    if (!has(option))
        return {};
    const std::string given = text(option);
    int value = 0;
    const auto [end, failure] = std::from_chars(given.data(), given.data() + given.size(), value);
    if (failure != std::errc{} || end != given.data() + given.size() || value < least || value > most)
        refuse(fmt::format("--{}: \"{}\" is no whole number from {} to {}.", option, given, least, most));
    return value;
}

std::string Arguments::choice(const std::string& option, const std::vector<std::string>& choices) const {
    if (!has(option))
        return choices.front();
    const std::string given = text(option);
    if (std::find(choices.begin(), choices.end(), given) == choices.end())
        refuse(fmt::format("--{}: \"{}\" is none of {}{}", option, given, fmt::join(choices, ", "),
                           did_you_mean(given, choices)));
    return given;
}

void add_option(Options& options, const char* name, const char* placeholder, const char* text) {
    options.add_options()(name, po::value<std::string>()->value_name(placeholder), text);
}

void add_list(Options& options, const char* name, const char* placeholder, const char* text) {
    options.add_options()(name, po::value<std::vector<std::string>>()->multitoken()->value_name(placeholder),
                          text);
}

void add_flag(Options& options, const char* name, const char* text) {
    options.add_options()(name, po::bool_switch(), text);
}

} // namespace ebbmark
