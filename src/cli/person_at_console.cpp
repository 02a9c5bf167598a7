// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/person_at_console.hpp"

#include "proof/text/guarded.hpp"
#include "proof/words/check_words.hpp"
#include "proof/words/device_texts.hpp"
#include "proof/words/table.hpp"

#include <fmt/format.h>
#include <fmt/ostream.h>

#include <algorithm>
#include <cmath>
#include <istream>
#include <ostream>
#include <thread>

namespace ebbmark {

namespace {

std::string prompt_for(const StandHere& here) {
    const PlannedTake& step = here.take;
    const Situation& at = here.at;
    return fmt::format(
        "{}{}: loudspeaker {} at {:.2f}, {:.2f}, {:.2f} m, microphone {} at {:.2f}, {:.2f}, {:.2f} m. Enter "
        "measures, s leaves it for later, q ends:",
        step.position.name(), step.is_return ? ", the return (move the microphone away and put it back)" : "",
        step.position.source, at.source[0], at.source[1], at.source[2], step.position.microphone,
        at.microphone[0], at.microphone[1], at.microphone[2]);
}

/// Between two prompts: kept or rejected, and what to do about it.
std::string summary_of(const KeptTake& kept) {
    std::string text = fmt::format("{} {}\n", kept.report.accepted ? "Accepted:" : "REJECTED:", kept.take);
    return text + outcomes_text(kept.report.checks, 4) + '\n';
}

} // namespace

std::string meter_text(const Meter& meter) {
    constexpr int steps = 20;
    const double peak_dbfs = std::clamp(meter.peak_dbfs, -60.0, 0.0);
    const int full = static_cast<int>(std::lround((peak_dbfs + 60) / 3));
    std::string bar;
    for (int i = 0; i < steps; ++i)
        bar += i < full ? "█" : "─";
    return fmt::format("{:5.1f} of {:.1f} s  {}  {}{:.0f} dBFS", meter.done_s, meter.whole_s, bar,
                       meter.peak_dbfs < -60 ? "below " : "", peak_dbfs);
}

PersonAtConsole::PersonAtConsole(const Arguments& arguments, Console& console)
    : arguments_(arguments), console_(console) {}

std::optional<std::string> PersonAtConsole::typed(std::string_view question) {
    fmt::print(console_.err, "{} ", plain_text(question));
    console_.err << std::flush;
    std::string line;
    const bool answered = console_.in != nullptr && std::getline(*console_.in, line).good();
    interrupt_.stop_if_interrupted();
    if (!answered || !console_.in_is_terminal)
        console_.err << '\n';
    return answered ? std::optional(line) : std::nullopt;
}

Answer PersonAtConsole::answer(const StandHere& here) {
    const auto line = typed(prompt_for(here));
    if (!line || *line == "q")
        return Answer::end;
    return *line == "s" ? Answer::later : Answer::go_on;
}

/// A script that calls `level` knows what it does: only a person at a terminal is waited for.
Answer PersonAtConsole::answer(const SoundGrows&) {
    for (const texts::Text caution : texts::level_cautions)
        console_.err << wrapped(std::string(caution), terminal_columns, 2, "- ");
    return !console_.in_is_terminal || typed("Enter starts, Ctrl-C ends.") ? Answer::go_on : Answer::end;
}

Answer PersonAtConsole::ask(const Prompt& prompt) {
    return std::visit([this](const auto& asked) { return answer(asked); }, prompt);
}

void PersonAtConsole::leave_room() {
    const double delay_s = arguments_.quantity("delay", Dimension::time).value_or(0);
    ProgressLine progress(console_, arguments_.flag("quiet"));
    using Clock = std::chrono::steady_clock;
    const auto end = Clock::now() + std::chrono::duration_cast<Clock::duration>(
                                        std::chrono::duration<double>(std::clamp(delay_s, 0.0, 3600.0)));
    while (Clock::now() < end) {
        const std::chrono::duration<double> left = end - Clock::now();
        progress.show(
            fmt::format("plays in {:.0f} s: leave the room, close the door", std::ceil(left.count())));
        std::this_thread::sleep_for(std::chrono::milliseconds(100));
        interrupt_.stop_if_interrupted();
    }
    interrupt_.stop_if_interrupted();
}

Watch PersonAtConsole::watch() {
    meter_.reset();
    meter_.emplace(console_, arguments_.flag("quiet"));
    return [this](const Meter& meter) {
        meter_->show(meter_text(meter));
        return !interrupt_.interrupted();
    };
}

void PersonAtConsole::left_for_later(const std::string& source, const std::string& why) {
    console_.err << wrapped(fmt::format("Left for later, loudspeaker {}: {}.", source, why));
}

void PersonAtConsole::kept(const KeptTake& take) {
    meter_.reset(); // its line goes
    if (arguments_.flag("positions"))
        console_.err << summary_of(take) << std::flush;
}

} // namespace ebbmark
