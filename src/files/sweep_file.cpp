// SPDX-License-Identifier: GPL-3.0-or-later
#include "files/sweep_file.hpp"

#include "base/error.hpp"
#include "files/hash.hpp"

#include <fmt/format.h>

namespace ebbmark {

SweepDescription sweep_from(const TomlTable& table) {
    const Sweep defaults;
    SweepDescription description;
    Sweep& s = description.sweep;
    if (const auto kind = table.find("kind"))
        kind->choice({"exponential"});
    s.start_hz = table.need("start_hz").number({0.1, 96000});
    s.stop_hz = table.need("stop_hz").number({0.1, 96000});
    s.seconds = table.need("seconds").number({0.01, 600});
    s.rate_hz = table.number_or("rate_hz", defaults.rate_hz, {8000, 192000});
    s.level_dbfs = table.number_or("level_dbfs", defaults.level_dbfs, {-200, 0});
    s.phase_rad = table.number_or("phase_rad", defaults.phase_rad);
    s.fade_in_s = table.number_or("fade_in_s", defaults.fade_in_s, {0, 300});
    s.fade_out_s = table.number_or("fade_out_s", defaults.fade_out_s, {0, 300});
    s.lead_silence_s = table.number_or("lead_silence_s", defaults.lead_silence_s, {0, 600});
    s.tail_silence_s = table.number_or("tail_silence_s", defaults.tail_silence_s, {0, 600});
    const auto repeats = table.find("repeats");
    s.repeats = repeats ? repeats->whole(1, 64) : defaults.repeats;
    // The default sweep of 10 s has a tail of 2 s and a period of 14 s: time to decay, and a pause.
    s.repeat_period_s = table.number_or("repeat_period_s", s.seconds + s.tail_silence_s + 2, {0, 1200});
    if (const auto hash = table.find("sha256")) {
        description.sha256 = hash->text();
        if (!is_sha256(description.sha256))
            hash->refuse("must be 64 hexadecimal digits in lower case, as sha256sum prints them");
    }
    try {
        check(s);
    } catch (const Error& error) {
        // The table's name stands before it already.
        const std::string_view text = error.what();
        table.refuse(text.substr(text.starts_with("sweep: ") ? 7 : 0));
    }
    return description;
}

SweepDescription read_sweep(const std::filesystem::path& path) {
    const TomlFile file = TomlFile::read(path);
    const SweepDescription description = sweep_from(file.root().need("sweep").table());
    file.refuse_unknown_keys();
    return description;
}

std::string to_toml(const Sweep& s, const std::string& sha256) {
    std::string text =
        fmt::format("[sweep]\n"
                    "kind = \"exponential\"\n"
                    "start_hz = {}\n"
                    "stop_hz = {}\n"
                    "seconds = {}\n"
                    "rate_hz = {}\n"
                    "level_dbfs = {}\n"
                    "phase_rad = {}\n"
                    "fade_in_s = {}\n"
                    "fade_out_s = {}\n"
                    "lead_silence_s = {}\n"
                    "repeats = {}\n"
                    "repeat_period_s = {}\n"
                    "tail_silence_s = {}\n",
                    s.start_hz, s.stop_hz, s.seconds, s.rate_hz, s.level_dbfs, s.phase_rad, s.fade_in_s,
                    s.fade_out_s, s.lead_silence_s, s.repeats, s.repeat_period_s, s.tail_silence_s);
    if (!sha256.empty())
        text += fmt::format("sha256 = {}\n", toml_quoted(sha256));
    return text;
}

} // namespace ebbmark
