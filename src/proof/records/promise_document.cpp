// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/records/promise_document.hpp"

#include "base/bands.hpp"
#include "proof/charts/room_sketch.hpp"
#include "proof/draw/chart_frame.hpp"
#include "proof/draw/palette.hpp"
#include "proof/records/budget_tables.hpp"
#include "proof/records/plan_words.hpp"
#include "proof/reports/finding_report.hpp"
#include "proof/text/numbers.hpp"
#include "proof/words/cells.hpp"
#include "proof/words/page_texts.hpp"
#include "proof/words/promise_texts.hpp"
#include "proof/words/proof_texts.hpp"
#include "proof/words/record_texts.hpp"
#include "proof/words/verdict_notes.hpp"

#include <algorithm>
#include <cmath>

namespace ebbmark {

namespace {

std::string word(texts::Text text) {
    return std::string(text);
}

const PredictedBand* predicted_at(const PromiseInput& input, const Band& band) {
    return input.prediction ? input.prediction->prediction.at(band) : nullptr;
}

Measured before_at(const PromiseInput& input, const Band& band) {
    for (const auto& [measured, decay] : input.before_s)
        if (measured == band)
            return decay;
    return Measured::none(Empty::source);
}

/// The decay after as the table has it, or as the area that it adds makes of the decay before.
Measured decay_after(const PromiseInput& input, const Band& band) {
    const PredictedBand* found = predicted_at(input, band);
    if (!found || found->decay_s || !found->area_m2)
        return found ? found->decay_s : Measured::none(Empty::source);
    const Measured before = before_at(input, band);
    const auto& volume = input.promise.job.room.volume_m3;
    if (!before || !volume)
        return Measured::none(Empty::source);
    const auto after = [&](const std::optional<double>& area) {
        return area ? decay_with_area_s(*volume, *before, *area, 20) : std::nullopt;
    };
    Measured decay{after(found->area_m2.value), after(found->area_m2.high), after(found->area_m2.low), {}};
    return decay ? decay : Measured::none(Empty::source);
}

/// What the promise says of one band: the decay after, or the area added where the table gives that alone.
struct PromisedBand {
    Band band;
    Measured before_s, after_s, area_m2;
};

std::vector<PromisedBand> promised_bands(const PromiseInput& input) {
    std::vector<PromisedBand> bands;
    if (!input.prediction)
        return bands;
    const auto& table = input.prediction->prediction.bands;
    const bool octaves = std::all_of(table.begin(), table.end(), [](const PredictedBand& band) {
        return band.width == BandWidth::octave;
    });
    for (const Band& band : bands_between(octaves ? BandWidth::octave : BandWidth::third, 10, 20000))
        if (const PredictedBand* found = predicted_at(input, band))
            bands.push_back({band, before_at(input, band), decay_after(input, band), found->area_m2});
    return bands;
}

/// "S1-M1, S2-M1, 2 of 6 positions measured: those where somebody listens".
std::string places_words(const PromiseInput& input) {
    std::string names;
    for (const std::string& place : input.places)
        names += (names.empty() ? "" : ", ") + place;
    return input.places.size() == input.positions
               ? names
               : filled(texts::promise_listening, names, input.places.size(), input.positions);
}

DocumentTable prediction_table(const PromiseInput& input, const std::vector<PromisedBand>& bands) {
    const Units units = input.units;
    const auto any = [&](Measured PromisedBand::*member) {
        return std::any_of(bands.begin(), bands.end(),
                           [&](const PromisedBand& band) { return !!(band.*member); });
    };
    const bool before = any(&PromisedBand::before_s), after = any(&PromisedBand::after_s),
               areas = any(&PromisedBand::area_m2);
    DocumentTable table{"prediction", "", {{word(texts::column_band), "Hz"}}, {}, ""};
    if (before)
        table.columns.push_back({word(texts::column_before), "s"});
    if (after)
        table.columns.insert(table.columns.end(),
                             {{word(texts::column_predicted), "s"}, {word(texts::column_interval), "s"}});
    if (areas)
        table.columns.push_back({word(texts::column_added), area_unit(units)});
    for (const PromisedBand& band : bands) {
        DocumentRow row{{band_cell(band.band)}};
        if (before)
            row.cells.push_back(seconds_cell(band.before_s));
        if (after)
            row.cells.insert(row.cells.end(),
                             {seconds_cell(band.after_s), interval_cell(band.after_s, seconds_text)});
        if (areas)
            row.cells.push_back(area_cell(band.area_m2, units));
        row.opens_group = opens_octave(band.band);
        table.rows.push_back(std::move(row));
    }
    if (before)
        table.key = filled(texts::promise_table_key, input.visit_before, places_words(input));
    const bool dashes = std::any_of(bands.begin(), bands.end(),
                                    [](const PromisedBand& band) { return band.before_s && !band.after_s; });
    if (after && dashes && input.prediction->original_name == computed_table)
        table.key += word(texts::promise_table_dashes);
    return table;
}

DocumentChart prediction_chart(const std::vector<PromisedBand>& bands, bool simulated) {
    FramedSeries framed;
    framed.heading = word(texts::chart_result);
    framed.simulated = simulated;
    Series before{word(texts::column_before), {}, {}, palette::before, MarkerShape::circle, false, {3, 2}, 0};
    Series after{word(texts::chart_predicted), {}, {}, palette::third, MarkerShape::square, true, {}, 0};
    for (const PromisedBand& band : bands) {
        framed.bands.push_back(band.band);
        before.values.push_back(band.before_s);
        before.values.back().low = before.values.back().high = {};
        before.bounds.emplace_back();
        after.values.push_back(band.after_s);
        after.bounds.emplace_back();
    }
    if (std::any_of(before.values.begin(), before.values.end(), [](const Measured& v) { return !!v; }))
        framed.series.push_back(before);
    framed.series.push_back(after);
    DocumentChart chart;
    chart.name = "prediction";
    chart.description = filled(texts::describes_result, bands.size());
    chart.height = 0.34;
    chart.narrow_height = 0.8;
    chart.draw = [framed](const ChartSize& size) {
        Canvas canvas(size.width, size.height);
        const ChartFrame frame(canvas, framed, size.font);
        frame.draw_back(canvas);
        frame.draw_front(canvas);
        return canvas;
    };
    return chart;
}

/// The headline of a decay that is predicted to fall.
std::string promised_words(const std::string& traps, const std::string& bands,
                           const Measured& change_percent) {
    const std::string fall = percent_text(*change_percent); // sizes, without sign
    if (!change_percent.low || !change_percent.high)
        return filled(texts::promise_headline_alone, traps, fall, bands);
    const bool open = *change_percent.high > 0;
    return filled(open ? texts::promise_headline_open : texts::promise_headline, traps, fall,
                  percent_text(*change_percent.high), percent_text(*change_percent.low), bands);
}

/// What the headline is a mean over, or why there is none.
std::string promised_scope(const PromiseInput& input, const PromisedMean& promised) {
    const std::string share = fmt::format("{:.0f}", 100 * promised.weight);
    const std::string bands = bands_text(promised.bands);
    if (!promised.log)
        return filled(texts::promise_too_little, bands, share);
    const std::string said = filled(texts::promise_places, places_words(input), input.visit_before);
    if (promised.missing.empty())
        return said;
    std::vector<Band> without_before, without_prediction;
    for (const Band& band : promised.missing)
        (before_at(input, band) ? without_prediction : without_before).push_back(band);
    const auto named = [&](texts::Text words, const std::vector<Band>& of) {
        return of.empty() ? "" : filled(words, bands_text(of));
    };
    return said + " " +
           filled(texts::promise_partly, bands, share,
                  named(texts::promise_without_prediction, without_prediction),
                  named(texts::promise_without_before, without_before));
}

DocumentSection first_section(const PromiseInput& input) {
    const JobDescription& job = input.promise.job;
    DocumentFacts facts;
    const auto add = [&](texts::Text what, const std::string& value) {
        facts.entries.emplace_back(word(what), value.empty() ? word(texts::not_given) : value);
    };
    add(texts::fact_contractor, job.contractor);
    add(texts::fact_client, input.client);
    add(texts::fact_address, input.address);
    add(texts::fact_room, job.title);
    add(texts::fact_size, room_size(job.room, input.units));
    add(texts::fact_made, input.promise.made_at.substr(0, 10));
    const std::size_t count = job.traps.size();
    const std::string traps = count == 1 ? word(texts::one_trap) : filled(texts::several_traps, count);
    const PromisedMean promised = promised_mean(input);
    DocumentSection section{"", {facts}, false};
    const bool falls = promised.log && *promised.log < 0;
    section.parts.push_back(
        DocumentText{TextKind::finding,
                     falls ? promised_words(traps, bands_text(promised.bands) + scope_words(input.places),
                                            promised.percent())
                           : filled(texts::promise_headline_plain, traps)});
    if (!promised.bands.empty() && (falls || !promised.log))
        section.parts.push_back(DocumentText{TextKind::body, promised_scope(input, promised)});
    return section;
}

DocumentSection digest_section(const PromiseInput& input) {
    return {word(texts::promise_digest_head),
            {DocumentText{TextKind::digest, short_digest(input.promise.sha256)},
             DocumentText{TextKind::body, filled(texts::promise_digest_says, input.promise.evidence.size())},
             DocumentText{TextKind::body, word(texts::fact_received) + ": " + word(texts::blank_line)}},
            false};
}

DocumentSection question_section(const PromiseInput& input) {
    const JobQuestion& question = input.promise.job.question;
    std::string modes;
    for (const double hz : question.modes_hz)
        modes += (modes.empty() ? "" : ", ") + frequency_text(hz);
    DocumentSection section{word(texts::promise_question_head), {}, false};
    section.parts.push_back(DocumentText{TextKind::body, question.kind == JobQuestion::Kind::bands
                                                             ? filled(texts::promise_question_bands,
                                                                      frequency_text(question.from_hz),
                                                                      frequency_text(question.to_hz))
                                                             : filled(texts::promise_question_modes, modes)});
    const auto& agreed = input.promise.job.acceptance;
    section.parts.push_back(DocumentText{TextKind::body, agreed ? decision_rule({agreed->at_least_percent})
                                                                : word(texts::promise_no_acceptance)});
    return section;
}

/// What the program's own forecast leaves out, and what judged it; of another's table only that it is one.
std::vector<texts::Text> judged_by(const StoredPrediction& stored) {
    if (stored.original_name != computed_table)
        return {texts::promise_from_elsewhere};
    return {texts::promise_not_modelled, texts::promise_judged};
}

DocumentSection prediction_section(const PromiseInput& input, const std::vector<PromisedBand>& bands) {
    DocumentSection section{word(texts::promise_prediction_head), {}, true};
    if (!input.prediction) {
        section.parts.push_back(DocumentText{TextKind::body, word(texts::promise_no_prediction)});
        return section;
    }
    section.parts.push_back(
        DocumentText{TextKind::body, filled(texts::promise_prediction_says, input.prediction->file,
                                            input.prediction->stored_at.substr(0, 10),
                                            input.prediction->sha256.substr(0, 16))});
    for (const texts::Text said : judged_by(*input.prediction))
        section.parts.push_back(DocumentText{TextKind::body, word(said)});
    const bool decays =
        std::any_of(bands.begin(), bands.end(), [](const PromisedBand& band) { return !!band.after_s; });
    if (decays)
        section.parts.push_back(prediction_chart(bands, input.simulated));
    section.parts.push_back(prediction_table(input, bands));
    const PromisedMean promised = promised_mean(input);
    for (DocumentPart& part :
         budget_section(promised.percent(), promised.parts, bands_text(promised.bands), places_words(input))
             .parts)
        section.parts.push_back(std::move(part));
    return section;
}

/// The rule of thumb for porous traps, in steps of 5 Hz: the depth is a fixed part of the wavelength.
constexpr double rule_depth_m = 0.20, rule_hz = 50;

/// Below which nothing is promised: below the lowest band predicted, or by the rule of thumb where none is.
std::string nothing_below(const PromiseInput& input, const std::vector<PromisedBand>& bands) {
    for (const PromisedBand& band : bands)
        if (band.after_s || band.area_m2)
            return filled(texts::promise_not_below, frequency_text(band.band.nominal_hz));
    double depth = 0;
    for (const JobTrap& trap : input.promise.job.traps)
        depth = std::max(depth, depth_m(trap.layers));
    if (depth <= 0)
        return "";
    return filled(texts::promise_not_low, 5 * std::lround(rule_hz * rule_depth_m / depth / 5),
                  thickness_text(depth, input.units));
}

DocumentSection not_promised(const PromiseInput& input, const std::vector<PromisedBand>& bands) {
    DocumentSection section{word(texts::promise_not_head), {}, false};
    const auto say = [&](const std::string& words) {
        section.parts.push_back(DocumentText{TextKind::body, words});
    };
    if (const std::string below = nothing_below(input, bands); !below.empty())
        say(below);
    const JobQuestion& question = input.promise.job.question;
    std::vector<Band> asked, without, unsure, all;
    if (question.kind == JobQuestion::Kind::bands)
        asked = bands_between(BandWidth::third, question.from_hz, question.to_hz);
    for (const Band& band : asked)
        if (const PredictedBand* found = predicted_at(input, band);
            input.prediction && !(found && (found->decay_s || found->area_m2)))
            without.push_back(band);
    for (const PromisedBand& band : bands) {
        all.push_back(band.band);
        if (band.before_s && band.after_s.high && *band.after_s.high >= *band.before_s)
            unsure.push_back(band.band);
    }
    if (!without.empty())
        say(filled(texts::promise_not_predicted, bands_text(without, asked)));
    if (!unsure.empty())
        say(filled(texts::promise_not_sure, bands_text(unsure, all)));
    say(word(texts::promise_not_else));
    return section;
}

DocumentSection traps_section(const PromiseInput& input) {
    const JobDescription& job = input.promise.job;
    DocumentSection section{word(texts::promise_traps_head), {}, false};
    if (job.room.box)
        section.parts.push_back(sketch_chart(job, SketchOf::plan, input.units));
    DocumentTable table{
        "traps",
        word(texts::promise_traps_caption),
        {{"", "", true}, {"trap", "", true}, {"face", "", true}, {"place", "", true}, {"layers", "", true}},
        {},
        ""};
    for (std::size_t i = 0; i < job.traps.size(); ++i) {
        const JobTrap& trap = job.traps[i];
        table.rows.push_back(
            {{trap_letter(i), trap.name,
              length_text(trap.place.face_width_m, input.units) + " × " +
                  length_text(trap.place.face_height_m, input.units),
              place_words(trap.place, input.units), build_words(job.traps, i, input.units)}});
    }
    section.parts.push_back(table);
    return section;
}

template <std::size_t count>
DocumentSection list_section(texts::Text heading, const texts::Text (&words)[count], TextKind kind) {
    DocumentSection section{word(heading), {}, false};
    for (const texts::Text text : words)
        section.parts.push_back(DocumentText{kind, word(text)});
    return section;
}

} // namespace

PromisedMean promised_mean(const PromiseInput& input) {
    const JobQuestion& question = input.promise.job.question;
    if (question.kind != JobQuestion::Kind::bands)
        return {};
    std::vector<PromisedPart> parts;
    for (const Band& band : bands_between(BandWidth::third, question.from_hz, question.to_hz))
        if (const Measured before = before_at(input, band)) {
            const PredictedBand* row = predicted_at(input, band);
            parts.push_back({band, *before, decay_after(input, band), row ? row->parts : std::nullopt});
        }
    Question asked;
    asked.from_hz = question.from_hz;
    asked.to_hz = question.to_hz;
    return promised_mean(parts, asked);
}

Document promise_document(const PromiseInput& input) {
    Document document;
    document.title = word(texts::promise_title);
    document.subtitle = word(texts::promise_subtitle);
    document.author = input.promise.job.contractor;
    document.date = input.promise.made_at;
    document.simulated = input.simulated;
    document.footer = filled(texts::document_footer, texts::promise_footer_digest,
                             short_digest(input.promise.sha256), input.version);
    const auto bands = promised_bands(input);
    document.sections = {first_section(input),
                         digest_section(input),
                         question_section(input),
                         not_promised(input, bands),
                         list_section(texts::promise_measure_head, texts::promise_measure, TextKind::body),
                         prediction_section(input, bands),
                         traps_section(input),
                         list_section(texts::promise_cautions_head, texts::promise_cautions, TextKind::body)};
    return document;
}

} // namespace ebbmark
