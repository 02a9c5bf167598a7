// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/stored_promise.hpp"

#include "files/hash.hpp"
#include "files/toml.hpp"
#include "job/job_toml.hpp"

#include <fmt/format.h>

#include <cctype>

namespace ebbmark {

namespace {

constexpr std::size_t hash_digits = 64;

JobDescription as_planned(JobDescription job) {
    job.client = job.address = job.invoice = "";
    for (JobTrap& trap : job.traps)
        trap.built.reset();
    return job;
}

} // namespace

std::string to_toml(const StoredPromise& promise) {
    std::string text =
        fmt::format("# Written once when the promise was made. Changing it breaks the evidence.\n"
                    "[promise]\nmade_at = {}\nprogram = {}\nprediction = {}\n"
                    "prediction_sha256 = {}\nevidence = [",
                    toml_quoted(promise.made_at), toml_quoted(promise.program),
                    toml_quoted(promise.prediction), toml_quoted(promise.prediction_sha256));
    for (const auto& [path, hash] : promise.evidence)
        text += "\n    " + toml_quoted(hash + "  " + path) + ",";
    return text + "\n]\n" + canonical_toml(as_planned(promise.job));
}

StoredPromise stored_promise_from(std::string_view toml, std::string_view name) {
    const TomlFile file = TomlFile::parse(toml, name);
    const TomlTable table = file.root().need("promise").table();
    StoredPromise promise;
    promise.made_at = table.need("made_at").text();
    promise.program = table.need("program").text();
    promise.prediction = table.need("prediction").text();
    promise.prediction_sha256 = table.need("prediction_sha256").text();
    const auto lines = table.need("evidence").list();
    for (const TomlValue& line : lines) {
        const std::string text = line.text();
        if (text.size() < hash_digits + 3 || !is_sha256(text.substr(0, hash_digits)))
            line.refuse("is no line of a list of evidence: HASH, two blanks, path");
        promise.evidence[text.substr(hash_digits + 2)] = text.substr(0, hash_digits);
    }
    promise.job = job_from(file.root());
    file.refuse_unknown_keys();
    return promise;
}

bool same_promise(const StoredPromise& a, const StoredPromise& b) {
    return a.prediction == b.prediction && a.prediction_sha256 == b.prediction_sha256 &&
           canonical_toml(as_planned(a.job)) == canonical_toml(as_planned(b.job));
}

std::string short_digest(std::string_view sha256) {
    std::string text;
    for (std::size_t i = 0; i < std::min(short_digest_digits, sha256.size()); ++i) {
        if (i > 0 && i % 4 == 0)
            text += ' ';
        text += sha256[i];
    }
    return text;
}

std::string typed_digest(std::string_view text) {
    // Documents separate groups by blanks, also by no-break ones, and end a sentence with a full stop.
    constexpr std::string_view between = " \t\r\n-.\u00a0\u202f";
    std::string digits;
    for (const char letter : text)
        if (between.find(letter) == between.npos)
            digits += static_cast<char>(std::tolower(static_cast<unsigned char>(letter)));
    return digits;
}

bool is_digest_of(std::string_view typed, std::string_view sha256) {
    return typed == sha256 || (typed.size() == short_digest_digits && sha256.starts_with(typed));
}

} // namespace ebbmark
