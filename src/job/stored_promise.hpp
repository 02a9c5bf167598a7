// SPDX-License-Identifier: GPL-3.0-or-later
// A promise as it was made: planned traps, question, acceptance rule and prediction at one moment, and the
// hashes of all evidence that was there by then. Its SHA-256 is what the client's copy bears.
#pragma once

#include "job/description.hpp"
#include "job/manifest.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace ebbmark {

struct StoredPromise {
    std::string file;   ///< in the job folder, "promises/001.toml"
    std::string sha256; ///< of that file
    std::string made_at;
    std::string program;
    std::string prediction; ///< its file in the job folder, or empty
    std::string prediction_sha256;
    Manifest evidence;  ///< that was kept by then
    JobDescription job; ///< as planned: without client, address, invoice and what was built
};

/// The promise's file.
std::string to_toml(const StoredPromise& promise);

/// The other way round, without file and hash. Throws Error(unusable).
StoredPromise stored_promise_from(std::string_view toml, std::string_view name);

/// Whether two promise the same, whenever they were made and whatever else was kept by then.
bool same_promise(const StoredPromise& a, const StoredPromise& b);

/// Digits of a hash that stand on paper: 32, so that nobody can make two promises with the same ones (2^64
/// tries).
inline constexpr std::size_t short_digest_digits = 32;

/// "0a1b 2c3d …", eight groups of four.
std::string short_digest(std::string_view sha256);

/// A digest as people type or copy it, without blanks, hyphens and full stops and in small letters.
std::string typed_digest(std::string_view text);

/// Whether `typed`, from typed_digest, is this hash: whole, or the digits on paper.
bool is_digest_of(std::string_view typed, std::string_view sha256);

} // namespace ebbmark
