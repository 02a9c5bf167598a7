// SPDX-License-Identifier: GPL-3.0-or-later
// What is packed of a job, and what is found where the pack was changed.
#include "files/response_comment.hpp"
#include "response_job.hpp"
#include "work/bundle_of_job.hpp"
#include "work/verify_anything.hpp"

#include <doctest/doctest.h>

#include <algorithm>

using namespace ebbmark;
namespace fs = std::filesystem;

namespace {

/// Findings that show of what they were made.
std::string findings_text(const CompareReport& report) {
    std::string text = report.before + " " + report.after;
    for (const BandFinding& band : report.comparison.bands)
        text +=
            " " + std::to_string(band.before_s.value_or(0)) + " " + std::to_string(band.after_s.value_or(0));
    return text;
}

/// Of a loudspeaker that reaches no mode of the room: those take a while.
std::string response(double t60_s) {
    std::mt19937 random(static_cast<unsigned>(100 * t60_s));
    std::normal_distribution<double> normal;
    std::vector<double> samples(24000);
    for (std::size_t n = 480; n < samples.size(); ++n)
        samples[n] = 0.1 * std::exp(-6.9078 * static_cast<double>(n - 480) / 24000 / t60_s) * normal(random);
    ResponseInfo info;
    info.source_from_hz = 400, info.source_to_hz = 11000;
    return wav_bytes({samples}, 24000, SampleFormat::float32, to_comment(info), "response.wav");
}

/// A bundle of a job with two visits, packed, and its folder.
class Packed {
  public:
    Packed() {
        job_.keep("before", "S1-M1", response(0.8), "2026-11-25T10:00:00+01:00");
        job_.keep("after", "S1-M1", response(0.5), "2026-12-02T10:00:00+01:00");
        Unwatched unwatched;
        const BundleWriters writers{findings_text,
                                    [](const BundleReport& made) { return "of " + made.digest; }};
        report = write_bundle(bundle_of_job(job_.open(), verify(job_.path()), writers, unwatched),
                              folder / "out.zip", Overwrite::never);
        fs::create_directory(folder / "bundle");
        unpack_archive(folder / "out.zip", folder / "bundle");
    }

    Verification verified(const std::string& name = "bundle") const {
        Unwatched unwatched;
        return verify_anything(folder / name, "", findings_text, unwatched);
    }
    void pack_again(const std::vector<ArchiveEntry>& more) const {
        std::vector<ArchiveEntry> entries;
        for (const std::string& path : report.files)
            entries.push_back({path, "", folder.path() / "bundle" / path});
        entries.insert(entries.end(), more.begin(), more.end());
        write_archive(folder / "again.zip", entries, Overwrite::derived);
    }

    TestFolder folder;
    BundleReport report;

  private:
    ResponseJob job_;
};

bool holds(const std::vector<std::string>& list, const std::string& name) {
    return std::find(list.begin(), list.end(), name) != list.end();
}

bool holds(const std::vector<VerifyNote>& list, const VerifyNote& note) {
    return std::find(list.begin(), list.end(), note) != list.end();
}

} // namespace

TEST_CASE("a bundle holds evidence, what the user wrote and its own list, no results, and is intact") {
    const Packed packed;
    for (const char* name : {"README.txt", "findings.json", "check.py", "bundle.sha256", "job/job.toml",
                             "job/evidence.sha256", "job/visits/before/visit.toml"})
        CHECK_MESSAGE(holds(packed.report.files, name), name);
    for (const std::string& name : packed.report.files)
        CHECK(!name.starts_with("job/results/"));
    CHECK(packed.report.bytes == fs::file_size(packed.folder / "out.zip"));
    CHECK(packed.report.notes.empty());
    for (const char* name : {"bundle", "out.zip"}) {
        const Verification found = packed.verified(name);
        CHECK(found.intact);
        CHECK(found.added.empty());
        CHECK(found.notes.empty());
    }
}

TEST_CASE("parts of a bundle that are gone or other ones are faults, each with its note") {
    const Packed packed;
    packed.folder.write("bundle/findings.json", "nothing changed");
    packed.folder.write("bundle/README.txt", "of another job");
    packed.folder.write("bundle/check.py", "print('agrees')");
    Verification found = packed.verified();
    CHECK(!found.intact);
    for (const char* name : {"findings.json", "README.txt", "check.py"})
        CHECK_MESSAGE(holds(found.changed, name), name);
    CHECK(holds(found.notes, ReadmeOfAnother{}));
    CHECK(holds(found.notes, NotAsListed{"check.py", false}));
    for (const char* name : {"findings.json", "README.txt", "bundle.sha256"})
        fs::remove(packed.folder / (std::string("bundle/") + name));
    found = packed.verified();
    CHECK(found.missing == std::vector<std::string>{"findings.json", "README.txt", "bundle.sha256"});
    CHECK(found.notes == std::vector<VerifyNote>{BundleLacks{BundlePart::findings},
                                                 BundleLacks{BundlePart::readme},
                                                 BundleLacks{BundlePart::list}});
}

TEST_CASE("findings that cannot be made anew are told with the reason") {
    const Packed packed;
    fs::remove_all(packed.folder / "bundle/job/visits/after");
    const Verification found = packed.verified();
    CHECK(holds(found.unreadable, "findings.json"));
    CHECK(std::any_of(found.notes.begin(), found.notes.end(),
                      [](const VerifyNote& note) { return std::holds_alternative<FindingsNotMade>(note); }));
}

TEST_CASE("beside an unpacked bundle a file is named, and a second root is a fault whatever the list says") {
    const Packed packed;
    packed.folder.write("bundle/mine.txt", "a remark of the reader's");
    CHECK(packed.verified().intact);
    CHECK(packed.verified().added == std::vector<std::string>{"mine.txt"});
    fs::create_directory(packed.folder / "bundle/another");
    const Verification found = packed.verified();
    CHECK(found.changed == std::vector<std::string>{"another"});
    CHECK(holds(found.notes, SecondRoot{"another"}));
}

TEST_CASE("a bundle packed again is told, and what was packed beside its list is a fault") {
    const Packed packed;
    packed.pack_again({{"job/photos/more.jpg", "x", {}}});
    const Verification found = packed.verified("again.zip");
    CHECK(found.changed == std::vector<std::string>{"job/photos/more.jpg"});
    CHECK(holds(found.notes, PackedBeside{"job/photos/more.jpg"}));
    std::string bytes = bytes_of(packed.folder / "out.zip");
    bytes[bytes.size() - 1] ^= 1; // in the comment's length or after it: no file changes
    packed.folder.write("flipped.zip", bytes);
    Unwatched unwatched;
    try {
        const Verification flipped = packed.verified("flipped.zip");
        CHECK(holds(flipped.notes, PackedOtherwise{"flipped.zip"}));
    } catch (const Error& error) {
        CHECK(contains(error.what(), "flipped.zip"));
    }
}

TEST_CASE("a list that is no list is told, and so is a folder that is a link") {
    const Packed packed;
    packed.folder.write("bundle/bundle.sha256", "not a list\n");
    CHECK(packed.verified().unreadable == std::vector<std::string>{"bundle.sha256"});
    fs::rename(packed.folder / "bundle/job", packed.folder / "elsewhere");
    fs::create_directory_symlink(packed.folder / "elsewhere", packed.folder / "bundle/job");
    CHECK(holds(packed.verified().notes, JobIsLink{}));
}
