// SPDX-License-Identifier: GPL-3.0-or-later
#include "room_samples.hpp"

#include "job_samples.hpp"

namespace ebbmark::samples {

namespace {

MeasuredMode mode(double hz, double t60_s) {
    MeasuredMode mode;
    mode.hz = {hz, hz - 0.1, hz + 0.1, {}};
    mode.t60_s = {t60_s, 0.9 * t60_s, 1.1 * t60_s, {}};
    mode.level_db = {0, -6.5};
    return mode;
}

RingingState state(const std::vector<MeasuredMode>& modes) {
    RingingState state;
    state.files = {"a.wav", "b,c.wav"};
    state.rate_hz = 48000;
    state.ringing.modes = modes;
    state.ringing.unresolved = {{120, 140, Empty::overlap}, {20, 25, Empty::source}};
    state.ringing.positions = 2;
    state.energy_left_db = {Measured::of(-4), Measured::of(-9.6), Measured::none(Empty::noise)};
    return state;
}

} // namespace

RingingReport ringing_before() {
    RingingReport report;
    report.state = state({mode(41.8, 1.6), mode(63.1, 1.2), mode(78.4, 0.4)});
    report.state.ringing.modes[0].room_mode = {{1, 0, 0}};
    report.state.ringing.notes = {MaybeLoudspeaker{2, {33.4}}};
    report.counts = {{63, 56, 71, 4, 3}};
    return report;
}

RingingReport ringing_report() {
    RingingReport report = ringing_before();
    report.after = state({mode(41.6, 0.8), mode(78.5, 0.4), mode(90, 0.3)});
    report.pairs = {{{0}, {0}, 0.98}, {{1}, {}, 0}, {{2}, {1}, 0.97}, {{}, {2}, 0}};
    for (const std::size_t k : {0u, 1u, 2u}) {
        const MeasuredMode& before = report.state.ringing.modes[k];
        ModePair pair;
        pair.before_hz = *before.hz;
        pair.before_t60_s = before.t60_s;
        if (k == 1) {
            pair.after_t60_s = Measured::none(Empty::overlap);
            pair.after_t60_at_most_s = 0.31;
        } else {
            const MeasuredMode& after = report.after->ringing.modes[k / 2];
            pair.after_hz = after.hz.value;
            pair.after_t60_s = after.t60_s;
            pair.why_no_change = Empty::one_position;
        }
        report.changes.push_back(pair);
    }
    return report;
}

ForecastReport forecast_report() {
    ForecastReport report;
    report.job = "jobs/a";
    report.visit = "before";
    report.stored = "predictions/001.csv";
    report.room.schroeder_hz = 301.6;
    const auto bands = bands_between(BandWidth::third, 63, 80);
    report.room.bands = {
        {bands[0], {1.0, 0.9, 1.1, {}}, {0.7, 0.6, 0.8, {}}, {4, 3, 5, {}}, true},
        {bands[1], {0.9, 0.8, 1.0, {}}, Measured::none(Empty::conditions), {4.4, 3.3, 5.5, {}}, false}};
    ModalForecast modal;
    modal.box = Box{{4.1, 3.3, 2.6}};
    modal.outlines = {{{0, 0}, {0.6, 0}, {0.6, 1.2}, {0, 1.2}}};
    modal.modes.resize(2);
    ForecastMode& first = modal.modes[0];
    first.before_hz = 41.8;
    first.before_t60_s = {1.6, 1.44, 1.76, {}};
    first.order = {{1, 0, 0}};
    first.predicted_hz = 41.2;
    first.predicted_t60_s = {0.8, 0.7, 0.95, {}};
    first.at_traps = 1.8;
    first.sensitivity.resistivity = 0.1;
    first.plan_view.assign(plan_view_x * plan_view_y, 0.5);
    first.plan_view[0] = -1;
    ForecastMode& second = modal.modes[1];
    second.before_hz = 63.1;
    second.before_t60_s = {1.2, 1.08, 1.32, {}};
    second.predicted_t60_s = Measured::none(Empty::overlap);
    modal.notes = {ModesMayBeMissing{31, 200, 27, TrapsInside::yes}};
    report.modal = modal;
    const TrapBand low{bands[0], 0.2, 0.45, 0.35, 0.55}, high{bands[1], 0.3, 0.6, 0.5, 0.7};
    report.traps = {{"rear wall", 2.4, 0.2, "invented model", {"20 cm invented wool"}, {low, high}},
                    {"front, corner", 1.44, 0.2, "invented model", {"20 cm invented wool"}, {low, high}}};
    report.plan_meets = false;
    report.variants = {{"twice the depth", 1.2, 0.4, -33, true},
                       {"another trap", 0.9, 0.2, -31, true},
                       {"open sides", 0.2, 0, -26, false}};
    report.question_from_hz = 40;
    report.question_to_hz = 200;
    return report;
}

} // namespace ebbmark::samples
