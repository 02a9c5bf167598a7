// SPDX-License-Identifier: GPL-3.0-or-later
// An invented job with its promise and its proof, as plain values: no such room, client or measurement
// exists.
#pragma once

#include "results/promise_input.hpp"
#include "results/proof_input.hpp"

#include <string>

namespace ebbmark::samples {

/// Hexadecimal digits of a hash that nobody computed: 64 times `digit`.
std::string invented_hash(char digit);

/// A box-shaped room with two traps, two sources and three microphones, one of them at the listening place.
JobDescription job();

/// Every third octave of the question, 40 to 200 Hz, is predicted to ring 30 % shorter (20 to 40 %).
PromiseInput promise_input();
PromiseInput promise_without_prediction();

/// Bands, modes, prediction, target, bass response, clarity, a visit between, takes of every state.
CompareReport whole_comparison();

/// The record over it. Evidence is intact and a promise seals it.
ProofInput proof_input();
ProofInput proof_without_prediction();
ProofInput simulated_proof();
/// One file is changed since, and another that the promise lists is missing.
ProofInput proof_with_broken_evidence();

} // namespace ebbmark::samples
