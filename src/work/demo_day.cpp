// SPDX-License-Identifier: GPL-3.0-or-later
#include "work/demo_day.hpp"

#include "capture/virtual_room_file.hpp"
#include "files/whole_file.hpp"
#include "job/layout.hpp"
#include "work/demo_texts.hpp"
#include "work/measure_take.hpp"
#include "work/promise_of_job.hpp"
#include "work/proof_of_job.hpp"
#include "work/visit_plan.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace ebbmark {

namespace {

constexpr double lowest_band_hz = 40, highest_band_hz = 5000;

Sweep demo_sweep(const JobDescription& job, const Position& position) {
    Sweep sweep;
    sweep.start_hz = lowest_played_hz(job, position.source);
    return sweep;
}

/// One visit: every position, then the return to the first.
void measure_visit(AnalysedJob& job, VirtualRoom& room, const std::string& visit, const Occasion& occasion,
                   Progress& progress) {
    const auto positions = positions_of(job.description());
    const std::size_t all = positions.size() + 1;
    for (std::size_t i = 0; i < all; ++i) {
        const bool is_return = i == positions.size();
        const Position& position = is_return ? positions.front() : positions[i];
        progress.show(i + 1, all,
                      fmt::format("visit {}: {}{}", visit, position.name(), is_return ? ", the return" : ""));
        measure_take(job, room, demo_sweep(job.description(), position),
                     situation_at(job.description(), visit, {position, is_return}, static_cast<int>(i) + 1),
                     position, {}, occasion, [](const Meter&) { return true; });
    }
}

/// The protocol that a careful person would have kept on that visit.
VisitProtocol protocol_of(const VirtualRoom& room, const JobDescription& job, const std::string& visit,
                          const std::string& date) {
    const auto positions = positions_of(job);
    const Air start = room.air(situation_at(job, visit, {positions.front()}, 1));
    const Air end =
        room.air(situation_at(job, visit, {positions.front(), true}, static_cast<int>(positions.size()) + 1));
    VisitProtocol protocol;
    protocol.date = date;
    protocol.temperature_start_c = start.celsius;
    protocol.temperature_end_c = end.celsius;
    protocol.humidity_start_percent = start.humidity_percent;
    protocol.humidity_end_percent = end.humidity_percent;
    protocol.loudspeaker = protocol.microphone = protocol.recorder = "virtual";
    protocol.loudspeaker_settings = "none";
    protocol.equaliser_off = true;
    protocol.doors = protocol.windows = "closed";
    protocol.ventilation = "off";
    protocol.furniture = visit == "before" ? "as always" : "as always, and the traps";
    protocol.persons = 0;
    protocol.notes = "Simulated: no such room.";
    return protocol;
}

/// What was measured at every position against the room's own decay there.
void compare_with_truth(DemoReport& report, const AnalysedJob& job, VirtualRoom& room,
                        const std::string& visit, Progress& progress) {
    DecayOptions options;
    options.from_hz = lowest_band_hz;
    options.to_hz = highest_band_hz;
    const auto analysed = analyse_visit(job, visit, options, TakeSet::positions, progress);
    int take = 0;
    for (const PositionDecay& entry : analysed) {
        std::vector<Band> bands;
        for (const BandDecay& band : entry.decay.bands)
            bands.push_back(band.band);
        const auto truth =
            room.truth(situation_at(job.description(), visit, {entry.position}, ++take), bands);
        for (std::size_t i = 0; i < bands.size(); ++i)
            add_to(report.truth, visit, entry.decay.bands[i], truth[i].t20_s);
    }
}

std::filesystem::path described(const std::filesystem::path& path) {
    const JobFolder created = JobFolder::create(path); // holds the job while its description is written
    write_whole(path / "job.toml", demo_job_toml, Overwrite::derived);
    return path;
}

} // namespace

void add_to(std::vector<TruthRow>& truth, const std::string& visit, const BandDecay& measured,
            double true_t20_s) {
    auto row = std::find_if(truth.begin(), truth.end(),
                            [&](const TruthRow& r) { return r.visit == visit && r.band == measured.band; });
    if (row == truth.end())
        row = truth.insert(truth.end(), TruthRow{visit, measured.band});
    const Measured& t20 = measured.t20_s;
    if (!t20) {
        ++row->empty;
        return;
    }
    ++row->given;
    row->measured_s += *t20;
    row->true_s += true_t20_s;
    row->inside += t20.low && t20.high && *t20.low <= true_t20_s && true_t20_s <= *t20.high ? 1 : 0;
}

DemoDay::DemoDay(const std::filesystem::path& path)
    : path_(described(path)),
      room_(room_description(demo_room_toml, "the demo's room"), "virtual:the demo's room") {
    report_.job = path.string();
}

void DemoDay::open() {
    job_.reset(); // which holds the job
    job_.emplace(path_, Access::write);
}

void DemoDay::measure(const std::string& visit, const Occasion& occasion, const std::string& today,
                      Progress& progress) {
    open();
    measure_visit(*job_, room_, visit, occasion, progress);
    write_whole(path_ / layout::visit_folder(visit) / layout::visit_file,
                canonical_toml(protocol_of(room_, job_->description(), visit, today)), Overwrite::derived);
    job_->show_digits(occasion);
    compare_with_truth(report_, *job_, room_, visit, progress);
}

PromiseInput DemoDay::promise(const Occasion& occasion, Progress& progress) {
    job_->store_prediction(demo_prediction_csv, std::string(computed_table), occasion);
    return promise_input(*job_, job_->promise(occasion), Units::metric, progress);
}

ProofInput DemoDay::proof(Progress& progress) {
    open();
    report_.verification = verify(path_);
    ProofInput proof = proof_input(*job_, report_.verification, "before", {"after"}, Units::metric, progress);
    report_.comparison = proof.comparison;
    return proof;
}

} // namespace ebbmark
