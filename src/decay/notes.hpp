// SPDX-License-Identifier: GPL-3.0-or-later
// What may be remarked on a band's decay, as kinds and numbers. Their words stand in proof/words.
#pragma once

#include <variant>

namespace ebbmark {

/// The decay is shorter than the band filter can show, B · T below 4.
struct ShorterThanFilter {
    double at_most_s = 0;
    bool operator==(const ShorterThanFilter&) const = default;
};

/// B · T is below 64: two instruments with filters of the best class may disagree.
struct FiltersMayDisagree {
    double bandwidth_time = 0;
    bool operator==(const FiltersMayDisagree&) const = default;
};

struct TwoSlopes {
    double early_s = 0, late_s = 0;
    bool operator==(const TwoSlopes&) const = default;
};

/// Further from a straight line than chance explains.
struct CrookedBeyondChance {
    double nonlinearity_permille = 0;
    bool operator==(const CrookedBeyondChance&) const = default;
};

/// Not straight by the fixed limits of ISO 3382-2, though no more than by chance.
struct CrookedByFixedLimits {
    bool operator==(const CrookedByFixedLimits&) const = default;
};

/// The later decay is shorter than the early one.
struct LaterDecayShorter {
    bool operator==(const LaterDecayShorter&) const = default;
};

/// What lies after another sound was not used.
struct SecondSound {
    double after_direct_s = 0;
    bool operator==(const SecondSound&) const = default;
};

/// The recording ends before the decay reaches the noise.
struct EndsBeforeNoise {
    bool operator==(const EndsBeforeNoise&) const = default;
};

struct NoiseChanges {
    double by_db = 0;
    bool operator==(const NoiseChanges&) const = default;
};

/// A tone sets the noise.
struct SteadyTone {
    bool operator==(const SteadyTone&) const = default;
};

/// The test signal does not reach the whole band.
struct SourceFallsShort {
    bool operator==(const SourceFallsShort&) const = default;
};

/// The response itself shows that the loudspeaker emitted nothing here (evidence.hpp).
struct NothingEmitted {
    bool operator==(const NothingEmitted&) const = default;
};

/// Emptied: hum in the recording could not be taken out wholly.
struct HumReaches {
    bool operator==(const HumReaches&) const = default;
};

/// Emptied: another sound in the recording would move the decay by 1 % or more.
struct SoundWouldMove {
    bool operator==(const SoundWouldMove&) const = default;
};

using DecayNote =
    std::variant<ShorterThanFilter, FiltersMayDisagree, TwoSlopes, CrookedBeyondChance, CrookedByFixedLimits,
                 LaterDecayShorter, SecondSound, EndsBeforeNoise, NoiseChanges, SteadyTone, SourceFallsShort,
                 NothingEmitted, HumReaches, SoundWouldMove>;

} // namespace ebbmark
