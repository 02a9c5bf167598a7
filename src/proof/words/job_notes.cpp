// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/words/job_notes.hpp"

#include "decay/targets.hpp"
#include "proof/words/advice.hpp"

#include <fmt/format.h>

namespace ebbmark {

namespace {

struct Words {
    std::string operator()(const PlanDiffers& note) const {
        std::string parts;
        for (const PlanDifference& difference : note.parts)
            parts += (parts.empty() ? "" : ", ") + words_for(difference);
        const std::string since = note.promise.empty()
                                      ? fmt::format("was fixed on {}", note.since)
                                      : fmt::format("was promised on {} ({})", note.since, note.promise);
        return fmt::format(
            "job.toml says otherwise now than what {}: {}; {}", since, parts,
            note.fixed ? "what was fixed counts, and the proof shows both; put job.toml back, and enter what "
                         "was built in [trap.built]"
                       : "make a new promise and give the client its page before the build, or put job.toml "
                         "back: ebbmark promise " +
                             note.job);
    }
    std::string operator()(const PlanDoubt& note) const { return "see whether it is meant: " + note.text; }
    std::string operator()(const OnePlaceAlone& note) const {
        return fmt::format("{} is the only place: what is foretold or found from one loudspeaker and one "
                           "microphone place holds for that place, not for the room; measure at two "
                           "microphone places at least, better at {} pairs",
                           note.position, note.wanted);
    }
    std::string operator()(const FewPositions& note) const {
        return fmt::format(
            "job.toml has {} positions; with {} or more the comparison can show smaller changes",
            note.positions, note.wanted);
    }
    std::string operator()(const BuiltToEnter& note) const {
        return fmt::format("after the build, enter in [trap.built] what really stands there: {}",
                           fmt::join(note.traps, ", "));
    }
    std::string operator()(const NotTheDayOfBuild& note) const {
        return fmt::format("the visit \"{}\" was on {}: measure once more on the day of the build, before it "
                           "begins, as a visit \"before-2\"; the difference is the drift without traps",
                           note.visit, note.date);
    }
    std::string operator()(const StillBlank& note) const { return "still missing: " + sentence(note.item); }
    std::string operator()(const OnlyListeningPlaces&) const {
        return "Every position is a listening place: there is no mean over the room, and with it no "
               "absorption, target or grade.";
    }
    std::string operator()(const OnePositionAlone&) const {
        return "One position alone does not stand for the room; the interval is that of this position.";
    }
    std::string operator()(const AirAssumed&) const {
        return "Temperature or humidity is blank in the visit's protocol: 20 °C and 50 % are assumed for "
               "what is missing.";
    }
    std::string operator()(const NoReturnMeasured&) const {
        return "No return was measured: how well the result can be repeated is not known from this visit.";
    }
};

struct RepairWords {
    std::string operator()(const LockTakenOver& note) const {
        return fmt::format("cleared the lock of {}, which ended without giving it back", note.holder);
    }
    std::string operator()(const KeepingFinished& note) const {
        return fmt::format("finished keeping {}, which was interrupted", note.path);
    }
    std::string operator()(const UnkeptRemoved& note) const {
        return fmt::format("removed {}, left by a program that was ended before it was kept", note.path);
    }
    std::string operator()(const HalfWrittenRemoved& note) const {
        return fmt::format("removed {}, left by a program that was ended while writing", note.path);
    }
};

} // namespace

std::string sentence(const RepairNote& note) {
    return std::visit(RepairWords{}, note);
}

std::string sentence(const JobNote& note) {
    return std::visit(Words{}, note);
}

std::string sentence(NotJudged why) {
    return why == NotJudged::unknown_target
               ? fmt::format("This target is not known; write {} or {} in job.toml.",
                             name(Target::itu_bs_1116_3), name(Target::ebu_tech_3276))
               : "The limits depend on the room's volume, which is not known.";
}

std::string words_for(const PlanDifference& difference) {
    switch (difference.part) {
    case PlanPart::question:
        return "the question";
    case PlanPart::acceptance:
        return "the acceptance";
    case PlanPart::room:
        return "the room's size, parts or patches";
    case PlanPart::source:
        return "the loudspeaker place " + difference.name;
    case PlanPart::microphone:
        return "the microphone place " + difference.name;
    case PlanPart::trap:
        break;
    }
    return fmt::format("the trap \"{}\"", difference.name);
}

} // namespace ebbmark
