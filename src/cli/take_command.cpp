// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "cli/calibration_option.hpp"
#include "cli/device_option.hpp"
#include "cli/every_command.hpp"
#include "cli/occasion.hpp"
#include "cli/on_site.hpp"
#include "cli/output.hpp"
#include "job/level_setting.hpp"
#include "proof/reports/job_reports.hpp"
#include "proof/words/check_words.hpp"
#include "proof/words/table.hpp"
#include "work/measure_take.hpp"
#include "work/next_of_job.hpp"
#include "work/take_sweep.hpp"
#include "work/visit_plan.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <ostream>
#include <set>

namespace ebbmark {

namespace {

/// What was typed of the sweep.
AskedSweep asked_sweep(const Arguments& arguments) {
    return {arguments.quantity("level", Dimension::level), arguments.quantity("seconds", Dimension::time),
            arguments.whole_number("repeats", 1, 64)};
}

std::string prompt_for(const JobDescription& job, const PlannedTake& step) {
    const Situation at = situation_at(job, "", step, 1);
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
            const auto steps = missing_takes(job_, visit_);
            const auto step = std::find_if(steps.begin(), steps.end(), [&](const PlannedTake& each) {
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
        const auto steps = missing_takes(job_, visit_);
        std::string told;
        for (const PlannedTake& step : steps)
            try {
                sweep_at(step.position.source);
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

    Sweep sweep_at(const std::string& source) const {
        return sweep_of_take(job_.description(), levels_,
                             {{device_->output_name(), device_->output_channel(), source, device_->rate_hz()},
                              device_->simulated(),
                              level_command(arguments_, source)},
                             asked_sweep(arguments_));
    }

    void measure(const PlannedTake& step) {
        const auto number = std::count_if(job_.takes().begin(), job_.takes().end(),
                                          [&](const Take& take) { return take.visit == visit_; });
        const Situation situation =
            situation_at(job_.description(), visit_, step, static_cast<int>(number) + 1);
        const Sweep sweep = sweep_at(step.position.source);
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
