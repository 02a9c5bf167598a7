// SPDX-License-Identifier: GPL-3.0-or-later
#include "files/hash.hpp"
#include "job/job_folder.hpp"
#include "job/stored_promise.hpp"
#include "sample.hpp"

#include <doctest/doctest.h>

using namespace ebbmark;

namespace {

StoredPromise sample_promise() {
    StoredPromise promise;
    promise.made_at = "2026-11-25T10:00:00+01:00";
    promise.program = "ebbmark 0.1.0";
    promise.prediction = "predictions/001.csv";
    promise.prediction_sha256 = sha256("table");
    promise.evidence = {{"predictions/001.csv", sha256("table")}, {"visits/before/a b.wav", sha256("sound")}};
    promise.job.title = "Booth \"invented\"";
    promise.job.client = "Nobody";
    JobTrap trap;
    trap.name = "rear";
    trap.place = {1.2, 1.8, Wall::rear, {}, 0.4, 0.2};
    trap.layers = {{"air", 0.05, {}, {}, {}, {}}, {"stone wool 45", 0.12, {}, {}, {}, {}}};
    trap.built = BuiltTrap{{}, {}, 4.2};
    promise.job.traps = {trap};
    return promise;
}

} // namespace

TEST_CASE("a promise reads back as it was written, without the client and what was built") {
    const StoredPromise promise = sample_promise();
    const std::string text = to_toml(promise);
    CHECK(text.find("Nobody") == text.npos);
    const StoredPromise read = stored_promise_from(text, "001.toml");
    CHECK(to_toml(read) == text);
    CHECK(read.made_at == promise.made_at);
    CHECK(read.evidence == promise.evidence);
    CHECK(read.job.title == promise.job.title);
    REQUIRE(read.job.traps.size() == 1);
    CHECK(read.job.traps[0].layers == promise.job.traps[0].layers);
    CHECK(!read.job.traps[0].built);
    CHECK(same_promise(read, promise));
}

TEST_CASE("another plan, question or prediction is another promise, another time or recording is not") {
    const StoredPromise promise = sample_promise();
    StoredPromise later = promise;
    later.made_at = "2026-12-01T10:00:00+01:00";
    later.evidence["visits/before/more.wav"] = sha256("more");
    CHECK(same_promise(later, promise));
    StoredPromise thicker = promise, asked = promise, foretold = promise;
    *thicker.job.traps[0].layers[1].thickness_m += 0.01;
    asked.job.question.to_hz = 160;
    foretold.prediction_sha256 = sha256("another table");
    for (const StoredPromise& other : {thicker, asked, foretold})
        CHECK(!same_promise(other, promise));
}

TEST_CASE("a digest is read as people type it") {
    // Source: published. FIPS 180-4 example: SHA-256 of "abc".
    const std::string hash = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
    CHECK(short_digest(hash) == "ba78 16bf 8f01 cfea 4141 40de 5dae 2223");
    CHECK(is_digest_of(typed_digest(short_digest(hash)), hash));
    CHECK(is_digest_of(typed_digest("BA78-16BF-8F01-CFEA-4141-40DE-5DAE-2223"), hash));
    // As copied from a page: no-break blanks, and the full stop of the sentence.
    CHECK(is_digest_of(typed_digest("ba78\u00a016bf\u00a08f01\u00a0cfea\u00a04141 40de\t5dae 2223."), hash));
    CHECK(is_digest_of(hash, hash));
    CHECK(!is_digest_of(typed_digest("ba78 16bf 8f01 cfea"), hash)); // too few to tell two promises apart
    CHECK(!is_digest_of("", hash));
}

TEST_CASE("a promise that is no list of hashes is refused") {
    std::string text = to_toml(sample_promise());
    text.replace(text.find(sha256("sound")), 4, "zzzz");
    CHECK_THROWS(stored_promise_from(text, "001.toml"));
}
