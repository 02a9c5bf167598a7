// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/document_cells.hpp"
#include "proof/document_texts.hpp"
#include "proof/proof_document.hpp"
#include "proof/room_sketch.hpp"

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
        table.rows.push_back({{trap_letter(i), trap.name,
                               length_text(trap.place.face_width_m, input.units) + " × " +
                                   length_text(trap.place.face_height_m, input.units),
                               place_words(trap.place, input.units), layers_words(trap.layers, input.units),
                               built_words(trap, input.units)}});
    }
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
    for (const TrapEffect& effect : input.effects)
        say(filled(texts::traps_effect, effect.trap, area_text(effect.planned_m2, input.units),
                   area_text(effect.built_m2, input.units)));
    const bool different =
        std::any_of(input.job.traps.begin(), input.job.traps.end(), [&](const JobTrap& trap) {
            return trap.built && built_words(trap, input.units) != texts::traps_as_planned;
        });
    if (!different)
        say(word(texts::traps_effect_none));
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
        section.parts.push_back(sketch_chart(input.job, true, input.units));
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
    std::vector<DocumentSection> sections = {traps_section(input), sketch_section(input)};
    if (!input.photos.empty())
        sections.push_back(photos_section(input));
    return sections;
}

} // namespace ebbmark
