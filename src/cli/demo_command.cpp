// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "capture/virtual_room.hpp"
#include "capture/virtual_room_file.hpp"
#include "cli/demo_texts.hpp"
#include "cli/document_output.hpp"
#include "cli/every_command.hpp"
#include "cli/occasion.hpp"
#include "cli/output.hpp"
#include "files/whole_file.hpp"
#include "job/layout.hpp"
#include "job/verify.hpp"
#include "proof/records/promise_document.hpp"
#include "proof/records/proof_document.hpp"
#include "proof/reports/demo_report.hpp"
#include "work/analysed_job.hpp"
#include "work/measure_take.hpp"
#include "work/promise_of_job.hpp"
#include "work/proof_of_job.hpp"
#include "work/visit_plan.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>

namespace ebbmark {

namespace {

namespace fs = std::filesystem;

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
                        const std::string& visit, const DecayOptions& options, Progress& progress) {
    const auto analysed = analyse_visit(job, visit, options, false, progress);
    int take = 0;
    for (const PositionDecay& entry : analysed) {
        std::vector<Band> bands;
        for (const BandDecay& band : entry.decay.bands)
            bands.push_back(band.band);
        const auto truth =
            room.truth(situation_at(job.description(), visit, {entry.position}, ++take), bands);
        for (std::size_t i = 0; i < bands.size(); ++i)
            report.add(visit, entry.decay.bands[i], truth[i].t20_s);
    }
}

/// The page for the offer, made between the visits.
void make_promise(AnalysedJob& job, const Occasion& occasion, Progress& progress) {
    job.store_prediction(demo_prediction_csv, "demo-prediction.csv", occasion);
    const StoredPromise promise = job.promise(occasion);
    write_pages(job, "promise", promise_document(promise_input(job, promise, Units::metric, progress)),
                Paper::a4);
}

} // namespace

void declare_demo(Options& options) {
    declare_output(options);
}

int run_demo(const Arguments& arguments, Console& console) {
    const fs::path path = arguments.words().empty() ? "ebbmark-demo" : arguments.words()[0];
    require_outside_jobs(path);
    {
        const JobFolder created = JobFolder::create(path); // holds the job while its description is written
        write_whole(path / "job.toml", demo_job_toml, Overwrite::derived);
    }
    VirtualRoom room(room_description(demo_room_toml, "the demo's room"), "virtual:the demo's room");
    ProgressLine progress(console, arguments.flag("quiet"));
    DecayOptions options;
    options.from_hz = lowest_band_hz;
    options.to_hz = highest_band_hz;

    DemoReport report;
    report.job = path.string();
    for (const std::string visit : {"before", "after"}) {
        AnalysedJob job(path, Access::write);
        measure_visit(job, room, visit, occasion_of(console), progress);
        write_whole(path / layout::visit_folder(visit) / layout::visit_file,
                    canonical_toml(protocol_of(room, job.description(), visit, console.today())),
                    Overwrite::derived);
        if (is_before(visit))
            make_promise(job, occasion_of(console), progress);
        compare_with_truth(report, job, room, visit, options, progress);
    }
    const AnalysedJob job(path, Access::write);
    report.verification = verify(path);
    const ProofInput proof =
        proof_input(job, report.verification, "before", {"after"}, Units::metric, progress);
    write_pages(job, "proof", proof_document(proof), Paper::a4);
    report.comparison = proof.comparison;
    emit_report(arguments, console, report);
    return 0;
}

} // namespace ebbmark
