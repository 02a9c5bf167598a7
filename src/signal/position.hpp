// SPDX-License-Identifier: GPL-3.0-or-later
// Whether a response belongs to the position that it claims, told by what traps leave alone: when early
// reflections follow the direct sound.
#pragma once

#include "base/quality_check.hpp"
#include "base/signal.hpp"

#include <optional>
#include <string>
#include <vector>

namespace ebbmark {

/// A position as an earlier visit heard it.
struct EarlierPlace {
    std::string name;
    Signal response;
    std::vector<double> changed_lags_s =
        {}; ///< after the direct sound: reflections off what was changed since
};

/// How alike the early reflections of two responses are, −1 to 1, without those at `changed_lags_s`. Levels
/// and the direct sound do not count. 0 where the rates differ or nothing is left to compare.
double likeness_of_reflections(const Signal& a, const Signal& b,
                               const std::vector<double>& changed_lags_s = {});

/// Noted where the reflections are clearly those of another position, and that one by its name. Places whose
/// own earlier responses are alike, such as mirror images in a symmetric room, cannot be told apart and are
/// not accused. `claimed` is the index of the response's own place; nothing where there is none to compare
/// with.
std::optional<QualityCheck> position_check(const Signal& response, const std::vector<EarlierPlace>& earlier,
                                           std::size_t claimed);

} // namespace ebbmark
