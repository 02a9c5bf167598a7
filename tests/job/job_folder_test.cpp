// SPDX-License-Identifier: GPL-3.0-or-later
#include "files/hash.hpp"
#include "job/evidence_store.hpp"
#include "job/job_folder.hpp"
#include "job/verify.hpp"
#include "relative.hpp"
#include "sample.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <csignal>

using namespace ebbmark;
namespace fs = std::filesystem;

namespace {

std::string host() {
    std::array<char, 256> name{};
    return ::gethostname(name.data(), name.size() - 1) == 0 ? name.data() : "unknown";
}

} // namespace

TEST_CASE("a new job opens, is empty and can be verified") {
    const TestFolder folder;
    const JobFolder job = JobFolder::create(folder / "job");
    CHECK(job.takes().empty());
    CHECK(job.visits().empty());
    CHECK(job.notes().empty());
    CHECK(verify(folder / "job").intact);
    CHECK(verify(folder / "job").added.empty());
}

TEST_CASE("a new job takes only a new or empty folder") {
    const TestFolder folder;
    JobFolder::create(folder / "job");
    CHECK(contains(refusal([&] { JobFolder::create(folder / "job"); }), "is a job already"));
    fs::create_directory(folder / "full");
    folder.write("full/letter.txt", "x");
    CHECK(
        contains(refusal([&] { JobFolder::create(folder / "full"); }), "is not empty (it holds letter.txt)"));
    CHECK(contains(refusal([&] { JobFolder::create(folder / "none/job"); }), "create the folder first"));
    fs::create_directory(folder / "empty");
    CHECK_NOTHROW(JobFolder::create(folder / "empty"));
}

TEST_CASE("what is no job is refused") {
    const TestFolder folder;
    CHECK(contains(refusal([&] { JobFolder(folder / "none", Access::read); }),
                   "does not exist; start a job with new"));
    CHECK(contains(refusal([&] { JobFolder(folder.path(), Access::read); }), "there is no job.toml"));
}

TEST_CASE("a plan that cannot stand is refused until something was measured, then only noted") {
    const std::string wrong = sample::job_toml + "[[microphone]]\nid = \"M4\"\nat = [4, 1, 1]\n";
    const TestFolder folder;
    const auto path = sample::new_job(folder);
    folder.write("job/job.toml", wrong);
    const std::string why = refusal([&] { JobFolder(path, Access::read); });
    CHECK(contains(why, "microphone[4].at"));
    CHECK(contains(why, "lies inside the trap \"rear wall\""));
    folder.write("job/job.toml", sample::job_toml);
    JobFolder(path, Access::write).keep("before", sample::sound(1, "S1-M2"), sample::morning);
    folder.write("job/job.toml", wrong);
    CHECK(JobFolder(path, Access::read).description().doubts == std::vector<std::string>{why});
    CHECK(verify(path).unreadable.empty());
}

TEST_CASE("a visit of a room with patches asks for their states, and knows no others") {
    const TestFolder folder;
    const auto path = sample::new_job(folder);
    folder.write("job/job.toml", sample::job_toml +
                                     "[[room.patch]]\nname = \"door\"\nkind = \"door\"\nwall = "
                                     "\"left\"\nfrom = [2, 0]\nto = [3, 2]\n");
    JobFolder(path, Access::write).keep("before", sample::sound(1, "S1-M2"), sample::morning);
    const std::string file = "job/visits/before/visit.toml";
    const std::string text = bytes_of(folder / file);
    CHECK(contains(text, "\n[room.patches]"));
    CHECK(contains(text, "\ndoor = \"\"\n"));
    const std::string digest = JobFolder(path, Access::read).digest();
    folder.write(file, text + "window = \"open\"\n");
    CHECK(contains(refusal([&] { JobFolder(path, Access::read); }), "room.patches.window"));
    folder.write(file, sample::filled_protocol("2026-11-25") + "patches = { door = \"open\" }\n");
    const JobFolder job(path, Access::read);
    CHECK(job.visits().at("before").patches.at("door") == "open");
    CHECK(job.digest() != digest);
    const auto changed = job.changed_since(job.evidence_lines().size());
    REQUIRE(changed.size() == 1);
    CHECK(contains(fmt::format("{}", fmt::join(changed[0].keys, " ")), "room.patches.door"));
}

TEST_CASE("a sound is copied in unchanged, with a snapshot of its settings") {
    const TestFolder folder;
    const auto path = sample::new_job(folder);
    JobFolder job(path, Access::write);
    const NewSound sound = sample::sound(1, "S1-M2");
    CHECK(job.keep("before", sound, sample::morning) == std::vector<std::string>{"before/S1-M2-01"});
    const Take& take = job.take("before/S1-M2-01");
    CHECK(take.sound == "visits/before/sounds/001.wav");
    CHECK(bytes_of(job.sound_file(take)) == sound.bytes);
    CHECK(take.original_name == "rec 1.WAV");
    CHECK(take.made_at == sample::morning.time);
    CHECK(take.program == "ebbmark 0.1.0");
    CHECK(take.sweep == sound.sweep);
    CHECK(take.microphone.at_m[0] == relative(3.2));
    CHECK(take.source.lowest_hz == 35);
    CHECK(take.room.box->edges_m[2] == relative(2.6));
    CHECK(job.visits().at("before").date == "2026-11-25");
    const Verification verification = verify(path);
    CHECK(verification.intact);
    CHECK(verification.files == 4); // sound, take, and job.toml and protocol as they stood
    CHECK(verification.added.empty());
    CHECK(verification.digest == job.digest());
}

TEST_CASE("takes of one position are counted and all of them are used") {
    const TestFolder folder;
    JobFolder job(sample::new_job(folder), Access::write);
    job.keep("before", sample::sound(1, "S1-M1"), sample::morning);
    job.keep("before", sample::sound(2, "S1-M1"), sample::morning);
    NewSound rejected = sample::sound(3, "S1-M1");
    rejected.takes[0].accepted = false;
    CHECK(job.keep("before", rejected, sample::morning)[0] == "before/S1-M1-03");
    NewSound back = sample::sound(4, "S1-M1");
    back.takes[0].is_return = true;
    CHECK(job.keep("before", back, sample::morning)[0] == "before/S1-M1-return-01");
    CHECK(job.takes().size() == 4);
    CHECK(job.takes_in_use("before").at({"S1", "M1"}).size() == 2);
    CHECK(job.takes_in_use("before", TakeSet::returns).at({"S1", "M1"}).size() == 1);
    CHECK(job.takes_in_use("after").empty());
}

TEST_CASE("one recording of several sweeps makes several takes and is stored once") {
    const TestFolder folder;
    JobFolder job(sample::new_job(folder), Access::write);
    NewSound sound = sample::sound(1, "S1-M1");
    sound.takes = {{"S1-M1", false, 1, Segment{0, 20}, true, {}},
                   {"S1-M2", false, 1, Segment{20, 40}, true, {}}};
    CHECK(job.keep("before", sound, sample::morning).size() == 2);
    NewSound other_channel = sample::sound(1, "S1-M3");
    other_channel.takes[0].channel = 2;
    job.keep("before", other_channel, sample::morning);
    CHECK(job.take("before/S1-M3-01").sound == job.take("before/S1-M1-01").sound);
    CHECK(first_position(job.takes(), "before") == Position{"S1", "M1"});
    CHECK(contains(refusal([&] { job.keep("before", sound, sample::morning); }),
                   "is in the job already, as before/S1-M1-01; the same sound counts once"));
}

TEST_CASE("an excitation known by its samples is kept as evidence too") {
    const TestFolder folder;
    JobFolder job(sample::new_job(folder), Access::write);
    NewSound sound = sample::sound(1, "S1-M1");
    sound.sweep.reset();
    CHECK(contains(refusal([&] { job.keep("before", sound, sample::morning); }), "needs its sweep"));
    sound.excitation_bytes = sample::wav(99);
    job.keep("before", sound, sample::morning);
    CHECK(bytes_of(job.excitation_file(job.take("before/S1-M1-01"))) == sound.excitation_bytes);
}

TEST_CASE("positions and visits never lead out of the folder, and nothing is kept of a refused sound") {
    const TestFolder folder;
    const auto path = sample::new_job(folder);
    JobFolder job(path, Access::write);
    const auto keep = [&](const std::string& visit, const std::string& position) {
        return refusal([&] { job.keep(visit, sample::sound(1, position), sample::morning); });
    };
    CHECK(contains(keep("before", "../../x"), "\"../../x\" is no position"));
    CHECK(contains(keep("../before", "S1-M1"), "cannot name a visit"));
    CHECK(contains(keep("before", "S2-M1"), "there is no S2 in job.toml; add it under [[source]]"));
    CHECK(contains(keep("before", "S1-M4"), "there is no M4 in job.toml; add it under [[microphone]]"));
    CHECK(fs::is_empty(path / "visits"));
    fs::create_directory(folder / "outside");
    fs::create_directory_symlink(folder / "outside", path / "visits/before");
    CHECK(contains(keep("before", "S1-M1"), "is a link; replace it by the folder itself"));
    CHECK(fs::is_empty(folder / "outside"));
    NewSound odd = sample::sound(1, "S1-M1");
    odd.original_name = "../../\xff.wav/../x.e-xe";
    CHECK(job.keep("after", odd, sample::morning)[0] == "after/S1-M1-01");
    CHECK(job.take("after/S1-M1-01").sound == "visits/after/sounds/001.wav");
    CHECK(contains(keep("After", "S1-M1"), "differs from \"after\" in capital letters only"));
}

TEST_CASE("the return is measured where the visit began") {
    const TestFolder folder;
    JobFolder job(sample::new_job(folder), Access::write);
    NewSound back = sample::sound(7, "S1-M1");
    back.takes[0].is_return = true;
    CHECK(
        contains(refusal([&] { job.keep("before", back, sample::morning); }), "measure the positions first"));
    job.keep("before", sample::sound(1, "S1-M2"), sample::morning);
    job.keep("before", sample::sound(2, "S1-M1"), sample::morning);
    CHECK(
        contains(refusal([&] { job.keep("before", back, sample::morning); }), "measure the return at S1-M2"));
    back.takes[0].position = "S1-M2";
    CHECK_NOTHROW(job.keep("before", back, sample::morning));
}

TEST_CASE("simulated and real takes never mix") {
    const TestFolder folder;
    JobFolder job(sample::new_job(folder), Access::write);
    NewSound virtual_take = sample::sound(1, "S1-M1");
    virtual_take.simulated = true;
    job.keep("before", virtual_take, sample::morning);
    CHECK(job.simulated());
    CHECK(contains(refusal([&] { job.keep("before", sample::sound(2, "S1-M2"), sample::morning); }),
                   "this job holds simulated takes, and this one is real; they are never mixed"));
    CHECK(verify(job.path()).simulated);
}

TEST_CASE("leaving out needs a reason, deletes nothing and is evidence itself") {
    const TestFolder folder;
    JobFolder job(sample::new_job(folder), Access::write);
    job.keep("before", sample::sound(1, "S1-M1"), sample::morning);
    const auto exclude = [&](const char* id, const char* because) {
        return refusal([&] { job.exclude(id, because, sample::morning); });
    };
    CHECK(contains(exclude("before/S1-M1-01", " \n"), "no reason was given"));
    CHECK(
        contains(exclude("before/S1-M1-02", "x"), "has no take \"before/S1-M1-02\"; it has before/S1-M1-01"));
    CHECK(exclude("before/S1-M1-01", "door slammed") == "no error");
    CHECK(contains(exclude("before/S1-M1-01", "again"), "is left out already (\"door slammed\")"));
    CHECK(job.takes_in_use("before").empty());
    const JobFolder again(job.path(), Access::read);
    CHECK(again.take("before/S1-M1-01").excluded_because == "door slammed");
    CHECK(verify(job.path()).files == 5);
}

TEST_CASE("the question is fixed with the first take after the build") {
    const TestFolder folder;
    const auto path = sample::new_job(folder);
    {
        JobFolder job(path, Access::write);
        job.keep("before", sample::sound(1, "S1-M1"), sample::morning);
        CHECK_FALSE(job.fixed_question());
        job.keep("after", sample::sound(2, "S1-M1"), sample::morning);
        REQUIRE(job.fixed_question());
    }
    std::string text = sample::job_toml;
    text.replace(text.find("200 Hz"), 6, "100 Hz");
    std::ofstream(path / "job.toml") << text;
    JobFolder job(path, Access::write);
    CHECK(job.description().question.to_hz == 100);
    CHECK(job.fixed_question()->question.to_hz == 200);
    CHECK(job.fixed_question()->acceptance->at_least_percent == 20);
    CHECK(job.fixed_question()->fixed_at == sample::morning.time);
    job.keep("after", sample::sound(3, "S1-M2"), sample::morning);
    CHECK(job.fixed_question()->question.to_hz == 200);
}

TEST_CASE("the digest follows evidence and settings, not the client's name and address") {
    const TestFolder folder;
    const auto path = sample::new_job(folder);
    const auto digest_with = [&](const std::string& from, const std::string& to) {
        std::string text = sample::job_toml;
        text.replace(text.find(from), from.size(), to);
        std::ofstream(path / "job.toml") << text;
        return JobFolder(path, Access::read).digest();
    };
    JobFolder(path, Access::write).keep("before", sample::sound(1, "S1-M1"), sample::morning);
    const std::string digest = digest_with("", "");
    CHECK(is_sha256(digest));
    CHECK(digest_with("A. Client", "B. Client") == digest);
    CHECK(digest_with("1 Invented Street", "2 Invented Street") == digest);
    CHECK(digest_with("2026-17", "2026-18") == digest);
    CHECK(digest_with("\"4.1 m\"", "4.1") == digest);
    CHECK(digest_with("\"4.1 m\"", "4.15") != digest);
    CHECK(digest_with("\"200 Hz\"", "\"160 Hz\"") != digest);
    CHECK(digest_with("", "") == digest);
    std::ofstream(path / "visits/before/visit.toml") << sample::filled_protocol("2026-11-25");
    const std::string filled = JobFolder(path, Access::read).digest();
    CHECK(filled != digest);
    JobFolder(path, Access::write).exclude("before/S1-M1-01", "x", sample::morning);
    CHECK(JobFolder(path, Access::read).digest() != filled);
}

TEST_CASE("a changed or missing take is not used in silence") {
    const TestFolder folder;
    const auto path = sample::new_job(folder);
    JobFolder(path, Access::write).keep("before", sample::sound(1, "S1-M1"), sample::morning);
    const JobFolder job(path, Access::read);
    std::ofstream(path / "visits/before/sounds/001.wav", std::ios::app) << "x";
    CHECK(contains(refusal([&] { job.sound_file(job.takes()[0]); }),
                   "001.wav: is evidence and was changed; run verify"));
    fs::remove(path / "visits/before/sounds/001.wav");
    CHECK(
        contains(refusal([&] { job.sound_file(job.takes()[0]); }), "is evidence and is missing; run verify"));
    std::ofstream(path / "visits/before/takes/S1-M1-01.toml", std::ios::app) << "\n";
    CHECK(contains(refusal([&] { JobFolder(path, Access::read); }),
                   "S1-M1-01.toml: is evidence and was changed"));
}

TEST_CASE("a file in the way is never overwritten, and then nothing of the take is kept") {
    const TestFolder folder;
    const auto path = sample::new_job(folder);
    JobFolder job(path, Access::write);
    job.keep("before", sample::sound(1, "S1-M1"), sample::morning);
    std::ofstream(path / "visits/before/takes/S1-M2-01.toml") << "mine";
    CHECK(contains(refusal([&] { job.keep("before", sample::sound(2, "S1-M2"), sample::morning); }),
                   "S1-M2-01.toml: exists already and is not overwritten"));
    CHECK(bytes_of(path / "visits/before/takes/S1-M2-01.toml") == "mine");
    CHECK(job.takes().size() == 1);
    const Verification verification = verify(path);
    CHECK(verification.intact);
    CHECK(verification.added == std::vector<std::string>{"visits/before/takes/S1-M2-01.toml"});
}

TEST_CASE("what a killed program left is finished where it was listed, removed where it was not, and named") {
    const TestFolder folder;
    const auto path = sample::new_job(folder);
    {
        JobFolder job(path, Access::write);
        job.keep("before", sample::sound(1, "S1-M1"), sample::morning);
    }
    const auto sound = path / "visits/before/sounds/001.wav";
    fs::rename(sound, waiting_place(sound));
    folder.write("job/visits/before/takes/.unfinished-S1-M2-01.toml", "whole");
    folder.write("job/.waiting", to_text({{"visits/before/takes/S1-M2-01.toml", sha256("whole")}}));
    const std::string stem = ".ebbmark-7-0123456789abcdef-";
    folder.write("job/visits/before/" + stem + "1.part", "half");
    folder.write("job/.lock", "process 7 on " + host() + "\n" + stem + "\n");
    const JobFolder reading(path, Access::read);
    CHECK(bytes_of(reading.sound_file(reading.takes()[0])) == sample::wav(1));
    CHECK(verify(path).missing.empty());
    const JobFolder job(path, Access::write);
    CHECK(fs::exists(sound));
    CHECK(job.notes() ==
          std::vector<RepairNote>{LockTakenOver{"process 7 on " + host()},
                                  KeepingFinished{"visits/before/sounds/001.wav"},
                                  UnkeptRemoved{"visits/before/takes/.unfinished-S1-M2-01.toml"},
                                  HalfWrittenRemoved{"visits/before/" + stem + "1.part"}});
    CHECK(verify(path).intact);
    CHECK(verify(path).added.empty());
    CHECK_FALSE(fs::exists(path / ".waiting"));
}

TEST_CASE("files of the user's own that look like unfinished ones are left alone") {
    const TestFolder folder;
    const auto path = sample::new_job(folder);
    {
        JobFolder job(path, Access::write);
        job.keep("before", sample::sound(1, "S1-M1"), sample::morning);
    }
    const std::string stem = ".ebbmark-7-0123456789abcdef-";
    const std::vector<std::string> own = {"visits/before/takes/.unfinished-S1-M1-01.toml",
                                          "visits/before/takes/.unfinished-S1-M2-01.toml",
                                          "photos/.unfinished-m2.jpg",
                                          ".ebbmark-1-1.part",
                                          "visits/.ebbmark-notes.part",
                                          ".ebbmark-8-0123456789abcdef-1.part",
                                          ".unfinished-job.toml"};
    fs::create_directory(path / "photos");
    for (const std::string& file : own)
        folder.write("job/" + file, "mine");
    fs::create_symlink("job.toml", path / (stem + "2.part"));
    folder.write("job/.waiting", to_text({{"visits/before/takes/S1-M2-01.toml", sha256("not mine")}}));
    folder.write("job/.lock", "process 7 on " + host() + "\n" + stem + "\n.ebbmark-\n\n.\n");
    {
        const JobFolder job(path, Access::write);
        CHECK(job.notes().size() == 1); // the lock
    }
    for (const std::string& file : own)
        CHECK(bytes_of(path / file) == "mine");
    CHECK(fs::is_symlink(path / (stem + "2.part")));
    // Nor does a take that cannot be kept remove what stands in its way.
    JobFolder job(path, Access::write);
    CHECK(contains(refusal([&] { job.keep("before", sample::sound(2, "S1-M2"), sample::morning); }),
                   ".unfinished-S1-M2-01.toml: exists already"));
    folder.write("job/.waiting", "mine");
    CHECK(contains(refusal([&] { job.keep("before", sample::sound(2, "S1-M3"), sample::morning); }),
                   ".waiting: exists already"));
    CHECK(bytes_of(path / ".waiting") == "mine");
    CHECK(bytes_of(path / "visits/before/takes/.unfinished-S1-M2-01.toml") == "mine");
    CHECK(verify(path).intact);
}

TEST_CASE("of programs that were killed one after the other every rest is found") {
    const TestFolder folder;
    const auto path = sample::new_job(folder);
    const std::string stem = ".ebbmark-7-0123456789abcdef-";
    folder.write("job/" + stem + "1.part", "half");
    folder.write("job/.lock", "process 7 on " + host() + "\n" + stem + "\n");
    const pid_t child = ::fork();
    if (child == 0) {
        const JobLock lock(path); // killed before it could repair
        ::kill(::getpid(), SIGKILL);
    }
    ::waitpid(child, nullptr, 0);
    { const JobLock unsettled(path); } // as where job.toml cannot be read
    const JobFolder job(path, Access::write);
    CHECK_FALSE(fs::exists(path / (stem + "1.part")));
}

TEST_CASE("a job opens for reading while another program writes to it, and for writing only once") {
    const TestFolder folder;
    const auto path = sample::new_job(folder);
    const JobFolder job(path, Access::write);
    CHECK_NOTHROW(JobFolder(path, Access::read));
    CHECK(contains(refusal([&] { JobFolder(path, Access::write); }), "the job is in use by process"));
    CHECK(contains(refusal([&] { JobFolder(path, Access::write_if_possible); }),
                   "the job is in use by process"));
    CHECK_THROWS_AS(JobFolder(path, Access::read).require_writable(), Error);
}
