// SPDX-License-Identifier: GPL-3.0-or-later
// Single room modes before and after. Who pairs them does so by frequency and shape; here the pairs are
// judged.
#pragma once

#include "base/measured.hpp"
#include "verdict/judgement.hpp"
#include "verdict/notes.hpp"
#include "verdict/prediction.hpp"

#include <optional>
#include <vector>

namespace ebbmark {

/// One mode in both states, each estimated from all positions together; or the mean of a few neighbours that
/// cannot be told apart.
struct ModePair {
    double before_hz = 0;
    std::optional<double> after_hz; ///< nothing where the mode was not found after
    double pairing = 0;             ///< agreement of the two shapes, 0 to 1
    Measured before_t60_s;          ///< with its interval; of a group: geometric mean
    Measured after_t60_s;
    std::optional<double> after_t60_at_most_s; ///< of a mode not found after at the same places
    Measured predicted_t60_s;                  ///< that compare() finds in its prediction
    std::optional<MeanEstimate> change;        ///< ln(after/before) of T60; none where it cannot be told
    Empty why_no_change = Empty::overlap;      ///< where `change` is none
    int members = 1;                           ///< modes that this row speaks of together
    std::vector<VerdictNote> notes;            ///< why there is no change, what it rests on
};

/// What is said of one mode; `mode.after_hz` is that at the air temperature of the state before.
struct ModeFinding {
    ModePair mode;
    Measured change_percent;
    Finding finding = Finding::not_measurable;
    AgainstPrediction against = AgainstPrediction::cannot_tell;
    std::vector<VerdictNote> notes;
};

/// The mode as a member of the family that is judged together; nothing where its change cannot be told. A
/// mode that is bounded only gives an upper bound, `at_most` set.
std::optional<Tested> tested(const ModePair& mode);

} // namespace ebbmark
