// SPDX-License-Identifier: GPL-3.0-or-later
// Single room modes before and after. Who pairs them does so by frequency and shape; here the pairs are
// judged.
#pragma once

#include "base/measured.hpp"
#include "verdict/judgement.hpp"
#include "verdict/prediction.hpp"

#include <optional>
#include <string>
#include <vector>

namespace ebbmark {

/// One mode in both states, each estimated from all positions together.
struct ModePair {
    double before_hz = 0;
    std::optional<double> after_hz; ///< nothing where the mode vanished
    double pairing = 0;             ///< modal assurance criterion of the two, 0 to 1
    Measured before_t60_s;          ///< with its interval
    Measured after_t60_s;
    std::optional<double> after_t60_at_most_s; ///< of a vanished mode
    Measured predicted_t60_s;                  ///< that compare() finds in its prediction
};

/// What is said of one mode; `mode.after_hz` is that at the air temperature of the state before.
struct ModeFinding {
    ModePair mode;
    Measured change_percent;
    Finding finding = Finding::not_measurable;
    AgainstPrediction against = AgainstPrediction::cannot_tell;
    std::vector<std::string> notes;
};

/// ln(after/before) of the decay time. The intervals of the modal fit hold all positions, so their variances
/// add; `common_variance` is what they leave out. Nothing without both intervals. A vanished mode gives an
/// upper bound, `at_most` set.
std::optional<Tested> tested(const ModePair& mode, double common_variance);

} // namespace ebbmark
