// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/fixed_plan.hpp"
#include "job/trap_plan.hpp"
#include "proof/charts/room_sketch.hpp"
#include "proof/records/plan_words.hpp"
#include "proof/records/proof_document.hpp"
#include "proof/reports/finding_report.hpp"
#include "proof/text/numbers.hpp"
#include "proof/words/cells.hpp"
#include "proof/words/job_notes.hpp"
#include "proof/words/promise_texts.hpp"
#include "proof/words/proof_room_texts.hpp"

#include <algorithm>

namespace ebbmark {

namespace {

std::string word(texts::Text text) {
    return std::string(text);
}

std::string built_words(const JobTrap& trap, Units units) {
    if (!trap.built)
        return word(texts::traps_not_said);
    std::string words;
    const auto add = [&](const std::string& part) { words += (words.empty() ? "" : "; ") + part; };
    if (!trap.built->layers.empty() && trap.built->layers != trap.layers)
        add(layers_words(trap.built->layers, units));
    if (trap.built->place)
        add(place_words(*trap.built->place, units));
    if (trap.built->wool_mass_kg)
        add(filled(texts::wool_mass, mass_text(*trap.built->wool_mass_kg, units)));
    return words.empty() ? word(texts::traps_as_planned) : words;
}

DocumentTable traps_table(const ProofInput& input) {
    DocumentTable table{"traps",
                        word(texts::promise_traps_caption),
                        {{"", "", true},
                         {"trap", "", true},
                         {"face", "", true},
                         {"place", "", true},
                         {"planned", "", true},
                         {"built", "", true}},
                        {},
                        ""};
    for (std::size_t i = 0; i < input.job.traps.size(); ++i) {
        const JobTrap& trap = input.job.traps[i];
        table.rows.push_back(
            {{trap_letter(i), trap.name,
              length_text(trap.place.face_width_m, input.units) + " × " +
                  length_text(trap.place.face_height_m, input.units),
              place_words(trap.place, input.units), build_words(input.job.traps, i, input.units),
              built_words(trap, input.units)}});
    }
    return table;
}

/// What the plan and what stands there should do, beside what was measured: bands of the question with both.
DocumentTable planned_built_measured(const ProofInput& input) {
    DocumentTable table{"planned-built-measured",
                        "",
                        {{"band", "Hz"},
                         {"before", "s"},
                         {"planned", "s"},
                         {"95\u00a0% interval", "s"},
                         {"as built", "s"},
                         {"95\u00a0% interval", "s"},
                         {"measured", "s"}},
                        {},
                        ""};
    if (!input.as_built || input.job.question.kind != JobQuestion::Kind::bands)
        return table;
    for (const BandFinding& band : input.comparison.comparison.bands) {
        const PredictedBand* built = input.as_built->prediction.at(band.band);
        const double hz = band.band.nominal_hz;
        if (!built || !built->decay_s || !band.predicted_s || hz < input.job.question.from_hz ||
            hz > input.job.question.to_hz)
            continue;
        table.rows.push_back(
            {{label(band.band), band.before_s ? seconds_text(*band.before_s) : word(texts::none),
              seconds_cell(band.predicted_s), interval_cell(band.predicted_s, seconds_text),
              seconds_cell(built->decay_s), interval_cell(built->decay_s, seconds_text), after_shown(band)}});
    }
    table.caption =
        filled(texts::traps_built_caption, fmt::join(headline_places(input.comparison.comparison), ", "));
    table.key = filled(texts::traps_built_key, input.as_built->file, input.as_built->stored_at.substr(0, 10));
    return table;
}

DocumentSection traps_section(const ProofInput& input) {
    DocumentSection section{word(texts::traps_head), {}, false};
    const auto say = [&](const std::string& words) {
        section.parts.push_back(DocumentText{TextKind::body, words});
    };
    if (input.job.traps.empty()) {
        say(word(texts::traps_none));
        return section;
    }
    section.parts.push_back(traps_table(input));
    if (!input.promise)
        say(word(texts::traps_planned_now));
    const auto otherwise = built_otherwise(input.job);
    if (otherwise.empty()) {
        say(word(texts::traps_none_otherwise));
        return section;
    }
    if (DocumentTable table = planned_built_measured(input); !table.rows.empty())
        section.parts.push_back(std::move(table));
    else
        say(filled(texts::traps_no_forecast_as_built, fmt::join(otherwise, ", ")));
    return section;
}

// --- what job.toml says otherwise now

std::string question_words(const JobQuestion& question) {
    if (question.kind == JobQuestion::Kind::bands)
        return filled(texts::fixed_bands, frequency_text(question.from_hz), frequency_text(question.to_hz));
    std::string modes;
    for (const double hz : question.modes_hz)
        modes += (modes.empty() ? "" : ", ") + frequency_text(hz);
    return filled(texts::fixed_modes, modes);
}

std::string trap_words(const JobDescription& job, const std::string& name, Units units) {
    for (const JobTrap& trap : job.traps)
        if (trap.name == name)
            return filled(texts::fixed_trap, length_text(trap.place.face_width_m, units),
                          length_text(trap.place.face_height_m, units), place_words(trap.place, units),
                          layers_words(trap.layers, units), in_words(trap.open_sides));
    return word(texts::fixed_absent);
}

std::string at_words(const Point& at_m, texts::Text what, Units units) {
    return filled(texts::fixed_place, length_text(at_m[0], units), length_text(at_m[1], units),
                  length_text(at_m[2], units), what);
}

/// One side of a difference.
std::string words_of(const JobDescription& job, const PlanDifference& difference, Units units) {
    switch (difference.part) {
    case PlanPart::question:
        return question_words(job.question);
    case PlanPart::acceptance:
        return job.acceptance
                   ? filled(texts::fixed_at_least, fmt::format("{:g}", job.acceptance->at_least_percent))
                   : word(texts::fixed_nothing_agreed);
    case PlanPart::room:
        return room_size(job.room, units);
    case PlanPart::source:
        if (const SourcePlace* source = job.source(difference.name))
            return at_words(source->at_m, texts::place_source, units);
        return word(texts::fixed_absent);
    case PlanPart::microphone:
        if (const MicrophonePlace* place = job.microphone(difference.name))
            return at_words(place->at_m, place->listening ? texts::place_listening : texts::place_microphone,
                            units);
        return word(texts::fixed_absent);
    case PlanPart::trap:
        break;
    }
    return trap_words(job, difference.name, units);
}

/// What was fixed beside what job.toml says now; empty where nothing was fixed.
DocumentSection fixed_section(const ProofInput& input) {
    DocumentSection section{word(texts::fixed_head), {}, false};
    const std::string date =
        input.promise ? input.promise->made_at.substr(0, 10) : input.question_fixed_at.substr(0, 10);
    const JobDescription& fixed = input.promise ? input.promise->job : input.job;
    const auto differences = plan_differences(fixed, input.described);
    const auto say = [&](const std::string& words, TextKind kind = TextKind::body) {
        section.parts.push_back(DocumentText{kind, words});
    };
    if (differences.empty()) {
        if (!input.promise)
            return {};
        section.heading = "";
        say(filled(texts::fixed_same, date));
        return section;
    }
    say(filled(input.promise ? texts::fixed_promise_counts : texts::fixed_question_counts, date));
    DocumentTable table{
        "fixed",
        "",
        {{"", "", true}, {word(texts::fixed_column), "", true}, {word(texts::fixed_now_column), "", true}},
        {},
        ""};
    for (const PlanDifference& difference : differences)
        table.rows.push_back({{words_for(difference), words_of(fixed, difference, input.units),
                               words_of(input.described, difference, input.units)}});
    section.parts.push_back(table);
    return section;
}

DocumentTable places_table(const ProofInput& input) {
    DocumentTable table{
        "places",
        word(texts::places_caption),
        {{"", "", true}, {"to the rear", ""}, {"to the right", ""}, {"up", ""}, {"", "", true}},
        {},
        ""};
    const auto add = [&](const std::string& id, const auto& at, const std::string& what) {
        table.rows.push_back({{id, length_text(at[0], input.units), length_text(at[1], input.units),
                               length_text(at[2], input.units), what}});
    };
    for (const SourcePlace& source : input.job.sources)
        add(source.id, source.at_m, word(texts::place_source));
    for (const MicrophonePlace& microphone : input.job.microphones)
        add(microphone.id, microphone.at_m,
            word(microphone.listening ? texts::place_listening : texts::place_microphone));
    return table;
}

DocumentSection sketch_section(const ProofInput& input) {
    DocumentSection section{word(texts::sketch_head), {}, false};
    if (input.job.room.box)
        section.parts.push_back(sketch_chart(input.job, SketchOf::built, input.units));
    else
        section.parts.push_back(DocumentText{TextKind::body, word(texts::sketch_none)});
    section.parts.push_back(places_table(input));
    return section;
}

DocumentSection photos_section(const ProofInput& input) {
    DocumentSection section{word(texts::photos_head), {}, false};
    for (const ProofPhoto& photo : input.photos) {
        if (photo.failure.empty())
            section.parts.push_back(DocumentPhoto{"photo-" + photo.name, photo.name, photo.pixels});
        else
            section.parts.push_back(
                DocumentText{TextKind::body, filled(texts::photos_missing, photo.name, photo.failure)});
    }
    return section;
}

} // namespace

std::vector<DocumentSection> proof_room(const ProofInput& input) {
    std::vector<DocumentSection> sections = {traps_section(input)};
    if (DocumentSection fixed = fixed_section(input); !fixed.parts.empty())
        sections.push_back(std::move(fixed));
    sections.push_back(sketch_section(input));
    if (!input.photos.empty())
        sections.push_back(photos_section(input));
    return sections;
}

} // namespace ebbmark
