// SPDX-License-Identifier: GPL-3.0-or-later
// Promise, proof and bundle of jobs that strain them.
#include "files/archive.hpp"
#include "hostile_jobs.hpp"
#include "proof/text/numbers.hpp"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <optional>

using namespace ebbmark;
using nlohmann::json;

namespace {

bool has(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

/// Standard output and error of a shell command; nothing where its program is not installed.
std::optional<std::string> output_of(const std::string& program, const std::string& arguments) {
    if (std::system(("command -v " + program + " >/dev/null 2>&1").c_str()) != 0) {
        MESSAGE(program << " is not installed: skipped");
        return {};
    }
    std::string output;
    FILE* pipe = popen((program + " " + arguments + " 2>&1").c_str(), "r");
    REQUIRE(pipe);
    std::array<char, 4096> buffer{};
    for (std::size_t got; (got = fread(buffer.data(), 1, buffer.size(), pipe)) > 0;)
        output.append(buffer.data(), got);
    pclose(pipe);
    return output;
}

/// Blanks for no-break spaces, as a reader sees them.
std::string with_blanks(std::string text) {
    for (std::size_t at; (at = text.find("\u00a0")) != text.npos;)
        text.replace(at, 2, " ");
    return text;
}

std::string text_of_pdf(const std::string& path) {
    const auto text = output_of("pdftotext", "-layout '" + path + "' -");
    return text ? with_blanks(*text) : "";
}

/// For looking at the pages: EBBMARK_PAGES names a folder that they are copied to.
void show(const std::string& from, const std::string& name) {
    if (const char* folder = std::getenv("EBBMARK_PAGES"))
        std::filesystem::copy_file(from, std::filesystem::path(folder) / name,
                                   std::filesystem::copy_options::overwrite_existing);
}

/// The proof of a hostile job, and what the PDF says.
struct Made {
    json report;
    std::string text, html;
};

Made made_proof(const Workbench& bench, const std::string& name,
                const std::vector<std::string>& further = {}) {
    std::vector<std::string> words = {"proof", bench.path(name), "--format", "json"};
    words.insert(words.end(), further.begin(), further.end());
    const Ran ran = bench.run(words);
    CAPTURE(ran.err);
    REQUIRE(ran.code == 0);
    Made made{json::parse(ran.out), "", bench.read(name + "/results/proof.html")};
    made.text = text_of_pdf(bench.path(name + "/results/proof.pdf"));
    for (const char* page : {"proof.pdf", "proof.html", "promise.pdf", "promise.html"})
        if (std::filesystem::exists(bench.path(name + "/results/" + page)))
            show(bench.path(name + "/results/" + page), name + "-" + page);
    return made;
}

void check_pdf(const std::string& path) {
    CHECK(std::filesystem::file_size(path) < 2'000'000);
    if (const auto checked = output_of("qpdf", "--check '" + path + "'")) {
        CAPTURE(*checked);
        CHECK(has(*checked, "No syntax or stream encoding errors found"));
        CHECK(!has(*checked, "WARNING"));
    }
    if (const auto fonts = output_of("pdffonts", "'" + path + "'"))
        CHECK(!has(*fonts, " no  ")); // each font is embedded
}

void check_html(const std::string& path, const std::string& html) {
    CHECK(html.size() < 3'000'000);
    std::string searched = html;
    // The name of the drawings' vocabulary is an address that nothing loads.
    for (std::size_t at; (at = searched.find("http://www.w3.org/2000/svg")) != searched.npos;)
        searched.erase(at, 26);
    for (const char* part :
         {"http://", "https://", "<script", "url(", "@import", "<link", "nan", "\x1b", "certif"})
        CHECK_MESSAGE(!has(searched, part), part);
    if (const auto checked = output_of("tidy", "-q -e --drop-empty-elements no '" + path + "'")) {
        // Tidy knows no role and title inside SVG; everything else that it names is a mistake.
        CAPTURE(*checked);
        CHECK(!has(*checked, "Error:"));
    }
}

/// What must stand in each record.
std::vector<std::string> expected_in(const std::string& name) {
    if (name == "one-position")
        return {"Before against after: one position", "holds for this place only"};
    if (name == "no-prediction")
        return {"Sealed by the contractor only"};
    if (name == "no-dimensions")
        return {"No sketch", "no absorption area can be told"};
    if (name == "no-modes")
        return {"room mode"};
    if (name == "20-positions")
        return {"S4-M5", "42 takes made"};
    if (name == "12-traps")
        return {"6.2 kg of wool weighed in", "trap 12"};
    if (name == "long-names")
        return {"Zwischengang C", "Низкие частоты", "Χαμηλών"};
    if (name == "spoiled-takes")
        return {"left out", "a lorry drove past", "clipping"};
    if (name == "no-change")
        return {"That is not proof of sameness"};
    if (name == "not-met")
        return {"What was agreed: not met"};
    if (name == "third-visit")
        return {"Visit after against before"};
    return {"Before-and-after measurement record"};
}

/// A figure as it is printed.
std::string figure(const json& value, std::string (*text)(double)) {
    return value.is_null() ? "–" : with_minus_sign(text(value.get<double>()));
}

std::string interval(const json& object, const std::string& name, const std::string& unit,
                     std::string (*text)(double)) {
    const json &low = object[name + "_low_" + unit], &high = object[name + "_high_" + unit];
    return low.is_null() || high.is_null() ? "–" : figure(low, text) + " to " + figure(high, text);
}

const json& table_of(const json& report, const std::string& name) {
    for (const json& table : report["tables"])
        if (table["name"] == name)
            return table;
    FAIL("no table " << name);
    return report;
}

/// Whether the cells stand in this order on one line of the text.
bool on_one_line(const std::string& text, const json& cells) {
    for (std::size_t from = 0; from < text.size();) {
        const std::size_t to = std::min(text.find('\n', from), text.size());
        std::size_t at = from;
        bool all = true;
        for (const json& cell : cells) {
            const std::string words = with_blanks(cell.get<std::string>());
            at = text.find(words, at);
            all = all && at != text.npos && at + words.size() <= to;
            if (!all)
                break;
            at += words.size();
        }
        if (all)
            return true;
        from = to + 1;
    }
    return false;
}

} // namespace

TEST_CASE("hostile jobs give whole documents") {
    for (const std::string& name : hostile_jobs()) {
        CAPTURE(name);
        const Workbench bench;
        make_hostile_job(bench, name);
        const Made made = made_proof(bench, name);
        check_pdf(bench.path(name + "/results/proof.pdf"));
        check_html(bench.path(name + "/results/proof.html"), made.html);
        for (const std::string& part : expected_in(name))
            if (!made.text.empty()) {
                std::string joined = made.text; // words may stand on two lines
                CHECK_MESSAGE((has(joined, part) || has(with_blanks(made.html), part)), part);
            }
        CHECK(!has(made.text, "nan"));
        const bool intact = bench.run({"verify", bench.path(name)}).code == 0;
        CHECK(has(made.html, "NOT INTACT") == !intact);
    }
}

TEST_CASE("the same job gives the same bytes") {
    const Workbench bench;
    make_hostile_job(bench, "simulated");
    const Made made = made_proof(bench, "simulated");
    const std::string pdf = bench.read("simulated/results/proof.pdf");
    const Made again = made_proof(bench, "simulated");
    CHECK(again.report == made.report);
    CHECK(bench.read("simulated/results/proof.pdf") == pdf);
    CHECK(again.html == made.html);
}

TEST_CASE("a simulated job is marked on each page") {
    const Workbench bench;
    make_hostile_job(bench, "simulated");
    const Made made = made_proof(bench, "simulated");
    CHECK(has(made.html, "SIMULATED"));
    std::size_t pages = 0;
    for (std::size_t from = 0; from + 1 < made.text.size(); ++pages) {
        const std::size_t to = std::min(made.text.find('\f', from), made.text.size());
        CHECK(has(made.text.substr(from, to - from), "SIMULATED"));
        from = to + 1;
    }
    CHECK((made.text.empty() || pages >= 5));
}

namespace {

/// The number that a cell begins with, whichever sign it uses.
double shown(std::string cell) {
    if (cell.starts_with("\u2212"))
        cell.replace(0, 3, "-");
    return std::stod(cell);
}

} // namespace

TEST_CASE("every number of the record's tables is the one in the JSON, and stands on the paper") {
    const Workbench bench;
    make_hostile_job(bench, "12-traps");
    const Made made = made_proof(bench, "12-traps");
    const json& bands = table_of(made.report, "bands")["rows"];
    const json& found = made.report["comparison"]["bands"];
    REQUIRE(bands.size() == found.size());
    for (std::size_t i = 0; i < bands.size(); ++i) {
        const json &row = bands[i], &band = found[i];
        CAPTURE(band.dump());
        CHECK(row[1] == figure(band["before_s"], seconds_text));
        if (!band["change_percent"].is_null()) {
            CHECK(row[2] == figure(band["after_s"], seconds_text));
            // The JSON holds four digits, the paper what the size asks for: half a per cent at most between.
            const std::string span = row[4];
            CHECK(std::abs(shown(row[3]) - band["change_percent"].get<double>()) <= 0.51);
            CHECK(std::abs(shown(span) - band["change_low_percent"].get<double>()) <= 0.51);
            CHECK(std::abs(shown(span.substr(span.find(" to ") + 4)) -
                           band["change_high_percent"].get<double>()) <= 0.51);
        }
        CHECK(row[5] == figure(band["could_show_percent"], percent_text));
        CHECK(row[6] == band["finding"]);
        CHECK(row[7] == figure(band["predicted_s"], seconds_text));
    }
    const json& modes = table_of(made.report, "modes")["rows"];
    REQUIRE(modes.size() == made.report["comparison"]["modes"].size());
    for (std::size_t i = 0; i < modes.size(); ++i) {
        const json& mode = made.report["comparison"]["modes"][i];
        CHECK(modes[i][2] == figure(mode["before_t60_s"], seconds_text));
        CHECK(modes[i][3] == interval(mode, "before_t60", "s", seconds_text));
        CHECK(modes[i][6] == figure(mode["change_percent"], signed_percent_text));
        CHECK(modes[i][8] == mode["finding"]);
    }
    if (made.text.empty())
        return;
    for (const char* name : {"bands", "general", "modes", "bass-response", "clarity", "quality"})
        for (const json& row : table_of(made.report, name)["rows"]) {
            CAPTURE(name);
            CAPTURE(row.dump());
            CHECK(on_one_line(made.text, row));
        }
    CHECK(has(made.text, made.report["digest"].get<std::string>()));
    for (const json& row : table_of(made.report, "evidence")["rows"])
        CHECK(on_one_line(made.text, row));
}

TEST_CASE("the promise fixes question and prediction, and the client's copy proves it") {
    const Workbench bench;
    const std::string job = bench.path("not-met");
    make_hostile_job(bench, "not-met");
    const json first = json::parse(bench.run({"promise", job, "--format", "json"}).out);
    const std::string digits = first["digest_on_paper"];
    CHECK(digits.size() == 39);
    // What job.toml says after the build changes neither question nor promise.
    std::string toml = bench.read("not-met/job.toml");
    toml.replace(toml.find("\"40 Hz\""), 7, "\"50 Hz\"");
    bench.write("not-met/job.toml", toml);
    const json again = json::parse(bench.run({"promise", job, "--format", "json"}).out);
    CHECK(again["digest"] == first["digest"]);
    const json compared = json::parse(bench.run({"compare", job, "--format", "json"}).out);
    CHECK(compared["question"]["fixed"] == "in the promise");
    CHECK(has(compared["question"]["text"], "40 to 200 Hz"));
    const auto verified = bench.run({"verify", job, "--digest", digits, "--format", "json"});
    CHECK(verified.code == 0);
    CHECK(json::parse(verified.out)["promise"] == "promises/001.toml");
    std::string other = digits;
    other[0] = other[0] == '0' ? '1' : '0';
    CHECK(bench.run({"verify", job, "--digest", other}).code == 6);
    CHECK(bench.run({"verify", job, "--digest", digits.substr(0, 9)}).code == 6);
    const Made made = made_proof(bench, "not-met");
    CHECK(made.report["promise"]["digest"] == first["digest"]);
    CHECK(has(made.html, digits));
    if (!made.text.empty())
        CHECK(has(made.text, digits));
}

TEST_CASE("without a promise before the build none is made afterwards, and the record says so") {
    const Workbench bench;
    make_hostile_job(bench, "no-prediction");
    const auto late = bench.run({"promise", bench.path("no-prediction")});
    CHECK(late.code == 3);
    CHECK(has(late.err, "would prove nothing"));
    CHECK(has(made_proof(bench, "no-prediction").html, "Sealed by the contractor only"));
}

TEST_CASE("a bundle gives the same findings, byte for byte, in another folder") {
    const Workbench bench, elsewhere;
    make_hostile_job(bench, "spoiled-takes");
    const std::string job = bench.path("spoiled-takes"), zip = bench.path("out.zip");
    REQUIRE(bench.run({"bundle", job, zip}).code == 0);
    const std::string bytes = bench.read("out.zip");
    CHECK(bench.run({"bundle", job, zip}).code == 3);
    REQUIRE(bench.run({"bundle", job, zip, "--force"}).code == 0);
    CHECK(bench.read("out.zip") == bytes);
    CHECK(bench.run({"verify", zip}).code == 0);
    unpack_archive(zip, elsewhere.path(""));
    CHECK(bench.run({"verify", elsewhere.path("")}).code == 0);
    const auto again = elsewhere.run({"compare", elsewhere.path("job"), "--format", "json"});
    CHECK(again.out == elsewhere.read("findings.json"));
    CHECK(again.out == bench.run({"compare", job, "--format", "json"}).out);
    CHECK(has(elsewhere.read("README.txt"), "sha256sum -c evidence.sha256"));
    if (const auto listed = output_of("unzip", "-tq '" + zip + "'"))
        CHECK(has(*listed, "No errors detected"));
    std::string broken = bytes;
    broken[broken.size() / 2] = static_cast<char>(broken[broken.size() / 2] ^ 1);
    CHECK(bench.run({"verify", bench.write("broken.zip", broken)}).code != 0);
}

TEST_CASE("a redacted record names nobody, and says that it is redacted") {
    const Workbench bench;
    make_hostile_job(bench, "spoiled-takes");
    const auto ran =
        bench.run({"proof", bench.path("spoiled-takes"), "--redacted", "--data", bench.path("data")});
    CAPTURE(ran.err);
    REQUIRE(ran.code == 0);
    const std::string html = bench.read("spoiled-takes/results/proof-redacted.html");
    for (const char* secret : {"Nobody", "Booth", "0000, invented", "lorry", ".wav</td"})
        CHECK_MESSAGE(!has(html, secret), secret);
    CHECK(has(html, "Redacted copy"));
    CHECK(!has(bench.read("data/proof.json"), "Nobody"));
}

TEST_CASE("data files hold every table, chart and response") {
    const Workbench bench;
    make_hostile_job(bench, "one-position");
    REQUIRE(bench.run({"proof", bench.path("one-position"), "--data", bench.path("data")}).code == 0);
    for (const char* name : {"proof.json", "comparison.csv", "bands.csv", "takes.csv", "evidence.csv",
                             "decay.svg", "decay.png", "room.svg", "response-before-S1-M1-01.wav"})
        CHECK_MESSAGE(std::filesystem::exists(bench.path(std::string("data/") + name)), name);
    CHECK(bench.run({"proof", bench.path("one-position"), "--data", bench.path("data")}).code == 3);
}

TEST_CASE("the invoice line is one sentence with the finding, whatever it is") {
    const Workbench bench;
    make_hostile_job(bench, "no-change");
    const auto ran = bench.run({"proof", bench.path("no-change"), "--invoice-line"});
    REQUIRE(ran.code == 0);
    CHECK(has(ran.out, "no change shown"));
    CHECK(std::count(ran.out.begin(), ran.out.end(), '\n') == 1);
    CHECK(!std::filesystem::exists(bench.path("no-change/results/proof.pdf")));
}

TEST_CASE("letter paper and imperial units") {
    const Workbench bench;
    make_hostile_job(bench, "12-traps");
    const Made made = made_proof(bench, "12-traps", {"--paper", "letter", "--units", "imperial"});
    if (const auto info = output_of("pdfinfo", "'" + bench.path("12-traps/results/proof.pdf") + "'"))
        CHECK(has(*info, "612 x 792 pts (letter)"));
    CHECK(has(made.html, "ft²"));
    // Source: closed form. 4.6 m is 15 ft 1.1 in; 4.6 × 3.1 × 2.5 m³ over 0.3048³ is 1259 ft³.
    CHECK(has(with_blanks(made.html), "15 ft 1 in"));
    CHECK(has(with_blanks(made.html), "1259 ft³"));
    CHECK(!has(made.html, "m³<"));
    // What hovering over the added absorption shows is an area.
    const std::string text = with_blanks(made.html);
    const auto hover = text.find("<title>measured 100 Hz: ");
    REQUIRE(hover != std::string::npos);
    CHECK(has(text.substr(hover, text.find("</title>", hover) - hover), "ft²"));
}

TEST_CASE("photos stand in the record, small and without what the camera wrote, a damaged one is named") {
    const Workbench bench;
    make_hostile_job(bench, "one-position");
    REQUIRE(bench.run({"proof", bench.path("one-position"), "--data", bench.path("data")}).code == 0);
    std::filesystem::create_directory(bench.path("one-position/photos"));
    bench.write("one-position/photos/room.png", bench.read("data/decay.png"));
    bench.write("one-position/photos/broken.jpg", "no picture");
    const Made made = made_proof(bench, "one-position");
    CHECK(has(made.html, "src=\"data:image/jpeg;base64,/9j/"));
    CHECK(has(made.html, "broken.jpg is named in the job but could not be shown"));
    check_pdf(bench.path("one-position/results/proof.pdf"));
    if (const auto images =
            output_of("pdfimages", "-list '" + bench.path("one-position/results/proof.pdf") + "'"))
        CHECK(has(*images, "jpeg"));
}
