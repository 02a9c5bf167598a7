// SPDX-License-Identifier: GPL-3.0-or-later
// Jobs that are valid and strange, through every command that takes a job: an answer or a sentence, never a
// fault of the program. EBBMARK_HOSTILE=all tries those that take minutes, too; the name of one, that alone.
#include "hostile_jobs.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <cstdlib>
#include <functional>

using namespace ebbmark;
using nlohmann::json;
namespace fs = std::filesystem;

namespace {

/// What stands in job.toml and how often it is measured; as it stands, nothing is strange.
struct Strange {
    std::string title = "Booth, invented", client = "Nobody", trap = "trap";
    std::string size = "volume = \"30 m3\"\nsurface = \"59 m2\"\n"; ///< no box: its modes take a while
    std::string places; ///< all [[source]] and [[microphone]]; empty: two places, three microphones
    std::vector<std::string> positions = {"S1-M1", "S1-M2", "S1-M3"};
    int traps = 2, layers = 2;
    std::string layer = "material = \"stone wool 45\"\nthickness = \"2 cm\"\n";
    std::string face = "face_width = \"1.2 m\"\nface_height = \"2 m\"\nalong = \"0.4 m\"\nup = \"0.2 m\"\n";
    std::string question = "kind = \"bands\"\nfrom = \"500 Hz\"\nto = \"4 kHz\"\n";
    std::string protocol; ///< of the visit after, in place of the blank one
    std::function<void(const Workbench&)> spoil = [](const Workbench&) {}; ///< once both visits are measured
};

std::string text_of(const Strange& job) {
    std::string text = fmt::format("[job]\ntitle = \"{}\"\nclient = \"{}\"\ncontractor = \"{}\"\n"
                                   "[question]\n{}[room]\n{}",
                                   job.title, job.client, job.client, job.question, job.size);
    text += !job.places.empty() ? job.places
                                : "[[source]]\nid = \"S1\"\nat = [0.5, 0.5, 1.2]\n"
                                  "[[microphone]]\nid = \"M1\"\nat = [2.5, 1.5, 1.2]\nlistening = true\n"
                                  "[[microphone]]\nid = \"M2\"\nat = [3.0, 2.0, 1.4]\n"
                                  "[[microphone]]\nid = \"M3\"\nat = [3.5, 0.7, 1.1]\n";
    for (int trap = 1; trap <= job.traps; ++trap) {
        text += fmt::format("[[trap]]\nname = \"{} {}\"\nwall = \"rear\"\n{}", job.trap, trap, job.face);
        for (int layer = 0; layer < job.layers; ++layer)
            text += "[[trap.layer]]\n" + job.layer;
    }
    return text;
}

std::string long_name(std::size_t letters) {
    return std::string(letters, 'W');
}

std::string box(const std::string& length, const std::string& width, const std::string& height) {
    return fmt::format("length = \"{}\"\nwidth = \"{}\"\nheight = \"{}\"\n", length, width, height);
}

/// A hundred positions: ten sources by ten microphones.
Strange hundred_positions() {
    Strange job;
    job.positions.clear();
    for (int i = 1; i <= 10; ++i)
        job.places += fmt::format("[[source]]\nid = \"S{}\"\nat = [0.3, {}, 1.2]\n", i, 0.25 * i);
    for (int i = 1; i <= 10; ++i)
        job.places += fmt::format("[[microphone]]\nid = \"M{}\"\nat = [2.5, {}, 1.2]\n", i, 0.25 * i);
    for (int i = 1; i <= 100; ++i)
        job.positions.push_back(fmt::format("S{}-M{}", (i - 1) / 10 + 1, (i - 1) % 10 + 1));
    return job;
}

Strange feet_and_inches() {
    Strange job;
    job.size = box("13 ft 1 1/2 in", "9 ft 10 in", "98 1/2 in");
    job.places = "[[source]]\nid = \"S1\"\nat = [\"20 in\", \"1 ft 8 in\", \"4 ft\"]\n"
                 "[[microphone]]\nid = \"M1\"\nat = [\"8 ft 2 in\", \"5 ft\", \"3 ft 11 5/8 in\"]\n"
                 "[[microphone]]\nid = \"M2\"\nat = [\"10 ft\", \"80 in\", \"1.4 m\"]\n"
                 "[[microphone]]\nid = \"M3\"\nat = [\"140 in\", \"28 in\", \"110 cm\"]\n";
    job.face = "face_width = \"4 ft\"\nface_height = \"6 ft 6 in\"\nalong = \"16 in\"\nup = \"8 in\"\n";
    job.layer = "material = \"stone wool 45\"\nthickness = \"3/4 in\"\n";
    job.traps = 1;
    return job;
}

/// The widest figures that job.toml and the protocol let through; once both visits are measured, a second
/// trap in the place of the first.
Strange absurd_numbers() {
    Strange job;
    job.size = box("100 m", "100 m", "100 m"); // flat ones have few modes, which take minutes
    job.places = "[[source]]\nid = \"S1\"\nat = [0.02, 0.02, 0.02]\nlowest = \"20 kHz\"\n"
                 "[[microphone]]\nid = \"M1\"\nat = [99.98, 0.48, 99.98]\nlistening = true\n"
                 "[[microphone]]\nid = \"M2\"\nat = [99.96, 0.48, 99.98]\n"
                 "[[microphone]]\nid = \"M3\"\nat = [0.04, 0.02, 0.02]\n";
    job.face = "face_width = \"0.01 m\"\nface_height = \"100 m\"\n";
    job.layer = "material = \"nobody's wool\"\nthickness = \"5 m\"\nfree_thickness = \"5 m\"\n"
                "density = \"3000 kg/m3\"\nflow_resistivity = 1e7\n";
    job.layers = 3;
    job.protocol = "[visit]\ndate = \"9999-12-31\"\nnotes = \"\"\n[air]\ntemperature_start = -10\n"
                   "temperature_end = 45\nhumidity_start = 1\nhumidity_end = 100\n[room]\npersons = 1000\n";
    job.traps = 1;
    Strange crowded = job;
    crowded.traps = 2;
    job.spoil = [text = text_of(crowded)](const Workbench& bench) { bench.write("job/job.toml", text); };
    return job;
}

Strange strange_job(const std::string& name) {
    Strange job;
    if (name == "marks") {
        job.title = R"(<b>&amp;"'\\ $(true) `true` %s {} {0} ${x} ]]> <!-- --> \u0022)";
        std::erase(job.title, '"');
        job.client = R"(a,b;c\td\n\ne = [\"f\"]\r\n# g)";
        job.trap = R"(<script>alert('x')</script> & \u202egnp.exe\u202c \u200b\ufeff)";
    }
    if (name == "tongues") {
        job.title = "غرفة التدريب, חדר חזרות, 練習室, ห้องซ้อม, e\u0301e\u0301";
        job.client = "🎸👩‍👩‍👧‍👦";
        job.trap = "Ловушка 低音トラップ مصيدة";
    }
    if (name == "long names")
        job.title = job.client = job.trap = long_name(300);
    if (name == "fifty layers")
        job.layers = 50;
    if (name == "hundred traps")
        job.traps = 100;
    if (name == "hundred positions")
        return hundred_positions();
    if (name == "feet and inches")
        return feet_and_inches();
    if (name == "absurd numbers")
        return absurd_numbers();
    if (name == "one mode asked")
        job.question = "kind = \"modes\"\nhz = [41.8]\n";
    if (name == "no takes")
        job.positions.clear();
    if (name == "missing sound")
        job.spoil = [](const Workbench& bench) { fs::remove(bench.path("job/visits/after/sounds/001.wav")); };
    if (name == "empty sound")
        job.spoil = [](const Workbench& bench) {
            fs::permissions(bench.path("job/visits/after/sounds/001.wav"), fs::perms::owner_all);
            bench.write("job/visits/after/sounds/001.wav", "");
        };
    if (name == "empty take")
        job.spoil = [](const Workbench& bench) {
            fs::permissions(bench.path("job/visits/after/takes/S1-M1-01.toml"), fs::perms::owner_all);
            bench.write("job/visits/after/takes/S1-M1-01.toml", "");
        };
    return job;
}

void make_strange_job(const Workbench& bench, const Strange& job) {
    REQUIRE(bench.run({"new", bench.path("job")}).code == 0);
    bench.write("job/job.toml", text_of(job));
    std::uint64_t place = 1;
    for (const char* visit : {"before", "after"})
        for (const std::string& position : job.positions) {
            const auto sound = invented_response(std::string(visit) == "before" ? 1 : 0.6, place++);
            const Ran ran = bench.run({"import", bench.path("job"), visit,
                                       bench.write("sound.wav", float_wav(sound, 1, 24000)), position});
            CAPTURE(ran.err);
            REQUIRE(ran.code == 0);
        }
    if (!job.protocol.empty())
        bench.write("job/visits/after/visit.toml", job.protocol);
    job.spoil(bench);
}

/// Every command that takes a job; JOB and HERE stand for its folder and that of the bench.
const std::vector<std::vector<std::string>>& commands() {
    static const std::vector<std::vector<std::string>> all = {
        {"next", "JOB"},
        {"next", "JOB", "--format", "json"},
        {"next", "JOB", "--format", "csv"},
        {"verify", "JOB"},
        {"verify", "JOB", "--format", "json"},
        {"verify", "JOB", "--digest", "0123 4567 89ab cdef 0123 4567 89ab cdef", "--format", "csv"},
        {"predict", "JOB", "--keep", "--format", "json"},
        {"predict", "JOB", "--as-built"},
        {"predict", "JOB", "--stored"},
        {"predict", "JOB", "--format", "csv", "--picture", "HERE/predict.svg"},
        {"promise", "JOB", "--format", "json"},
        {"level", "JOB", "--device", "nowhere"},
        {"take", "JOB", "before", "S1-M1", "--device", "nowhere"},
        {"take", "JOB", "after", "--positions", "--device", "nowhere"},
        {"import", "JOB", "after", "HERE/sound.wav", "S1-M9"},
        {"import", "JOB", "after", "HERE/no-such.wav", "S1-M1"},
        {"import", "JOB", "after/../before", "HERE/sound.wav", "S1-M1"},
        {"decay", "JOB", "--visit", "before", "--format", "json"},
        {"decay", "JOB", "--visit", "after", "--bands", "octave", "--picture", "HERE/decay.png"},
        {"decay", "JOB", "--visit", "no such", "--format", "csv"},
        {"waterfall", "JOB", "--visit", "before", "--position", "S1-M1", "--picture", "HERE/waterfall.png"},
        {"waterfall", "JOB", "--visit", "before", "--after", "after", "--position", "S1-M1", "--format",
         "json"},
        {"ringing", "JOB", "--visit", "before", "--format", "json", "--picture", "HERE/ringing.pdf"},
        {"ringing", "JOB", "--visit", "before", "--after", "after"},
        {"compare", "JOB"},
        {"compare", "JOB", "--format", "json", "--picture", "HERE/compare.svg"},
        {"compare", "JOB", "--format", "csv", "--from-visit", "after", "--to-visit", "before"},
        {"proof", "JOB", "--format", "json"},
        {"proof", "JOB", "--redacted", "--data", "HERE/data"},
        {"proof", "JOB", "--invoice-line"},
        {"proof", "JOB", "--force"},
        {"bundle", "JOB", "HERE/out.zip", "--format", "json"},
        {"verify", "HERE/out.zip"},
        {"exclude", "JOB", "before/S1-M1-01", "--because", "<b>\"'&\n\u202e"},
        {"exclude", "JOB", "../../S1-M1-01", "--because", "x"},
        {"next", "JOB"},
    };
    return all;
}

std::string filled(std::string word, const Workbench& bench) {
    if (word == "JOB")
        return bench.path("job");
    if (word.starts_with("HERE"))
        return bench.path(word.substr(5));
    return word;
}

/// Control characters and those that turn a line's direction; line breaks are ours.
bool has_wild_characters(const std::string& text) {
    for (const char letter : text)
        if (static_cast<unsigned char>(letter) < 32 && letter != '\n' && letter != '\r')
            return true;
    return text.find("\u202e") != text.npos;
}

/// A fault of the program is exit code 1; whatever else it ends with, it says why.
void check_answer(const Ran& ran, const std::vector<std::string>& words) {
    CAPTURE(fmt::format("{}", fmt::join(words, " ")));
    CAPTURE(ran.err.substr(0, 600));
    CHECK((ran.code == 0 || (ran.code >= 2 && ran.code <= 6)));
    CHECK((ran.code == 0 || ran.code == 6 || !ran.err.empty()));
    CHECK_FALSE(has_wild_characters(ran.out));
    CHECK_FALSE(has_wild_characters(ran.err));
    const bool wants_json = std::find(words.begin(), words.end(), "json") != words.end();
    if (wants_json && !ran.out.empty())
        CHECK(json::accept(ran.out));
}

std::vector<std::string> strange_jobs() {
    const char* asked = std::getenv("EBBMARK_HOSTILE");
    if (asked && std::string(asked) == "all")
        return {"marks",           "tongues",           "long names",     "fifty layers",   "hundred traps",
                "feet and inches", "hundred positions", "absurd numbers", "one mode asked", "no takes",
                "missing sound",   "empty sound",       "empty take"};
    if (asked)
        return {asked};
#ifdef __SANITIZE_ADDRESS__
    return {"no takes", "missing sound", "empty sound", "empty take"}; // fits take minutes with sanitizers
#else
    return {"marks", "absurd numbers", "no takes", "empty take"};
#endif
}

} // namespace

TEST_CASE("strange jobs get an answer or a sentence from every command") {
    for (const std::string& name : strange_jobs()) {
        CAPTURE(name);
        const Workbench bench;
        make_strange_job(bench, strange_job(name));
        std::size_t done = 0;
        for (const auto& command : commands()) {
            std::vector<std::string> words;
            for (const std::string& word : command)
                words.push_back(filled(word, bench));
            const Ran ran = bench.run(words);
            check_answer(ran, words);
            done += ran.code == 0;
        }
        MESSAGE(name << ": " << done << " of " << commands().size() << " commands done, the others refused");
    }
}

TEST_CASE("rooms, places and counts beyond the limits are refused with a sentence, by every command") {
    const std::pair<const char*, std::function<void(Strange&)>> beyond[] = {
        {"length", [](Strange& job) { job.size = box("0 m", "3 m", "3 m"); }},
        {"height", [](Strange& job) { job.size = box("3 m", "3 m", "-2 m"); }},
        {"width", [](Strange& job) { job.size = box("3 m", "1e300 m", "3 m"); }},
        {"length", [](Strange& job) { job.size = box("nan", "3 m", "3 m"); }},
        {"layers", [](Strange& job) { job.layers = 51; }},
        {"trap", [](Strange& job) { job.traps = 101; }},
        {"face_width", [](Strange& job) { job.face = "face_width = 0\nface_height = 1\n"; }},
        {"thickness", [](Strange& job) { job.layer = "material = \"air\"\nthickness = \"0 cm\"\n"; }},
        {"from", [](Strange& job) { job.question = "kind = \"bands\"\nfrom = \"0 Hz\"\nto = \"1 Hz\"\n"; }},
    };
    for (const auto& each : beyond) {
        const std::string key = each.first;
        Strange job;
        each.second(job);
        const Workbench bench;
        REQUIRE(bench.run({"new", bench.path("job")}).code == 0);
        bench.write("job/job.toml", text_of(job));
        for (const auto& command : commands()) {
            if (command[1] != "JOB")
                continue;
            std::vector<std::string> words;
            for (const std::string& word : command)
                words.push_back(filled(word, bench));
            const Ran ran = bench.run(words);
            check_answer(ran, words);
            CHECK(ran.code != 0);
            const std::string said = ran.err + ran.out;
            if (command[0] != "import" && command[0] != "take")
                CHECK_MESSAGE(said.find(key) != said.npos, said);
        }
    }
}
