// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/words/verdict_notes.hpp"

#include <fmt/format.h>

namespace ebbmark {

namespace {

std::string places_text(std::size_t places) {
    return places == 1 ? "one place" : fmt::format("{} places", places);
}

struct Words {
    std::string operator()(const BoundedByFilter& note) const {
        return fmt::format("After, the decay is shorter than the band filter can show: at least {:.0f} % "
                           "shorter than before.",
                           note.at_least_percent);
    }
    std::string operator()(const UpperBoundsEntered& note) const {
        return fmt::format("At {} of {} positions the decay after is shorter than the band filter can show; "
                           "they entered as upper bounds.",
                           note.bounded, note.positions);
    }
    std::string operator()(const PositionsLeftOut& note) const {
        return fmt::format("{} {} without a value in both states left out ({}).", note.positions,
                           note.positions == 1 ? "position" : "positions", code(note.why));
    }
    std::string operator()(const NoInterval&) const {
        return "One value in a state, and the states are not paired: no interval and no finding can be "
               "given.";
    }
    std::string operator()(const ConditionsDiffer&) const {
        return "The conditions of the two visits differ too much for a comparison.";
    }
    std::string operator()(const PredictionExact&) const {
        return "The prediction has no interval; it was taken as exact.";
    }
    std::string operator()(const AreaAsIfDiffuse&) const {
        return "Added absorption as if diffuse: below the Schroeder frequency it belongs to this place, not "
               "to the trap alone.";
    }
    std::string operator()(const AcceptanceRule& rule) const { return decision_rule(rule); }
    std::string operator()(const ModeWithoutDecay& note) const {
        return fmt::format("The mode at {:g} Hz has no decay time in both states.", note.hz);
    }
    std::string operator()(const BandWithoutChange& note) const {
        return note.bounded
                   ? fmt::format("{} Hz is left out of the question: after, its decay is shorter than the "
                                 "band filter can show, so the change is understated.",
                                 label(note.band))
                   : fmt::format("{} Hz has no change and is left out of the question.", label(note.band));
    }
    std::string operator()(const ModesTogether& note) const {
        return fmt::format("{} modes that cannot be told apart; what is said is of their mean.", note.modes);
    }
    std::string operator()(const LostAfter&) const {
        return "Not found after: nothing is said of its decay there.";
    }
    std::string operator()(const ComesAndGoes&) const {
        return "It comes and goes when single positions are left out.";
    }
    std::string operator()(const HeldAtOnePlace&) const {
        return "Measured at one place: it holds for this place only.";
    }
    std::string operator()(const ModesLostAfter& note) const {
        return fmt::format("{} of {} modes were not found after: their decay there is not measurable.",
                           note.modes, note.of);
    }
    std::string operator()(const ModesComeAndGo& note) const {
        return fmt::format("{} of {} modes come and go when single positions are left out: not measurable.",
                           note.modes, note.of);
    }
    std::string operator()(const RepeatsJoined& note) const {
        return fmt::format(
            "Repeats of one place count once: {} responses before stand at {}, {} after at {}.",
            note.responses_before, places_text(note.places_before), note.responses_after,
            places_text(note.places_after));
    }
    std::string operator()(const PredictedElsewhere& note) const {
        return fmt::format("The prediction is for other places ({}); it is not held against the headline.",
                           note.places);
    }
    std::string operator()(const PredictionNamesNoPlaces&) const {
        return "The prediction does not say which places it is for; it is held against those of the "
               "headline, as if it "
               "were for them.";
    }
    std::string operator()(const AlikeInBass& note) const {
        return fmt::format(
            "Below 200 Hz {} have the same response (to 1 dB, before and after), as mirror images in a "
            "room have: there they count as one place.",
            fmt::join(note.places, ", "));
    }
    std::string operator()(const StatesNotPaired&) const {
        return "The two states are not paired: their values are compared as two samples. Below 800 Hz the "
               "intervals allow for a loudspeaker that stood elsewhere after.";
    }
    /// What an interval at one place holds.
    std::string operator()(const OnePlaceOnly& note) const {
        return fmt::format(
            "One place: what is found holds for this place only and says nothing of the room in general. "
            "The interval holds both fits, {}{}.",
            note.return_measured
                ? "putting the microphone back as the return of this job shows it"
                : "a microphone put back up to 5 cm beside its place (ln T20 0.023 to 0.048 in octaves, "
                  "0.035 to 0.083 in thirds, from the lowest to the highest, measured at 34 places of "
                  "another room)",
            note.air_recorded ? "" : ", and air that nobody recorded (±1 K, ±10 % relative humidity)");
    }
    std::string operator()(const HeadlineWithReturn&) const {
        return "The headline is the change at these positions: its interval holds the fit of each decay and "
               "the return of the microphone.";
    }
    std::string operator()(const ScatterStandsIn&) const {
        return "No return was measured, so the scatter between positions stands in for the reproducibility: "
               "on the safe side.";
    }
    std::string operator()(const PredictionElsewhere&) const {
        return "The prediction has none of the bands compared: compare with the band width and range of its "
               "table.";
    }
};

} // namespace

std::string decision_rule(const AcceptanceRule& rule) {
    return fmt::format("Agreed: at least {:g} % shorter. Met where the whole one-sided 95 % interval lies "
                       "beyond that, not met where it lies wholly short of it, else undecided (guard bands, "
                       "JCGM 106).",
                       rule.at_least_percent);
}

std::string sentence(const VerdictNote& note) {
    return std::visit(Words{}, note);
}

} // namespace ebbmark
