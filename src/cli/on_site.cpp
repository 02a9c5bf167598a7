// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/on_site.hpp"

#include "proof/text/guarded.hpp"
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

void count_down(const Arguments& arguments, Console& console, const InterruptNoted& interrupt) {
    const double delay_s = arguments.quantity("delay", Dimension::time).value_or(0);
    ProgressLine progress(console, arguments.flag("quiet"));
    using Clock = std::chrono::steady_clock;
    const auto end = Clock::now() + std::chrono::duration_cast<Clock::duration>(
                                        std::chrono::duration<double>(std::clamp(delay_s, 0.0, 3600.0)));
    while (Clock::now() < end) {
        const std::chrono::duration<double> left = end - Clock::now();
        progress.show(
            fmt::format("plays in {:.0f} s: leave the room, close the door", std::ceil(left.count())));
        std::this_thread::sleep_for(std::chrono::milliseconds(100));
        interrupt.stop_if_interrupted();
    }
    interrupt.stop_if_interrupted();
}

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

Watch meter_on(Progress& progress, const InterruptNoted& interrupt) {
    return [&progress, &interrupt](const Meter& meter) {
        progress.show(meter_text(meter));
        return !interrupt.interrupted();
    };
}

std::optional<std::string> ask(Console& console, std::string_view question, const InterruptNoted& interrupt) {
    fmt::print(console.err, "{} ", plain_text(question));
    console.err << std::flush;
    std::string line;
    const bool answered = console.in != nullptr && std::getline(*console.in, line).good();
    interrupt.stop_if_interrupted();
    if (!answered || !console.in_is_terminal)
        console.err << '\n';
    return answered ? std::optional(line) : std::nullopt;
}

void print_cautions(Console& console) {
    for (const texts::Text caution : texts::level_cautions)
        console.err << wrapped(std::string(caution), terminal_columns, 2, "- ");
}

} // namespace ebbmark
