// SPDX-License-Identifier: GPL-3.0-or-later
#include "work/measuring_day.hpp"

#include "base/error.hpp"

#include <algorithm>
#include <map>

namespace ebbmark {

namespace {

bool holds(const std::vector<PlannedTake>& steps, const PlannedTake& step) {
    return std::any_of(steps.begin(), steps.end(), [&](const PlannedTake& each) {
        return each.position == step.position && each.is_return == step.is_return;
    });
}

} // namespace

MeasuringDay::MeasuringDay(AnalysedJob& job, SoundDevice& device, DayPlan plan, Person& person)
    : job_(job), device_(device), plan_(std::move(plan)), person_(person), levels_(read_levels(job)) {
    check_visit_name(plan_.visit);
}

Sweep MeasuringDay::sweep_at(const std::string& source) const {
    return sweep_of_take(job_.description(), levels_,
                         {{device_.output_name(), device_.output_channel(), source, device_.rate_hz()},
                          device_.simulated(),
                          plan_.find_level_command(source)},
                         plan_.asked);
}

void MeasuringDay::measure(const PlannedTake& step) {
    const auto number = std::count_if(job_.takes().begin(), job_.takes().end(),
                                      [&](const Take& take) { return take.visit == plan_.visit; });
    const Situation situation =
        situation_at(job_.description(), plan_.visit, step, static_cast<int>(number) + 1);
    const Sweep sweep = sweep_at(step.position.source);
    person_.leave_room();
    MeasuredTake measured = measure_take(job_, device_, sweep, situation, step.position, plan_.calibration,
                                         plan_.occasion(), person_.watch());
    person_.kept(measured.kept);
    result_.kept.push_back(std::move(measured.kept));
    result_.ending = measured.ending;
}

MeasuringDay::Steps MeasuringDay::without_level() const {
    const Steps steps = missing_takes(job_, plan_.visit);
    Steps left_out;
    std::map<std::string, std::string> why; // by loudspeaker
    for (const PlannedTake& step : steps)
        try {
            sweep_at(step.position.source);
        } catch (const Error& error) {
            left_out.push_back(step);
            if (left_out.size() == steps.size())
                throw;
            why.emplace(step.position.source, error.what());
        }
    for (const auto& [source, reason] : why)
        person_.left_for_later(source, reason);
    return left_out;
}

void MeasuringDay::walk() {
    Steps left_out = without_level(); // before anybody is asked to move a microphone
    while (result_.ending == Ending::complete) {
        const Steps steps = missing_takes(job_, plan_.visit);
        const auto step = std::find_if(steps.begin(), steps.end(),
                                       [&](const PlannedTake& each) { return !holds(left_out, each); });
        if (step == steps.end())
            return;
        const Answer answer = person_.ask(StandHere{*step, situation_at(job_.description(), "", *step, 1)});
        if (answer == Answer::end)
            return;
        if (answer == Answer::later)
            left_out.push_back(*step);
        else
            measure(*step);
    }
}

} // namespace ebbmark
