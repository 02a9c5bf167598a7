// SPDX-License-Identifier: GPL-3.0-or-later
// A record that does not tell who, where, or with what make: for showing it to others.
#pragma once

#include "proof/document/document.hpp"
#include "proof/reports/json_fields.hpp"
#include "results/proof_input.hpp"

#include <string>
#include <vector>

namespace ebbmark {

/// Without names of people, companies, rooms, traps, files, makes and devices, without what was written by
/// hand and without photos; traps are numbered. What else may bear those words is among `hidden_words`.
ProofInput redacted(ProofInput input);

/// `text` with each of the words replaced.
std::string without_words(std::string text, const std::vector<std::string>& words);

/// Every text of a document, or every string of a JSON value, without the words.
void hide_words(Document& document, const std::vector<std::string>& words);
void hide_words(Json& json, const std::vector<std::string>& words);

} // namespace ebbmark
