// SPDX-License-Identifier: GPL-3.0-or-later
// The page for the offer: what is to be built, what it should do, and the digest that fixes it.
#pragma once

#include "proof/document/document.hpp"
#include "results/notes.hpp"
#include "results/promise_input.hpp"
#include "verdict/promise_answer.hpp"

#include <string>
#include <vector>

namespace ebbmark {

/// What is predicted of the question, from the decay before at the places that it is answered at.
PromisedMean promised_mean(const PromiseInput& input);

Document promise_document(const PromiseInput& input);

/// The result of `promise` on standard output.
struct PromiseReport {
    bool simulated = false;
    std::string job, file, digest, made_at; ///< digest: of the promise, whole
    std::string prediction;                 ///< its file, or empty
    PromisedMean promised;
    std::vector<std::string> places; ///< that it is promised for
    std::vector<std::string> pages;  ///< files written
    bool fresh = true;               ///< made just now; else it was made before
    std::vector<Note> notes;         ///< on kept responses, and on what was promised
};
std::string to_json(const PromiseReport& report);
std::string to_csv(const PromiseReport& report);
std::string to_text(const PromiseReport& report);

} // namespace ebbmark
