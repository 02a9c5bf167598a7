// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "cli/calibration_option.hpp"
#include "cli/device_option.hpp"
#include "cli/every_command.hpp"
#include "cli/occasion.hpp"
#include "cli/on_site.hpp"
#include "cli/output.hpp"
#include "job/level_setting.hpp"
#include "proof/check_words.hpp"
#include "proof/job_reports.hpp"
#include "proof/table.hpp"
#include "work/measure_take.hpp"
#include "work/next_of_job.hpp"
#include "work/visit_plan.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <ostream>
#include <set>

namespace ebbmark {

namespace {

/// The level found for this output and loudspeaker; null where a virtual room or a level that was typed
/// stands in for it. Throws Error(unusable) with the command that finds one.
const LevelSetting* level_for(const KeptLevels& levels, const SoundDevice& device, const Arguments& arguments,
                              const std::string& source) {
    const LevelPlace place{device.output_name(), device.output_channel(), source, device.rate_hz()};
    if (const LevelSetting* found = levels.at(place))
        return found;
    const bool none_at_all = levels.settings.empty() && !levels.without_place;
    if (device.simulated() || (none_at_all && arguments.has("level")))
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
                    source, place.output_channel, place.output, place.rate_hz,
                    others.empty() ? "" : ", only for " + others, level_command(arguments, source),
                    none_at_all ? "; or give a low one yourself, such as --level -40" : ""));
}

/// With the level that was found, or the one that is asked for and is not above it.
Sweep sweep_for(const JobFolder& job, const KeptLevels& levels, const SoundDevice& device,
                const Arguments& arguments, const std::string& source) {
    const LevelSetting* found = level_for(levels, device, arguments, source);
    const auto asked_dbfs = arguments.quantity("level", Dimension::level);
    Sweep sweep = found ? found->sweep : Sweep{};
    // What job.toml says now counts too: the loudspeaker may be protected from more than when it was found.
    const double lowest_hz = lowest_played_hz(job.description(), source);
    sweep.start_hz = found ? std::max(sweep.start_hz, lowest_hz) : lowest_hz;
    if (found && asked_dbfs && *asked_dbfs > found->sweep.level_dbfs)
        throw Error(
            ErrorKind::usage,
            fmt::format("--level {} is louder than the {} dBFS that were found safe; run ebbmark level again "
                        "with a higher --limit if ears and loudspeaker allow it",
                        *asked_dbfs, found->sweep.level_dbfs));
    sweep.level_dbfs = asked_dbfs.value_or(sweep.level_dbfs);
    sweep.seconds = arguments.quantity("seconds", Dimension::time).value_or(sweep.seconds);
    sweep.repeats = arguments.whole_number("repeats", 1, 64).value_or(sweep.repeats);
    sweep.repeat_period_s = sweep.seconds + sweep.tail_silence_s + 2;
    sweep.rate_hz = device.rate_hz();
    sweep.stop_hz = std::min(sweep.stop_hz, 0.45 * sweep.rate_hz);
    check(sweep);
    return sweep;
}

struct Step {
    Position position;
    bool is_return = false;
};

/// What a visit still lacks, in the order of job.toml, and the return to its first position in the end.
std::vector<Step> steps_of(const JobFolder& job, const std::string& visit) {
    const auto done = job.takes_in_use(visit), returned = job.takes_in_use(visit, true);
    std::vector<Step> steps;
    const auto all = positions_of(job.description());
    for (const Position& position : all)
        if (!done.contains(position))
            steps.push_back({position, false});
    if (returned.empty())
        steps.push_back({first_position(job.takes(), visit).value_or(all.front()), true});
    return steps;
}

std::string prompt_for(const JobDescription& job, const Step& step) {
    const Situation at = situation_at(job, "", step.position, 1, step.is_return);
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

class MeasuringDay {
  public:
    MeasuringDay(const Arguments& arguments, Console& console)
        : arguments_(arguments), console_(console), job_(arguments.words().at(0), Access::write),
          visit_(arguments.words().at(1)), device_(device_of(arguments)), levels_(read_levels(job_)),
          calibration_(read_calibration(arguments)) {}

    int run() {
        check_visit_name(visit_); // before anything is played
        if (arguments_.flag("positions"))
            walk();
        else
            measure({parse_position(arguments_.words().at(2)), arguments_.flag("return")});
        if (format_of(arguments_) != Format::text)
            emit_report(arguments_, console_, KeepReport{"take", device_->simulated(), kept_});
        else {
            ProgressLine progress(console_, arguments_.flag("quiet"));
            emit(arguments_, console_,
                 text_ + to_text(next_report(job_, arguments_.words().at(0), console_.today(), progress)));
        }
        return code_;
    }

  private:
    /// Every position that is missing, then the return; a rejected one is offered again.
    void walk() {
        std::set<std::pair<Position, bool>> left_out;
        leave_out_without_level(left_out);
        while (code_ != static_cast<int>(ErrorKind::device) &&
               code_ != static_cast<int>(ErrorKind::interrupted)) {
            const auto steps = steps_of(job_, visit_);
            const auto step = std::find_if(steps.begin(), steps.end(), [&](const Step& each) {
                return !left_out.contains({each.position, each.is_return});
            });
            if (step == steps.end())
                return;
            const auto answer = ask(console_, prompt_for(job_.description(), *step), interrupt_);
            if (!answer || *answer == "q")
                return;
            if (*answer == "s")
                left_out.insert({step->position, step->is_return});
            else
                measure(*step);
        }
    }

    /// Before anybody is asked to move a microphone: what stands ready on another output is left for later.
    void leave_out_without_level(std::set<std::pair<Position, bool>>& left_out) const {
        const auto steps = steps_of(job_, visit_);
        std::string told;
        for (const Step& step : steps)
            try {
                sweep_for(job_, levels_, *device_, arguments_, step.position.source);
            } catch (const Error& error) {
                left_out.insert({step.position, step.is_return});
                if (left_out.size() == steps.size())
                    throw;
                if (told != step.position.source)
                    console_.err << wrapped(fmt::format("Left for later, loudspeaker {}: {}.",
                                                        step.position.source, error.what()));
                told = step.position.source;
            }
    }

    void measure(const Step& step) {
        const auto number = std::count_if(job_.takes().begin(), job_.takes().end(),
                                          [&](const Take& take) { return take.visit == visit_; });
        const Situation situation = situation_at(job_.description(), visit_, step.position,
                                                 static_cast<int>(number) + 1, step.is_return);
        const Sweep sweep = sweep_for(job_, levels_, *device_, arguments_, step.position.source);
        count_down(arguments_, console_, interrupt_);
        MeasuredTake measured;
        {
            ProgressLine progress(console_, arguments_.flag("quiet"));
            measured = measure_take(job_, *device_, sweep, situation, step.position, calibration_,
                                    occasion_of(console_), meter_on(progress, interrupt_));
        }
        kept_.push_back(measured.kept);
        if (arguments_.flag("positions"))
            console_.err << summary_of(measured.kept) << std::flush;
        else
            text_ = to_text(KeepReport{"take", device_->simulated(), {measured.kept}}) + '\n';
        code_ = !measured.kept.report.accepted ? static_cast<int>(ErrorKind::rejected) : 0;
        if (measured.ending == Ending::failed)
            code_ = static_cast<int>(ErrorKind::device);
        if (measured.ending == Ending::interrupted)
            code_ = static_cast<int>(ErrorKind::interrupted);
    }

    const Arguments& arguments_;
    Console& console_;
    AnalysedJob job_;
    std::string visit_;
    std::unique_ptr<SoundDevice> device_;
    KeptLevels levels_;
    Calibration calibration_;
    InterruptNoted interrupt_;
    std::vector<KeptTake> kept_;
    std::string text_;
    int code_ = 0;
};

} // namespace

void declare_take(Options& options) {
    declare_device(options);
    add_flag(options, "positions",
             "walk through all positions that the visit still lacks, with prompts; without POSITION");
    add_flag(options, "return", "the microphone was moved away and back: the visit's return");
    add_option(options, "level", "DB", "peak below full scale; never above what ebbmark level found");
    add_option(options, "seconds", "S", "length of one sweep");
    add_option(options, "repeats", "N", "equal sweeps in a row");
    declare_calibration(options);
    declare_output(options);
}

int run_take(const Arguments& arguments, Console& console) {
    if (arguments.flag("positions") == (arguments.words().size() == 3))
        throw Error(ErrorKind::usage,
                    arguments.flag("positions")
                        ? "give either POSITION or --positions, not both"
                        : "take needs a POSITION, such as S1-M1, or --positions for all of the visit");
    return MeasuringDay(arguments, console).run();
}

} // namespace ebbmark
