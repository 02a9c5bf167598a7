// SPDX-License-Identifier: GPL-3.0-or-later
// The page for the offer: what is to be built, what it should do, and the digest that fixes it.
#pragma once

#include "proof/document/document.hpp"
#include "results/notes.hpp"
#include "results/promise_input.hpp"

#include <string>
#include <vector>

namespace ebbmark {

/// What is predicted of the question: the change in per cent, with the ends of all bands together, over those
/// of its bands that have both a prediction and a decay before. No ends where one of these has none.
struct PromisedChange {
    Measured percent; ///< without a value: there is none
    int bands = 0, asked = 0;
};
PromisedChange promised_change(const PromiseInput& input);

Document promise_document(const PromiseInput& input);

/// The result of `promise` on standard output.
struct PromiseReport {
    bool simulated = false;
    std::string job, file, digest, made_at; ///< digest: of the promise, whole
    std::string prediction;                 ///< its file, or empty
    PromisedChange change;
    std::vector<std::string> pages; ///< files written
    bool fresh = true;              ///< made just now; else it was made before
    std::vector<Note> notes;        ///< on kept responses, and on what was promised
};
std::string to_json(const PromiseReport& report);
std::string to_csv(const PromiseReport& report);
std::string to_text(const PromiseReport& report);

} // namespace ebbmark
