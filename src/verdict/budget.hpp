// SPDX-License-Identifier: GPL-3.0-or-later
// What the uncertainty of the question's answer is made of: an uncertainty budget (JCGM 100:2008, 5.1 and
// G.4).
#pragma once

#include "verdict/question.hpp"

#include <optional>
#include <string_view>
#include <vector>

namespace ebbmark {

enum class UncertaintySource { fits, places, returns, hidden, air, neighbours, drift };

/// As it stands in JSON: "fits", "places", "returns", "hidden values", "air", "neighbouring bands", "drift".
std::string_view name(UncertaintySource source);

/// One cause with its standard uncertainty of the mean ln(after/before).
struct UncertaintyPart {
    UncertaintySource source = UncertaintySource::fits;
    double deviation = 0;
};

/// Parts above 0, in the order of UncertaintySource; the squares of all are that of the whole.
struct UncertaintyBudget {
    std::vector<UncertaintyPart> parts;
    MeanEstimate total;

    /// Of Student's distribution, 95 %.
    double coverage_factor() const;
};

/// What the scatter between values stands for.
enum class ScatterFrom { places, returns };

/// Of a mean over bands as question_change() gives it, without the drift; nothing where it has no interval.
std::optional<UncertaintyBudget> budget_of(const std::vector<BandChange>& bands, const QuestionChange& of,
                                           ScatterFrom scatter, const Spread& drift);

} // namespace ebbmark
