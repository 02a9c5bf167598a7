// SPDX-License-Identifier: GPL-3.0-or-later
#include "work/proof_of_job.hpp"

#include "base/error.hpp"
#include "files/material_file.hpp"
#include "files/photo.hpp"
#include "job/fixed_plan.hpp"
#include "job/layout.hpp"
#include "job/next.hpp"
#include "work/analysed_job.hpp"
#include "work/compared_visits.hpp"
#include "work/own_materials.hpp"
#include "work/version.hpp"

#include <algorithm>
#include <set>

namespace ebbmark {

namespace {

const MeasuredPosition* at(const VisitResult& visit, const Position& position) {
    for (const MeasuredPosition& measured : visit.positions)
        if (measured.position == position)
            return &measured;
    return nullptr;
}

/// A listening place where there is one: that is what the client hears.
const MeasuredPosition* shown_position(const VisitResult& before, const VisitResult& after) {
    const MeasuredPosition* shown = nullptr;
    for (const MeasuredPosition& position : before.positions)
        if (at(after, position.position) && (!shown || (position.listening && !shown->listening)))
            shown = &position;
    return shown;
}

void add_waterfall(ProofInput& input, const AnalysedJob& job, const Position& position) {
    WaterfallReport report;
    report.simulated = input.comparison.simulated;
    for (const std::string& visit : {input.comparison.before, input.comparison.after}) {
        const auto positions = job.takes_in_use(visit);
        const Signal response = job.response_of(positions.at(position).front()).response;
        try {
            report.entries.push_back({visit, response.rate_hz, make_waterfall(response)});
        } catch (const Error&) {
            return; // too short or silent: the other charts say what there is
        }
    }
    input.waterfall = report;
}

/// The question's bands that rang longest before, then these.
constexpr std::size_t longest_shown = 2;
constexpr double further_shown_hz[] = {250, 1000};

std::vector<double> shown_bands(const JobQuestion& question, const ResponseDecay& before) {
    std::vector<std::pair<double, double>> asked; // decay time and band
    for (const BandDecay& band : before.bands)
        if (band.t20_s && band.band.nominal_hz >= question.from_hz && band.band.nominal_hz <= question.to_hz)
            asked.emplace_back(*band.t20_s, band.band.nominal_hz);
    std::stable_sort(asked.begin(), asked.end(),
                     [](const auto& a, const auto& b) { return a.first > b.first; });
    std::set<double> bands(std::begin(further_shown_hz), std::end(further_shown_hz));
    for (std::size_t i = 0; i < std::min(longest_shown, asked.size()); ++i)
        bands.insert(asked[i].second);
    return {bands.begin(), bands.end()};
}

void add_curves(ProofInput& input, const MeasuredPosition& before, const MeasuredPosition& after) {
    input.curves = {input.comparison.before, input.comparison.after, {}, input.comparison.simulated};
    for (const double hz : shown_bands(input.job.question, before.decay))
        for (std::size_t i = 0; i < before.decay.bands.size() && i < after.decay.bands.size(); ++i) {
            const BandDecay &first = before.decay.bands[i], &second = after.decay.bands[i];
            if (first.band.nominal_hz == hz && !first.curve.empty() && !second.curve.empty())
                input.curves.pairs.push_back(
                    {first.band, first.curve, second.curve, first.t20_s, second.t20_s});
        }
}

/// Of layers planned and built, those that the program does not bring along.
std::vector<std::string> foreign_materials(const JobDescription& job) {
    const std::vector<Material> known = own_materials();
    std::set<std::string> names;
    const auto add = [&](const std::vector<TrapLayer>& layers) {
        for (const TrapLayer& layer : layers)
            if (std::none_of(known.begin(), known.end(),
                             [&](const Material& material) { return material.name == layer.material; }))
                names.insert(layer.material);
    };
    for (const JobTrap& trap : job.traps) {
        add(trap.layers);
        if (trap.built)
            add(trap.built->layers);
    }
    return {names.begin(), names.end()};
}

// So that a document with many photos stays below 2 MB: about 0.1 MB each.
constexpr std::size_t most_photos = 12;
constexpr int photo_pixels = 1000;

void add_photos(ProofInput& input, const std::filesystem::path& job) {
    std::set<std::string> names;
    for (const SourcePlace& source : input.job.sources)
        names.insert(source.photo);
    for (const MicrophonePlace& microphone : input.job.microphones)
        names.insert(microphone.photo);
    std::error_code none;
    for (const auto& entry : std::filesystem::directory_iterator(job / layout::photos, none))
        if (entry.is_regular_file() && !entry.path().filename().string().starts_with("."))
            names.insert(entry.path().filename().string());
    names.erase("");
    for (const std::string& name : names) {
        ProofPhoto photo{name, {}, {}};
        try {
            if (input.photos.size() >= most_photos)
                throw Error(ErrorKind::unusable, "there is room for 12 photos");
            SmallPhoto small = read_photo(job / layout::photos / name, photo_pixels);
            photo.pixels = {std::move(small.jpeg), small.width, small.height};
        } catch (const Error& error) {
            photo.failure = error.what();
        }
        input.photos.push_back(std::move(photo));
    }
}

} // namespace

ProofInput proof_input(const AnalysedJob& job, const Verification& verification,
                       const std::string& from_visit, const std::vector<std::string>& later, Units units,
                       Progress& progress) {
    ProofInput input;
    const AnewResponses anew = make_responses_anew(job, visits_behind(job, from_visit, later), progress);
    input.responses_made = anew.made;
    input.kept_differ = anew.differing;
    ComparedVisits compared = compare_visits_whole(job, from_visit, later, {}, progress);
    input.job = as_fixed(job);
    input.described = job.description();
    input.foreign_materials = foreign_materials(input.job);
    input.visits = job.visits();
    input.takes = job.takes();
    input.comparison = std::move(compared.report);
    input.before = std::move(compared.before);
    input.after = std::move(compared.after);
    progress.show("pages");
    if (const MeasuredPosition* shown = shown_position(input.before, input.after)) {
        input.shown_position = shown->position.name();
        add_waterfall(input, job, shown->position);
        add_curves(input, *shown, *at(input.after, shown->position));
    }
    if (const auto& fixed = job.fixed_question()) {
        input.question_fixed_at = fixed->fixed_at;
        if (const StoredPromise* promise = promise_that_counts(fixed, job.promises()))
            input.promise = *promise;
    }
    if (input.promise)
        input.since_promise = since_promise(job, *input.promise);
    const JobState state = state_of(job, "");
    for (const std::string& visit : visits_of(from_visit, later))
        if (auto lacks = lacking(state, visit); !lacks.empty())
            input.lacks.emplace(visit, std::move(lacks));
    for (const std::string& visit : visits_behind(job, from_visit, later))
        input.digits.push_back(digits_of(job, visit));
    if (const StoredPrediction* built = last_as_built(job.predictions()))
        input.as_built = *built;
    add_photos(input, job.path());
    for (const auto& [path, hash] : job.evidence())
        input.evidence.push_back({path, hash});
    input.verification = verification;
    input.version = version;
    input.units = units;
    return input;
}

std::vector<std::pair<std::string, std::string>> response_files(const AnalysedJob& job,
                                                                const CompareReport& compared) {
    std::vector<std::pair<std::string, std::string>> files;
    for (const std::string& visit : {compared.before, compared.after})
        for (const TakeSet set : {TakeSet::positions, TakeSet::returns})
            for (const auto& [position, takes] : job.takes_in_use(visit, set))
                for (const Take& take : takes)
                    files.emplace_back(response_file_name(take), response_bytes(job.response_of(take), take));
    return files;
}

} // namespace ebbmark
