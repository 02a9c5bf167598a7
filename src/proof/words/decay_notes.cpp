// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/words/decay_notes.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace ebbmark {

namespace {

struct Words {
    std::string operator()(const ShorterThanFilter& note) const {
        return fmt::format(
            "The decay is shorter than the band filter can show (B·T below 4): at most {:.2f} s.",
            note.at_most_s);
    }
    std::string operator()(const FiltersMayDisagree& note) const {
        return fmt::format("B·T is {:.0f}: below 64, two instruments with filters of the best class may "
                           "disagree about this response.",
                           note.bandwidth_time);
    }
    std::string operator()(const TwoSlopes& note) const {
        return fmt::format("The decay has two slopes: {:.2f} s early, {:.2f} s late. No single decay time "
                           "describes it.",
                           note.early_s, note.late_s);
    }
    std::string operator()(const CrookedBeyondChance& note) const {
        return fmt::format("The decay leaves a straight line by more than chance (xi {:.0f} per mille): "
                           "another sound or a strong late reflection may lie within it. The decay time "
                           "depends on where it is read; look at the curve.",
                           note.nonlinearity_permille);
    }
    std::string operator()(const CrookedByFixedLimits&) const {
        return "By the fixed limits of ISO 3382-2 the decay is not straight; with so few independent values "
               "in this band a single slope shows as much by chance.";
    }
    std::string operator()(const LaterDecayShorter&) const {
        return "The later decay is shorter than the early one, which a room alone does not do by more than "
               "chance; the noise may have been removed from the recording before.";
    }
    std::string operator()(const SecondSound& note) const {
        return fmt::format(
            "Another sound {:.2f} s after the direct sound; only what lies before it was used.",
            note.after_direct_s);
    }
    std::string operator()(const EndsBeforeNoise&) const {
        return "The recording ends before the decay reaches the noise.";
    }
    std::string operator()(const NoiseChanges& note) const {
        return fmt::format("The noise changes by {:.0f} dB during the recording.", note.by_db);
    }
    std::string operator()(const SteadyTone&) const {
        return "A steady tone (hum or a machine) sets the noise in this band.";
    }
    std::string operator()(const SourceFallsShort&) const {
        return "The test signal does not reach the whole of this band.";
    }
    std::string operator()(const NothingEmitted&) const {
        return "The response holds no more here than at 8 to 16 Hz: the loudspeaker emitted nothing, and "
               "the noise was faded out.";
    }
    std::string operator()(const HumReaches&) const {
        return "Hum in the recording reaches this band and could not be taken out wholly.";
    }
    std::string operator()(const SoundWouldMove&) const {
        return "Another sound in the recording would move this band's decay by 1 % or more.";
    }
};

} // namespace

std::string sentence(const DecayNote& note) {
    return std::visit(Words{}, note);
}

std::vector<std::string> sentences(const std::vector<DecayNote>& notes) {
    std::vector<std::string> all;
    for (const DecayNote& note : notes)
        if (std::string said = sentence(note); std::find(all.begin(), all.end(), said) == all.end())
            all.push_back(std::move(said));
    return all;
}

} // namespace ebbmark
