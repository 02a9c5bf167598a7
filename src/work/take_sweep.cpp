// SPDX-License-Identifier: GPL-3.0-or-later
#include "work/take_sweep.hpp"

#include "base/error.hpp"
#include "work/visit_plan.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace ebbmark {

namespace {

/// The level found there; null where a virtual room or a level that was asked for stands in for it.
const LevelSetting* level_for(const KeptLevels& levels, const SweepPlace& where, const AskedSweep& asked) {
    const LevelPlace& place = where.place;
    if (const LevelSetting* found = levels.at(place))
        return found;
    const bool none_at_all = levels.settings.empty() && !levels.without_place;
    if (where.simulated || (none_at_all && asked.level_dbfs))
        return nullptr;
    std::string others;
    for (const LevelSetting& other : levels.settings)
        others += fmt::format("{}{} on output {} of \"{}\" at {} Hz", others.empty() ? "" : ", ",
                              other.place.source, other.place.output_channel, other.place.output,
                              other.place.rate_hz);
    if (levels.without_place)
        others = "the job, but level.toml is of an earlier version and does not say for which of them";
    throw Error(
        ErrorKind::unusable,
        fmt::format("no level was found for loudspeaker {} on output {} of \"{}\" at {} Hz{}; read the "
                    "cautions and type first: {}{}",
                    place.source, place.output_channel, place.output, place.rate_hz,
                    others.empty() ? "" : ", only for " + others, where.find_level_command,
                    none_at_all ? "; or give a low one yourself, such as --level -40" : ""));
}

} // namespace

Sweep sweep_of_take(const JobDescription& job, const KeptLevels& levels, const SweepPlace& where,
                    const AskedSweep& asked) {
    const LevelSetting* found = level_for(levels, where, asked);
    Sweep sweep = found ? found->sweep : Sweep{};
    // What job.toml says now counts too: the loudspeaker may be protected from more than when it was found.
    const double lowest_hz = lowest_played_hz(job, where.place.source);
    sweep.start_hz = found ? std::max(sweep.start_hz, lowest_hz) : lowest_hz;
    if (found && asked.level_dbfs && *asked.level_dbfs > found->sweep.level_dbfs)
        throw Error(
            ErrorKind::usage,
            fmt::format("--level {} is louder than the {} dBFS that were found safe; run ebbmark level again "
                        "with a higher --limit if ears and loudspeaker allow it",
                        *asked.level_dbfs, found->sweep.level_dbfs));
    sweep.level_dbfs = asked.level_dbfs.value_or(sweep.level_dbfs);
    sweep.seconds = asked.seconds.value_or(sweep.seconds);
    sweep.repeats = asked.repeats.value_or(sweep.repeats);
    sweep.repeat_period_s = sweep.seconds + sweep.tail_silence_s + 2;
    sweep.rate_hz = where.place.rate_hz;
    sweep.stop_hz = std::min(sweep.stop_hz, 0.45 * sweep.rate_hz);
    check(sweep);
    return sweep;
}

} // namespace ebbmark
