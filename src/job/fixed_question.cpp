// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/fixed_question.hpp"

#include "job/job_toml.hpp"

namespace ebbmark {

FixedQuestion fixed_question_from(std::string_view text, std::string_view name) {
    const TomlFile file = TomlFile::parse(text, name);
    const TomlTable fixed = file.root().need("fixed").table();
    FixedQuestion question{question_from(file.root().need("question").table()), acceptance_from(fixed),
                           fixed.need("at").text(), fixed.text_or("promise", "")};
    file.refuse_unknown_keys();
    return question;
}

} // namespace ebbmark
