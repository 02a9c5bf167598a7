// SPDX-License-Identifier: GPL-3.0-or-later
// Documents rest on evidence that is whole, or say first that it is not; a recording that no job took is not
// lost.
#include "response_job.hpp"
#include "work/checked_evidence.hpp"
#include "work/safe_recording.hpp"

#include <doctest/doctest.h>

using namespace ebbmark;

TEST_CASE("a changed recording stops a document unless somebody insists, and then it is named") {
    ResponseJob job;
    job.measure("before", {"S1-M1"}, 0.5, "2026-11-25T10:00:00+01:00");
    CHECK(checked_evidence(job.path(), false).intact);
    CHECK(open_for_document(job.path(), ChangedEvidence::refused).verification.intact);
    const std::string sound = job.open().take("before/S1-M1-01").sound;
    std::filesystem::permissions(job.path() / sound, std::filesystem::perms::owner_write,
                                 std::filesystem::perm_options::add);
    std::ofstream(job.path() / sound, std::ios::app) << "more";
    const auto refused = [&](const auto& call) {
        try {
            call();
        } catch (const EvidenceNotIntact& error) {
            CHECK(error.kind() == ErrorKind::unusable);
            CHECK(error.job() == job.path().string());
            CHECK(error.faults() == EvidenceFaults{{sound}, {}, {}, {}});
            return error.may_insist();
        }
        FAIL("not refused");
        return false;
    };
    CHECK(!refused([&] { checked_evidence(job.path(), false); }));
    CHECK(refused([&] { open_for_document(job.path(), ChangedEvidence::refused); }));
    const JobForDocument opened = open_for_document(job.path(), ChangedEvidence::read);
    CHECK(!opened.verification.intact);
    CHECK(opened.verification.changed == std::vector<std::string>{sound});
}

TEST_CASE("a recording that waits is whole, with its sweep and what to type, until it is kept") {
    const TestFolder folder;
    const auto path = sample::new_job(folder, "my job");
    CHECK(rescued_in(path).empty());
    const FreshRecording recording{sample::wav(3), Sweep{}, path.string(), "before", "S1-M1", {"--return"}};
    const SafeRecording safe(recording);
    const auto waiting = rescued_in(path);
    REQUIRE(waiting.size() == 1);
    CHECK(contains(waiting[0].file, "rescued-before-S1-M1-"));
    CHECK(contains(safe.sentence(), "ebbmark import '" + path.string() + "' before"));
    CHECK(contains(safe.sentence(), "--return"));
    int found = 0;
    for (const auto& entry : std::filesystem::directory_iterator(path))
        if (entry.path().extension() == ".wav") {
            std::ifstream file(entry.path(), std::ios::binary);
            std::ostringstream bytes;
            bytes << file.rdbuf();
            CHECK(bytes.str() == recording.bytes);
            ++found;
        }
    CHECK(found == 1);
    safe.drop();
    CHECK(rescued_in(path).empty());
}
