// SPDX-License-Identifier: GPL-3.0-or-later
// question.toml: what was asked before the answer could be known.
#pragma once

#include "job/description.hpp"

#include <optional>
#include <string>
#include <string_view>

namespace ebbmark {

/// The question as it was fixed before the after visit.
struct FixedQuestion {
    JobQuestion question;
    std::optional<Acceptance> acceptance;
    std::string fixed_at;
    std::string promise; ///< the promise that fixed it, "promises/001.toml", or empty
};

/// question.toml. Throws Error(unusable).
FixedQuestion fixed_question_from(std::string_view text, std::string_view name);

} // namespace ebbmark
