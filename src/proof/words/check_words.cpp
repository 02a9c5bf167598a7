// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/words/check_words.hpp"

#include "proof/text/guarded.hpp"
#include "proof/text/numbers.hpp"
#include "proof/words/recording_texts.hpp"
#include "proof/words/table.hpp"

#include <fmt/format.h>

#include <utility>

namespace ebbmark {

namespace {

std::string finding_of(const QualityCheck& check) {
    if (!check.finding.empty())
        return check.finding;
    return fmt::format(fmt::runtime(texts::check_outside), code(check.name), cell(check.figure, 3),
                       cell(check.limit, 3), check.unit);
}

} // namespace

std::string outcome_line(const std::vector<QualityCheck>& checks, CheckOutcome outcome) {
    std::vector<std::pair<std::string, std::string>> groups; // effect, findings
    for (const QualityCheck& check : checks) {
        if (check.held() || check.outcome != outcome)
            continue;
        if (!groups.empty() && groups.back().first == check.effect)
            groups.back().second += ", " + finding_of(check);
        else
            groups.emplace_back(check.effect, finding_of(check));
    }
    std::string line;
    for (const auto& [effect, findings] : groups)
        line += fmt::format("{}{}{}{}", line.empty() ? std::string(code(outcome)) + ": " : ". ", findings,
                            effect.empty() ? "" : "; ", effect);
    return line;
}

std::string outcomes_text(const std::vector<QualityCheck>& checks, std::size_t indent) {
    std::string text;
    for (const CheckOutcome outcome : {CheckOutcome::rejected, CheckOutcome::widened, CheckOutcome::noted}) {
        std::string line = outcome_line(checks, outcome);
        for (const QualityCheck& check : checks)
            if (check.outcome == outcome && !check.held() && !check.advice.empty() &&
                check.effect != no_effect)
                line += fmt::format(fmt::runtime(texts::check_advice), check.advice);
        if (!line.empty())
            text += wrapped(plain_text(line), terminal_columns, indent, std::string(indent / 2, ' '));
    }
    return text;
}

} // namespace ebbmark
