// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/run.hpp"

#include "base/error.hpp"
#include "cli/command.hpp"
#include "cli/nearest.hpp"
#include "cli/output.hpp"
#include "job/evidence_faults.hpp"
#include "proof/text/guarded.hpp"
#include "proof/words/verify_notes.hpp"
#include "system/file.hpp"
#include "work/version.hpp"

#include <fmt/format.h>
#include <fmt/ostream.h>

#include <filesystem>
#include <new>
#include <ostream>

namespace ebbmark {

namespace po = boost::program_options;

namespace {

[[noreturn]] void refuse(const std::string& text) {
    throw Error(ErrorKind::usage, text);
}

const Command& find_command(const std::string& name) {
    std::vector<std::string> names;
    for (const Command& command : commands()) {
        if (command.name == name)
            return command;
        names.emplace_back(command.name);
    }
    refuse(fmt::format("there is no command \"{}\"{} See ebbmark --help.", name, did_you_mean(name, names)));
}

void print_overview(std::ostream& out) {
    out << "Ebbmark measures what sound treatment did to a room, from test signal to proof.\n\n"
           "ebbmark COMMAND [ARGUMENTS] [OPTIONS]\n";
    std::string_view stage;
    for (const Command& command : commands()) {
        if (command.stage != stage)
            fmt::print(out, "\n{}\n", command.stage);
        stage = command.stage;
        fmt::print(out, "  {:<12}{}\n", command.name, command.does);
    }
    out << "\nebbmark COMMAND --help tells more, ebbmark --version the version.\n"
           "Results go to standard output, progress and warnings to standard error.\n"
           "Exit codes: 0 done, 1 the program failed, 2 wrong command line, 3 input or destination\n"
           "unusable, 4 sound device failed, 5 rejected or nothing measurable, 6 evidence changed,\n"
           "130 interrupted.\n"
           "Test signals can be loud: read ebbmark sweep --help before you play one.\n";
}

void print_help(const Command& command, const Options& options, std::ostream& out) {
    fmt::print(out, "ebbmark {} {}\n\n{}\n\n{}\n", command.name, command.arguments, command.does,
               command.details);
    out << options;
}

std::vector<std::string> names_of(const Options& options) {
    std::vector<std::string> names;
    for (const auto& option : options.options())
        names.push_back("--" + option->long_name());
    return names;
}

Arguments parse(const Command& command, const Options& visible, const std::vector<std::string>& words) {
    Options all;
    all.add(visible);
    all.add_options()("word", po::value<std::vector<std::string>>());
    po::positional_options_description positions;
    positions.add("word", -1);
    po::variables_map values;
    const int style = po::command_line_style::unix_style & ~po::command_line_style::allow_guessing;
    try {
        po::store(po::command_line_parser(words).options(all).positional(positions).style(style).run(),
                  values);
    } catch (const po::unknown_option& failure) {
        refuse(fmt::format("{} has no option {}{} See ebbmark {} --help.", command.name,
                           failure.get_option_name(),
                           did_you_mean(failure.get_option_name(), names_of(visible)), command.name));
    } catch (const po::error& failure) {
        refuse(fmt::format("{}. See ebbmark {} --help.", failure.what(), command.name));
    }
    auto found =
        values.count("word") ? values["word"].as<std::vector<std::string>>() : std::vector<std::string>{};
    values.erase("word");
    return {std::move(values), std::move(found), command.destination};
}

int run_command(const std::vector<std::string>& words, Console& console) {
    const Command& command = find_command(words.front());
    Options options("Options", 100, 60);
    command.declare(options);
    options.add_options()("help,h", po::bool_switch(), "this text");
    const Arguments arguments = parse(command, options, {words.begin() + 1, words.end()});
    if (arguments.flag("help")) {
        print_help(command, options, console.out);
        return 0;
    }
    const std::size_t count = arguments.words().size();
    if (count < command.least_words || count > command.most_words)
        refuse(fmt::format("{} is called as: ebbmark {} {}; here {} stand instead. See ebbmark {} --help.",
                           command.name, command.name, command.arguments,
                           count == 0 ? "no arguments" : fmt::format("{} arguments", count), command.name));
    require_destinations(arguments);
    return command.run(arguments, console);
}

int dispatch(const std::vector<std::string>& words, Console& console) {
    if (words.empty()) {
        print_overview(console.err);
        return static_cast<int>(ErrorKind::usage);
    }
    if (words[0] == "--help" || words[0] == "-h" || words[0] == "help") {
        if (words.size() > 1)
            return run_command({words[1], "--help"}, console);
        print_overview(console.out);
        return 0;
    }
    if (words[0] == "--version") {
        fmt::print(console.out, "ebbmark {}\n", version);
        return 0;
    }
    return run_command(words, console);
}

int complain(Console& console, ErrorKind kind, std::string_view text) {
    fmt::print(console.err, "ebbmark: {}\n", plain_text(text));
    return static_cast<int>(kind);
}

} // namespace

int run(const std::vector<std::string>& arguments, Console& console) {
    try {
        const int code = dispatch(arguments, console);
        console.out.flush();
        if (!console.out)
            throw Error(ErrorKind::unusable,
                        "standard output cannot be written; is the disk full or the pipe closed?");
        return code;
    } catch (const EvidenceNotIntact& refused) {
        return complain(console, refused.kind(), words_for(refused));
    } catch (const Error& error) {
        return complain(console, error.kind(), error.what());
    } catch (const std::bad_alloc&) {
        return complain(console, ErrorKind::unusable,
                        "not enough memory for this input; give shorter recordings.");
    } catch (const std::filesystem::filesystem_error& error) {
        return complain(console, ErrorKind::unusable,
                        fmt::format("{}: cannot be reached ({}); {}", error.path1().string(),
                                    error.code().message(), mend_for(error.code().value())));
    } catch (const std::exception& error) {
        return complain(console, ErrorKind::bug,
                        fmt::format("internal fault, please report it: {}", error.what()));
    }
}

} // namespace ebbmark
