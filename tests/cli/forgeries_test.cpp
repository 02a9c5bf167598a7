// SPDX-License-Identifier: GPL-3.0-or-later
// What somebody who owns the whole job might change after the build, and how each is found.
#include "../bench/simulated_recording.hpp"
#include "files/archive.hpp"
#include "files/audio_file.hpp"
#include "files/hash.hpp"
#include "job/manifest.hpp"
#include "workbench.hpp"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>
#include <functional>

using namespace ebbmark;
using namespace ebbmark::bench;
using nlohmann::json;
namespace fs = std::filesystem;

namespace {

const char* const job_toml = R"([job]
title = "Booth, invented"
acceptance = { at_least_percent = 30, of = "question" }
[question]
kind = "bands"
from = "500 Hz"
to = "4 kHz"
[room]
length = "4 m"
width = "3 m"
height = "2.5 m"
[[source]]
id = "S1"
at = ["0.5 m", "0.5 m", "1.2 m"]
[[microphone]]
id = "M1"
at = ["2.5 m", "1.5 m", "1.2 m"]
listening = true
[[microphone]]
id = "M2"
at = ["3.0 m", "2.0 m", "1.4 m"]
listening = true
[[microphone]]
id = "M3"
at = ["3.5 m", "0.7 m", "1.1 m"]
listening = false
[[trap]]
name = "rear"
face_width = "1.2 m"
face_height = "2.0 m"
wall = "rear"
along = "0.4 m"
up = "0.2 m"
[[trap.layer]]
material = "stone wool 45"
thickness = "12 cm"
)";

const char* const sweep_toml = R"([sweep]
kind = "exponential"
start_hz = 250
stop_hz = 10000
seconds = 2
rate_hz = 24000
repeats = 2
repeat_period_s = 4
)";

Sweep short_sweep() {
    Sweep sweep;
    sweep.start_hz = 250; // above the modes, which this is not about
    sweep.stop_hz = 10000;
    sweep.seconds = 2;
    sweep.rate_hz = 24000;
    sweep.repeats = 2;
    sweep.repeat_period_s = 4;
    return sweep;
}

/// The sweep in an invented room that decays by 60 dB in `t60_s`.
std::string recording(double t60_s, std::uint64_t place) {
    Dice dice(place);
    auto heard = convolved(played(short_sweep()).samples, invented_room(t60_s, 24000, dice));
    heard.insert(heard.begin(), 12000, 0.0);
    double peak = 0;
    for (const double sample : heard)
        peak = std::max(peak, std::abs(sample));
    for (double& sample : heard)
        sample *= 0.5 / peak;
    Dice hiss(place + 100);
    add_noise(heard, 1e-5, hiss);
    return wav_bytes({heard}, 24000, SampleFormat::float32, "", "tape");
}

void require_done(const Workbench& bench, const std::vector<std::string>& words) {
    const Ran ran = bench.run(words);
    CAPTURE(words[0]);
    CAPTURE(ran.err);
    REQUIRE(ran.code == 0);
}

/// Three places before and after, and a promise between.
void make_job(const Workbench& bench, bool with_promise = true) {
    require_done(bench, {"new", bench.path("job")});
    bench.write("job/job.toml", job_toml);
    const std::string sweep = bench.write("sweep.toml", sweep_toml);
    std::uint64_t place = 1;
    for (const std::string visit : {"before", "after"}) {
        if (visit == "after" && with_promise)
            require_done(bench, {"promise", bench.path("job")});
        for (const char* position : {"S1-M1", "S1-M2", "S1-M3"})
            require_done(bench, {"import", bench.path("job"), visit,
                                 bench.write("tape.wav", recording(visit == "before" ? 0.8 : 0.5, place++)),
                                 position, "--sweep", sweep});
        require_done(bench, {"next", bench.path("job")}); // notes the digits of the day
    }
    require_done(bench, {"proof", bench.path("job")}); // keeps the responses, too
}

/// A copy of the job to be forged.
class Forged {
  public:
    explicit Forged(const Workbench& honest) {
        fs::copy(honest.path("job"), bench.path("job"), fs::copy_options::recursive);
    }

    Workbench bench;
    std::string job = bench.path("job");

    std::string read(const std::string& name) const { return bench.read("job/" + name); }
    void write(const std::string& name, const std::string& bytes) const {
        fs::permissions(job + "/" + name, fs::perms::owner_all);
        bench.write("job/" + name, bytes);
    }
    /// Takes files away, and their lines out of the list.
    void drop(const std::vector<std::string>& names) const {
        EvidenceLines lines = evidence_lines(read("evidence.sha256"), "list");
        for (const std::string& name : names)
            fs::remove(job + "/" + name);
        std::erase_if(lines, [&](const EvidenceLine& line) {
            return std::find(names.begin(), names.end(), line.path) != names.end();
        });
        write("evidence.sha256", to_text(lines));
    }
    void rewrite(const std::string& name, const std::string& what, const std::string& with) const {
        replace(name, what, with);
        renew_list(name);
    }
    void replace(const std::string& name, const std::string& what, const std::string& with) const {
        std::string text = read(name);
        REQUIRE(text.find(what) != text.npos);
        text.replace(text.find(what), what.size(), with);
        write(name, text);
    }
    /// The list says of this file what it is now, and its own last line is right.
    void renew_list(const std::string& name) const {
        EvidenceLines lines = evidence_lines(read("evidence.sha256"), "list");
        for (EvidenceLine& line : lines)
            if (line.path == name)
                line.sha256 = sha256(read(name));
        write("evidence.sha256", to_text(lines));
    }
    Ran run(std::vector<std::string> words) const {
        words.insert(words.begin() + 1, job);
        return bench.run(words);
    }
    json verified(const std::vector<std::string>& further = {}) const {
        std::vector<std::string> words = {"verify", "--format", "json"};
        words.insert(words.end(), further.begin(), further.end());
        return json::parse(run(words).out);
    }
};

bool has(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

bool holds(const json& list, const std::string& entry) {
    return std::find(list.begin(), list.end(), entry) != list.end();
}

const json& table_of(const json& report, const std::string& name) {
    for (const json& table : report["tables"])
        if (table["name"] == name)
            return table;
    FAIL("no table " << name);
    return report;
}

const std::string sound = "visits/before/sounds/001.wav";
const std::string broken = "THE EVIDENCE IS NOT INTACT";

void change_recording(const Forged& forged) {
    std::string bytes = forged.read(sound);
    for (std::size_t at = bytes.size() / 2; at < bytes.size() / 2 + 400; at += 4)
        bytes[at] = static_cast<char>(bytes[at] ^ 1); // lowest bits: it still reads
    forged.write(sound, bytes);
    forged.renew_list(sound);
}

/// What falls faster gives shorter decays.
void speed_up_kept_response(const Forged& forged, const std::string& name) {
    const std::string file = forged.job + "/results/" + name;
    const AudioFile kept = read_audio(file);
    std::vector<double> samples = kept.channel(1).samples;
    for (std::size_t n = 0; n < samples.size(); ++n)
        samples[n] *= std::exp(-8.0 * static_cast<double>(n) / kept.rate_hz);
    forged.write("results/" + name,
                 wav_bytes({samples}, kept.rate_hz, SampleFormat::float32, kept.comment, name));
    std::string from = forged.read("results/" + name + ".from");
    const auto at = from.find("sha256 = \"") + 10;
    from.replace(at, 64, sha256_of_file(file));
    forged.write("results/" + name + ".from", from);
}

// --- how each is found

void found_by_verify(const Forged& forged, const char* list, const std::string& name) {
    CHECK(forged.run({"verify"}).code == 6);
    const json report = forged.verified();
    CHECK(report["intact"] == false);
    CHECK(holds(report[list], name));
}

/// Refused; made with --force it says so first of all.
void refused(const Forged& forged, const std::string& name) {
    for (const auto& words : {std::vector<std::string>{"proof"}, {"bundle", forged.bench.path("out.zip")}}) {
        const Ran ran = forged.run(words);
        CHECK(ran.code == 3);
        CHECK(has(ran.err, name));
        CHECK(has(ran.err, "--force"));
    }
    CHECK(forged.run({"promise"}).code == 3);
    const Ran made = forged.run({"proof", "--force", "--format", "json"});
    CAPTURE(made.err);
    REQUIRE(made.code == 0);
    const json report = json::parse(made.out);
    CHECK(report["intact"] == false);
    CHECK(has(report["warning"], name));
    CHECK(has(report["invoice_line"], broken));
    const std::string html = forged.read("results/proof.html");
    const auto first = html.find(broken);
    REQUIRE(first != html.npos);
    CHECK(first < html.find("Decay time in seconds"));
    CHECK(!has(html, "were not changed since"));
    CHECK(has(json::parse(forged.run({"compare", "--format", "json"}).out)["notes"].dump(), broken));
    CHECK(forged.run({"compare"}).out.starts_with(broken));
    const Ran next = forged.run({"next"});
    CHECK(has(next.out, name));
    CHECK(!has(next.out, "ebbmark proof"));
    CHECK(forged.run({"bundle", forged.bench.path("out.zip"), "--force"}).code == 0);
}

void same_figures(const Forged& forged, const json& honest) {
    const Ran ran = forged.run({"proof", "--format", "json"});
    CAPTURE(ran.err);
    REQUIRE(ran.code == 0);
    CHECK(json::parse(ran.out)["comparison"]["bands"] == honest["comparison"]["bands"]);
    CHECK(json::parse(ran.out)["comparison"]["question"] == honest["comparison"]["question"]);
}

/// Both stand in the record, the fixed one counts, and next says so.
void both_shown(const Forged& forged, const json& honest, const std::string& part, const std::string& fixed,
                const std::string& now) {
    same_figures(forged, honest);
    const json report = json::parse(forged.run({"proof", "--format", "json"}).out);
    bool shown = false;
    for (const json& row : table_of(report, "fixed")["rows"])
        if (has(row[0], part)) {
            CAPTURE(row.dump());
            CHECK(has(row[1], fixed));
            CHECK(has(row[2], now));
            shown = true;
        }
    CHECK(shown);
    CHECK(has(forged.run({"next", "--format", "csv"}).out, part));
    CHECK(has(json::parse(forged.run({"promise", "--format", "json"}).out)["notes"].dump(), part));
    CHECK(has(json::parse(forged.run({"compare", "--format", "json"}).out)["notes"].dump(), part));
}

} // namespace

TEST_CASE("each of twelve forgeries is found") {
    const Workbench bench;
    make_job(bench);
    const json honest = json::parse(bench.run({"proof", bench.path("job"), "--format", "json"}).out);
    CHECK(honest["comparison"]["question"]["acceptance"] == "met");
    CHECK(bench.run({"verify", bench.path("job")}).code == 0);
    CHECK(has(bench.read("job/results/proof.html"), "were not changed since"));
    CHECK(has(bench.read("job/results/proof.html"), "agreed: met"));
    const std::string kept = "response-after-S1-M1-01.wav";

    struct Row {
        const char* forgery;
        std::function<void(const Forged&)> forge, find;
    };
    const Row table[] = {
        {"a recording and its hash in the list", change_recording,
         [](const Forged& f) {
             found_by_verify(f, "changed", sound);
             refused(f, sound);
         }},
        {"the fixed question and its hash in the list",
         [](const Forged& f) {
             f.replace("question.toml", "at_least_percent = 30", "at_least_percent = 10");
             f.renew_list("question.toml");
         },
         [](const Forged& f) {
             found_by_verify(f, "changed", "question.toml");
             CHECK(f.run({"proof"}).code == 3);
         }},
        {"a kept response and what stands beside it",
         [&](const Forged& f) { speed_up_kept_response(f, kept); },
         [&](const Forged& f) {
             const Ran ran = f.run({"proof"});
             CHECK(has(ran.out, "not what the recording gives"));
             CHECK(has(ran.out, kept));
             CHECK(has(f.read("results/proof.html"), "not what the recording gives"));
             speed_up_kept_response(f, kept);
             CHECK(has(f.run({"proof", "--invoice-line"}).err, "not what the recording gives"));
             speed_up_kept_response(f, kept);
             CHECK(has(f.run({"compare"}).out, "kept in results"));
             const json written = json::parse(f.run({"compare", "--format", "json"}).out);
             CHECK(has(written["notes"].dump(), "not what the recording gives"));
             CHECK(written["bands"] == honest["comparison"]["bands"]);
             same_figures(f, honest);
         }},
        {"a kept response of a bundle's job", [&](const Forged& f) { speed_up_kept_response(f, kept); },
         [&](const Forged& f) {
             CHECK(has(f.run({"bundle", f.bench.path("out.zip")}).out, kept));
             CHECK(f.bench.run({"verify", f.bench.path("out.zip")}).code == 0);
         }},
        {"the planned layers", [](const Forged& f) { f.replace("job.toml", "12 cm", "6 cm"); },
         [&](const Forged& f) { both_shown(f, honest, "rear", "12\u00a0cm", "6\u00a0cm"); }},
        {"a listening place",
         [](const Forged& f) { f.replace("job.toml", "listening = true", "listening = false"); },
         [&](const Forged& f) { both_shown(f, honest, "M1", "listening place", "microphone"); }},
        {"the question", [](const Forged& f) { f.replace("job.toml", "4 kHz", "1 kHz"); },
         [&](const Forged& f) { both_shown(f, honest, "question", "4", "1"); }},
        {"the acceptance", [](const Forged& f) { f.replace("job.toml", "= 30", "= 10"); },
         [&](const Forged& f) { both_shown(f, honest, "acceptance", "30", "10"); }},
        {"findings.json in a bundle",
         [](const Forged& f) {
             REQUIRE(f.run({"bundle", f.bench.path("out.zip")}).code == 0);
             fs::create_directory(f.bench.path("bundle"));
             unpack_archive(f.bench.path("out.zip"), f.bench.path("bundle"));
             CHECK(f.bench.run({"verify", f.bench.path("bundle")}).code == 0);
             std::string findings = f.bench.read("bundle/findings.json");
             const auto at = findings.find("\"change_percent\": -") + 19;
             findings[at] = findings[at] == '6' ? '7' : '6';
             f.bench.write("bundle/findings.json", findings);
         },
         [](const Forged& f) {
             const Ran ran = f.bench.run({"verify", f.bench.path("bundle"), "--format", "json"});
             CHECK(ran.code == 6);
             CHECK(holds(json::parse(ran.out)["changed"], "findings.json"));
         }},
        {"a result over job.toml", [](const Forged&) {},
         [](const Forged& f) {
             const std::string before = f.read("job.toml");
             CHECK(f.run({"verify", "--out", f.job + "/job.toml", "--force"}).code == 3);
             CHECK(f.read("job.toml") == before);
         }},
        {"a lost job.toml", [](const Forged& f) { fs::remove(f.job + "/job.toml"); },
         [](const Forged& f) { found_by_verify(f, "missing", "job.toml"); }},
        {"an unreadable protocol", [](const Forged& f) { f.write("visits/after/visit.toml", "no protocol"); },
         [](const Forged& f) { found_by_verify(f, "unreadable", "visits/after/visit.toml"); }},
    };
    for (const Row& row : table) {
        CAPTURE(row.forgery);
        const Forged forged(bench);
        row.forge(forged);
        row.find(forged);
    }
}

namespace {

/// Found without a digest, and told on the first page of the record.
void told_as_moved(const Forged& forged, const std::string& list, const std::string& what) {
    const json report = json::parse(forged.run({"proof", "--format", "json"}).out);
    CHECK(report["intact"] == true);
    CHECK(report["since_promise"]["moved"] == true);
    CHECK(has(report["since_promise"][list].dump(), what));
    const std::string html = forged.read("results/proof.html");
    const auto first = html.find("Since the promise, in visits");
    REQUIRE(first != html.npos);
    CHECK(first < html.find("Decay time in seconds"));
    CHECK(has(html.substr(first + 1), what));
}

/// In a bundle that was made of the honest job.
void unpacked(const Forged& f) {
    REQUIRE(f.run({"bundle", f.bench.path("out.zip")}).code == 0);
    fs::create_directory(f.bench.path("bundle"));
    unpack_archive(f.bench.path("out.zip"), f.bench.path("bundle"));
}

void packed_again(const Forged& f, std::vector<ArchiveEntry> more = {}) {
    std::vector<ArchiveEntry> entries;
    for (const auto& entry : fs::recursive_directory_iterator(f.bench.path("bundle")))
        if (entry.is_regular_file())
            entries.push_back(
                {entry.path().lexically_relative(f.bench.path("bundle")).generic_string(), "", entry.path()});
    entries.insert(entries.end(), more.begin(), more.end());
    write_archive(f.bench.path("out.zip"), entries, Overwrite::derived);
}

void bundle_refused(const Forged& f, const std::string& name) {
    const Ran ran = f.bench.run({"verify", f.bench.path("out.zip")});
    CHECK((ran.code == 6 || ran.code == 3));
    CHECK_MESSAGE(has(ran.out + ran.err, name), ran.out, ran.err);
}

} // namespace

TEST_CASE("each of twenty more forgeries is found without a digest, or told on the first page") {
    const Workbench bench;
    make_job(bench);
    require_done(bench, {"exclude", bench.path("job"), "after/S1-M3-01", "--because", "a lorry passed"});
    bench.write("tape.wav", recording(0.5, 17));
    require_done(bench, {"import", bench.path("job"), "after", bench.path("tape.wav"), "S1-M3", "--sweep",
                         bench.path("sweep.toml")});
    require_done(bench, {"next", bench.path("job")});
    CHECK(bench.run({"verify", bench.path("job")}).code == 0);
    const std::string before_take = "visits/before/takes/S1-M1-01.toml",
                      after_take = "visits/after/takes/S1-M1-01.toml";
    const std::string list = "evidence.sha256";
    struct Row {
        const char* forgery;
        std::function<void(const Forged&)> forge, find;
    };
    const auto in = [](const char* where, const std::string& name) {
        return [where, name](const Forged& f) { found_by_verify(f, where, name); };
    };
    const Row table[] = {
        {"the position in a take before the promise, and the list",
         [&](const Forged& f) { f.rewrite(before_take, "\"S1-M1\"", "\"S1-M2\""); },
         in("changed", before_take)},
        {"the time of a take after the build, and the list",
         [&](const Forged& f) { f.rewrite(after_take, "made_at = \"20", "made_at = \"19"); },
         in("changed", list)},
        {"a take after the build dropped, and the list",
         [&](const Forged& f) {
             f.drop({after_take, "visits/after/sounds/001.wav"});
         },
         in("changed", list)},
        {"a take before the promise dropped, and the list", [&](const Forged& f) { f.drop({before_take}); },
         in("missing", before_take)},
        {"a take in use again: its exclusion dropped, and the list",
         [](const Forged& f) { f.drop({"visits/after/takes/S1-M3-01.excluded.toml"}); }, in("changed", list)},
        {"the reason of an exclusion, and the list",
         [](const Forged& f) {
             f.rewrite("visits/after/takes/S1-M3-01.excluded.toml", "a lorry passed", "it did not fit");
         },
         in("changed", list)},
        {"the lines of the list in another order",
         [&](const Forged& f) {
             EvidenceLines lines = evidence_lines(f.read(list), "list");
             std::swap(lines.front(), lines.back());
             f.write(list, to_text(lines));
         },
         in("changed", list)},
        {"a list emptied, with its own valid hash", [&](const Forged& f) { f.write(list, to_text({})); },
         in("changed", list)},
        {"the promise, and the list",
         [](const Forged& f) {
             f.rewrite("promises/001.toml", "at_least_percent = 30", "at_least_percent = 10");
         },
         in("changed", "question.toml")},
        {"promise and question, and the list",
         [](const Forged& f) {
             f.rewrite("promises/001.toml", "at_least_percent = 30", "at_least_percent = 10");
             f.rewrite("question.toml", "at_least_percent = 30", "at_least_percent = 10");
         },
         in("changed", list)},
        {"the note of a day, and the list",
         [](const Forged& f) { f.rewrite("days/001.toml", "lines = ", "lines = 1"); }, in("changed", list)},
        {"job.toml as it stood, and the list",
         [](const Forged& f) { f.rewrite("descriptions/001.toml", "Booth", "Hall"); },
         in("changed", "descriptions/001.toml")},
        {"a take of an earlier visit added after the promise",
         [&](const Forged& f) {
             REQUIRE(f.run({"import", "before", bench.write("again.wav", recording(0.9, 31)), "S1-M1",
                            "--sweep", bench.path("sweep.toml")})
                         .code == 0);
         },
         [](const Forged& f) { told_as_moved(f, "added", "before/S1-M1-02"); }},
        {"a take of an earlier visit left out after the promise",
         [](const Forged& f) {
             REQUIRE(f.run({"exclude", "before/S1-M1-01", "--because", "too good"}).code == 0);
         },
         [](const Forged& f) { told_as_moved(f, "left_out", "before/S1-M1-01"); }},
        {"the protocol of an earlier visit changed after the promise",
         [](const Forged& f) { f.replace("visits/before/visit.toml", "doors = \"\"", "doors = \"open\""); },
         [](const Forged& f) { told_as_moved(f, "protocols", "room.doors"); }},
        {"the protocol of the visit after the build changed later",
         [](const Forged& f) { f.replace("visits/after/visit.toml", "doors = \"\"", "doors = \"open\""); },
         [](const Forged& f) { CHECK(has(f.verified()["changed_since"].dump(), "room.doors")); }},
        {"README.txt in a packed bundle",
         [](const Forged& f) {
             unpacked(f);
             f.bench.write("bundle/README.txt", f.bench.read("bundle/README.txt") + "\nTrust it.\n");
             packed_again(f);
         },
         [](const Forged& f) { bundle_refused(f, "README.txt"); }},
        {"check.py in a packed bundle",
         [](const Forged& f) {
             unpacked(f);
             f.bench.write("bundle/check.py", "print('agrees')\n");
             packed_again(f);
         },
         [](const Forged& f) { bundle_refused(f, "check.py"); }},
        {"a second root in a packed bundle",
         [](const Forged& f) {
             unpacked(f);
             packed_again(f, {{"another/job/job.toml", "x", {}}});
         },
         [](const Forged& f) { bundle_refused(f, "another/job/job.toml"); }},
        {"a packed bundle cut by 30 bytes",
         [](const Forged& f) {
             REQUIRE(f.run({"bundle", f.bench.path("out.zip")}).code == 0);
             const std::string bytes = f.bench.read("out.zip");
             f.bench.write("out.zip", bytes.substr(0, bytes.size() - 30));
         },
         [](const Forged& f) { bundle_refused(f, "out.zip"); }},
    };
    CHECK(std::size(table) == 20);
    for (const Row& row : table) {
        CAPTURE(row.forgery);
        const Forged forged(bench);
        row.forge(forged);
        row.find(forged);
    }
}

TEST_CASE("photos that are links, or a folder of them that is one, are not packed") {
    const Workbench bench;
    make_job(bench);
    bench.write("secret.txt", "no photo");
    const Forged file(bench), folder(bench);
    fs::create_directory(file.job + "/photos");
    fs::create_symlink(bench.path("secret.txt"), file.job + "/photos/room.jpg");
    fs::create_directory(folder.bench.path("elsewhere"));
    fs::create_directory_symlink(folder.bench.path("elsewhere"), folder.job + "/photos");
    for (const Forged* forged : {&file, &folder}) {
        const Ran ran = forged->run({"bundle", forged->bench.path("out.zip")});
        CHECK(ran.code == 3);
        CHECK(has(ran.err, "is a link"));
        CHECK(!fs::exists(forged->bench.path("out.zip")));
    }
}

TEST_CASE("what nobody can find in the job alone, digits on paper find") {
    const Workbench bench;
    make_job(bench);
    const std::string digits =
        json::parse(bench.run({"next", bench.path("job"), "--format", "json"}).out)["digits"]["sha256"];
    const Forged forged(bench);
    // All of it rewritten after the promise: a take after the build, the list, and the note of that day.
    forged.rewrite("visits/after/takes/S1-M1-01.toml", "made_at = \"20", "made_at = \"19");
    EvidenceLines lines = evidence_lines(forged.read("evidence.sha256"), "list");
    const std::string note = lines.back().path, text = forged.read(note);
    REQUIRE(note.starts_with("days/"));
    const std::string renewed = digest_of_first(lines, lines.size() - 1);
    forged.rewrite(note, text.substr(text.find("sha256 = ") + 10, 64), renewed);
    CHECK(forged.run({"verify"}).code == 0); // out of reach, as src/job/README.md says
    const Ran with_digits = forged.run({"verify", "--digest", digits.substr(0, 32)});
    CHECK(with_digits.code == 6);
    CHECK(bench.run({"verify", bench.path("job"), "--digest", digits.substr(0, 32)}).code == 0);
}

TEST_CASE("a job whose protocol is gone, or whose visits are elsewhere, is not intact") {
    const Workbench bench;
    make_job(bench);
    const Forged gone(bench), elsewhere(bench);
    fs::remove(gone.job + "/visits/before/visit.toml");
    found_by_verify(gone, "missing", "visits/before/visit.toml");
    fs::rename(elsewhere.job + "/visits", elsewhere.bench.path("elsewhere"));
    fs::create_directory_symlink(elsewhere.bench.path("elsewhere"), elsewhere.job + "/visits");
    found_by_verify(elsewhere, "changed", "visits");
}

TEST_CASE("verify knows each digest that a document shows, and what it is") {
    const Workbench bench;
    make_job(bench);
    const Forged job(bench);
    const json proof = json::parse(job.run({"proof", "--format", "json"}).out);
    const std::string record = proof["digest"], promise = proof["promise"]["digest"];
    const std::string line = proof["invoice_line"];
    // 128 bits, in groups of four.
    const std::string shown = line.substr(line.find("Record ") + 7, 39);
    CHECK(shown.find_first_not_of("0123456789abcdef ") == shown.npos);
    const auto kind = [&](const std::string& digest) {
        const json report = job.verified({"--digest", digest});
        CHECK(report["matches"] == !report["kind"].is_null());
        CHECK(report["intact"] == true);
        return report["kind"].is_null() ? "none" : report["kind"].get<std::string>();
    };
    CHECK(kind(record) == "record");
    CHECK(kind(shown) == "record");
    CHECK(kind(shown + ".") == "record"); // copied with the full stop after it
    CHECK(kind(record.substr(0, 16)) == "record");
    CHECK(kind(promise) == "promise");
    CHECK(kind(promise.substr(0, 32)) == "promise");
    CHECK(kind(promise.substr(0, 16)) == "none"); // never shown
    CHECK(kind(sha256_of_file(job.job + "/" + sound).substr(0, 32)) == "file");
    CHECK(kind(proof["comparison"]["before_files"][0]["sha256"]) == "file");
    CHECK(kind(std::string(64, '0')) == "none");
    const json of_promise = job.verified({"--digest", promise});
    CHECK(holds(of_promise["covers"], sound));
    CHECK(holds(of_promise["added_since"], "visits/after/sounds/001.wav"));
    CHECK(!holds(of_promise["added_since"], sound));
    require_done(bench, {"exclude", job.job, "after/S1-M3-01", "--because", "a lorry passed"});
    CHECK(holds(job.verified({"--digest", promise})["left_out_since"],
                "visits/after/takes/S1-M3-01.excluded.toml"));
    // The record was of an earlier state: told as such, with what came since.
    const json earlier = job.verified({"--digest", shown});
    CHECK(earlier["kind"] == "record");
    CHECK(holds(earlier["left_out_since"], "visits/after/takes/S1-M3-01.excluded.toml"));
    job.replace("job.toml", "12 cm", "6 cm"); // no state that ever was
    const Ran other = job.run({"verify", "--digest", shown});
    CHECK(other.code == 6);
    CHECK(has(other.out, "Intact"));
    CHECK(!has(other.out, "NOT INTACT"));
    CHECK(has(other.out, "NOT ONE OF THIS JOB AS IT IS NOW"));
    CHECK(job.run({"verify", "--digest", ""}).code == 2);
}

TEST_CASE("without a promise the record calls planned what job.toml says, and says so") {
    const Workbench bench;
    make_job(bench, false);
    const std::string html = bench.read("job/results/proof.html");
    CHECK(has(html, "planned is what job.toml says now"));
    CHECK(!has(html, "were not changed since"));
    const Forged job(bench);
    job.replace("job.toml", "4 kHz", "1 kHz");
    const json report = json::parse(job.run({"proof", "--format", "json"}).out);
    CHECK(has(table_of(report, "fixed")["rows"][0][0], "question"));
}

TEST_CASE("a job on a disk that may not be written gives the same figures, whatever responses lie there") {
    const Workbench bench;
    make_job(bench);
    const json honest = json::parse(bench.run({"proof", bench.path("job"), "--format", "json"}).out);
    const Forged forged(bench);
    speed_up_kept_response(forged, "response-after-S1-M1-01.wav");
    fs::permissions(forged.job, fs::perms::owner_read | fs::perms::owner_exec);
    const Ran ran = forged.run({"proof", "--into", forged.bench.path(""), "--format", "json"});
    fs::permissions(forged.job, fs::perms::owner_all);
    CAPTURE(ran.err);
    REQUIRE(ran.code == 0);
    CHECK(json::parse(ran.out)["comparison"]["bands"] == honest["comparison"]["bands"]);
    CHECK(has(json::parse(ran.out)["notes"].dump(), "not what the recording gives"));
}
