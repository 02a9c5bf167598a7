// SPDX-License-Identifier: GPL-3.0-or-later
// Words of the promise.
#pragma once

#include "proof/text/common_texts.hpp"

namespace ebbmark::texts {

inline constexpr Text promise_title = "Promise of treatment and measurement";
inline constexpr Text promise_subtitle =
    "What is to be built, what it should do, and how that will be measured";
inline constexpr Text promise_headline =
    "{0} planned. Predicted over {4}: a decay shorter by {1}\u00a0% ({2} to {3}\u00a0%).";
inline constexpr Text promise_headline_open =
    "{0} planned. Predicted over {4}: a decay shorter by {1}\u00a0%, "
    "somewhere from {2}\u00a0% longer to {3}\u00a0% shorter.";
inline constexpr Text promise_headline_alone =
    "{0} planned. Predicted over {2}: a decay shorter by {1}\u00a0%. "
    "Bands are predicted without an interval, so none is given here.";
inline constexpr Text promise_headline_plain =
    "{} planned. What came of it will be measured after the build.";
inline constexpr Text one_trap = "One trap is";
inline constexpr Text several_traps = "{} traps are";
inline constexpr Text promise_places = "At {}, from the decay measured there in visit {}.";
inline constexpr Text promise_listening = "{}, {} of {} positions measured: those where somebody listens";
inline constexpr Text promise_partly = "{} are {}\u00a0% of the question by weight; nothing is promised for "
                                       "the rest, and the figure for the whole question may be another.{}{}";
inline constexpr Text promise_without_prediction = " Without a prediction: {}.";
inline constexpr Text promise_without_before = " Without a decay measured before: {}.";
inline constexpr Text promise_too_little = "No figure stands here for the question: {} alone have a "
                                           "prediction and a decay before, {}\u00a0% of it by "
                                           "weight; three quarters are needed.";
inline constexpr Text promise_digest_head = "Keep this page";
inline constexpr Text promise_digest_says =
    "These digits are the fingerprint (SHA-256, first half) of the plan, the question, the prediction and {} "
    "files kept so far. The record that comes with the invoice prints them again and says whether all of "
    "this "
    "is still as it was. Anybody can check them: ebbmark verify JOB --digest \"DIGITS\".";
inline constexpr Text promise_question_head = "The one question";
inline constexpr Text promise_question_bands =
    "Did the decay change, as a mean over {} to {} (third octaves, each weighing by its bandwidth)? It is "
    "tested alone at a risk of 5\u00a0%; single bands and room modes are shown beside it.";
inline constexpr Text promise_question_modes =
    "Did the decay of the room modes at {} change? It is tested alone at a risk of 5\u00a0%; bands and other "
    "modes are shown beside it.";
inline constexpr Text promise_no_acceptance =
    "No least change was agreed: the measurement tells what came about, and nothing depends on it.";
inline constexpr Text promise_prediction_head = "Prediction";
inline constexpr Text promise_prediction_says =
    "From the table {} stored on {} (SHA-256 {}…). Each interval holds the value in 95 of 100 cases, as far "
    "as its makers know their own errors.";
inline constexpr Text promise_from_elsewhere =
    "The table was made elsewhere: what it leaves out and what judged it, only its maker can say.";
inline constexpr Text promise_not_modelled = "Not modelled: walls that give way, furniture, panels "
                                             "inside a trap other than strips on edge, which way "
                                             "strips lean, how tightly a box across a corner meets "
                                             "its walls, plates that ring, stiff or elastic frames, "
                                             "slopes and walls out of square, and parts of the room "
                                             "that are not listed here.";
inline constexpr Text promise_judged = "What judged this forecast: 100 invented rooms, computed, with "
                                       "strips, boxes across corners and sides open "
                                       "one by one, built otherwise than planned (wool, walls, 2\u00a0cm). "
                                       "97 of 100 intervals of modes held, and "
                                       "93 of 100 of bands from 40 to 200\u00a0Hz; most others fell shorter. "
                                       "No measured room and no measured trap "
                                       "have judged it yet.";
inline constexpr Text promise_no_prediction = "No prediction is kept in the job, so none is part of this "
                                              "promise. The measurement will tell what changed, "
                                              "not whether it was foreseen.";
inline constexpr Text column_before = "before";
inline constexpr Text promise_table_key =
    "before: measured in visit {}, geometric mean over {}. predicted: after, at the same places.";
inline constexpr Text promise_table_dashes =
    " A dash: none predicted; between the highest band that single modes fill and the Schroeder frequency no "
    "method holds.";
inline constexpr Text promise_not_head = "What is not promised";
inline constexpr Text promise_not_below = "Nothing below {}: no lower band is predicted.";
inline constexpr Text promise_not_low =
    "Nothing below about {}\u00a0Hz: porous traps no deeper than {} do little there (common practice: about "
    "50\u00a0Hz from 20\u00a0cm; no source).";
inline constexpr Text promise_not_predicted = "No figure is predicted for {}.";
inline constexpr Text promise_not_sure =
    "No change is promised for {}: the prediction there allows for none.";
inline constexpr Text promise_not_else =
    "A better sound for every ear and place, quiet towards the neighbours, or that any standard "
    "or rule is met. The figures hold for the bands and places measured.";
inline constexpr Text promise_traps_head = "Planned traps";
inline constexpr Text promise_traps_caption = "Layers from the wall outwards";
inline constexpr Text promise_cautions_head = "Cautions";
inline constexpr Text promise_cautions[] = {
    "Wool: wear gloves, goggles and a dust mask, close each trap against loose fibres, and clear the dust "
    "away "
    "before anybody uses the room.",
    "Fixing: what hangs over people needs fixings made for that wall or ceiling and that weight, by somebody "
    "who may and can do so.",
    "Fire: ask for the fire class of wool and cloth before buying. Ways out, sprinklers, alarms and lamps "
    "stay "
    "free.",
    "Heat and current: keep away from heaters, chimneys, lamps, wiring and switches as local codes say. "
    "Nothing "
    "is covered that must be reached.",
    "Moisture: leave air behind traps on cold outer walls, and look there for mould.",
    "Local codes and licensed trades decide on all of this. The measurement says nothing about any of it."};
inline constexpr Text promise_measure_head = "How it will be measured";
inline constexpr Text promise_measure[] = {
    "The same loudspeaker and microphone places, devices, levels, doors and furniture before and after; air "
    "temperature and humidity are noted.",
    "Test signals can be loud: nobody stays in the room without hearing protection.",
    "Good news and bad news are reported in the same words. “No change shown” is no proof that nothing "
    "changed; the record gives the smallest change that it would have found."};
inline constexpr Text promise_made = "The promise is made and kept as {} ({}). Its digest on paper:";
inline constexpr Text promise_made_before =
    "This was promised before; {} of {} stays as it is. Its digest on paper:";
inline constexpr Text promise_hand_over =
    "Print the page and give it to the client before the build: the copy in the client's hands is what fixes "
    "plan, question and prediction.";
inline constexpr Text page_written = "Written: {}";
inline constexpr Text document_footer = "{} {} · Ebbmark {}";
inline constexpr Text promise_footer_digest = "Promise";

} // namespace ebbmark::texts
