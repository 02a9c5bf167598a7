// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/document/one_page.hpp"
#include "proof/records/page.hpp"
#include "proof/text/numbers.hpp"
#include "samples/reading.hpp"
#include "samples/samples.hpp"

#include <doctest/doctest.h>

#include <array>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>

using namespace ebbmark;
using samples::has;

namespace {

const PageFacts facts{"0.1.0", "2026-11-25"};

std::string page_pdf(const CompareReport& report, const PageFacts& with = facts) {
    return document_pdf(page_document(report, with), Paper::a4, Pages::one);
}

std::string page_html(const CompareReport& report) {
    return document_html(page_document(report, facts));
}

std::string command_output(const std::string& command) {
    std::string output;
    FILE* pipe = popen(command.c_str(), "r");
    if (!pipe)
        return output;
    std::array<char, 4096> buffer{};
    for (std::size_t got; (got = fread(buffer.data(), 1, buffer.size(), pipe)) > 0;)
        output.append(buffer.data(), got);
    pclose(pipe);
    return output;
}

/// What a reader outside the program finds in the PDF: text in layout order, blanks for no-break spaces.
/// Empty where the reader is not installed.
std::string extracted(const std::string& pdf, const std::string& reader) {
    const auto path = std::filesystem::temp_directory_path() /
                      ("ebbmark-page-" + std::to_string(std::hash<std::string>{}(pdf)) + ".pdf");
    std::ofstream(path, std::ios::binary) << pdf;
    std::string text = command_output(reader + (reader == "pdftotext" ? " -layout '" : " '") + path.string() +
                                      "' " + (reader == "pdftotext" ? "- " : "") + "2>/dev/null");
    std::filesystem::remove(path);
    for (std::size_t at = text.find("\u00a0"); at != std::string::npos; at = text.find("\u00a0", at))
        text.replace(at, 2, " ");
    return text;
}

CompareReport crowded_report() {
    CompareReport report = samples::compare_report(BandWidth::third, 10, 20000);
    report.before = "Übungsraum vor dem Umbau im Erdgeschoss";
    report.after = samples::hostile_name;
    for (auto* files : {&report.before_files, &report.after_files}) {
        files->clear();
        for (int i = 0; i < 40; ++i)
            files->push_back(
                {"a/very/long/folder name/部屋 Größe " + std::to_string(i) + samples::hostile_name,
                 std::string(64, 'e')});
    }
    int number = 0;
    for (BandFinding& band : report.comparison.bands)
        band.notes = {UpperBoundsEntered{++number, 50}}; // no two of them alike
    return report;
}

/// Lines end wherever they may.
std::string without_blanks(std::string text) {
    std::erase_if(text, [](char c) { return c == ' ' || c == '\n'; });
    return text;
}

CompareReport eight_positions() {
    CompareReport report = samples::compare_report(BandWidth::third, 20, 10000);
    report.comparison.pairs = 8;
    for (auto* files : {&report.before_files, &report.after_files}) {
        files->clear();
        for (int i = 1; i <= 8; ++i)
            files->push_back({"after/S1-M" + std::to_string(i) + "-01.wav", std::string(64, 'd')});
    }
    return report;
}

std::vector<CompareReport> hard_cases() {
    CompareReport simulated = samples::longer_report();
    simulated.simulated = true;
    return {samples::compare_report(),
            samples::compare_report(BandWidth::octave, 63, 8000),
            samples::compare_report(BandWidth::third, 125, 125),
            samples::all_empty_report(),
            samples::nothing_shown_report(),
            simulated,
            crowded_report(),
            CompareReport{}};
}

} // namespace

TEST_CASE("the record is one page of A4 with its title, whatever it holds") {
    for (const CompareReport& report : hard_cases()) {
        const std::string pdf = page_pdf(report);
        CHECK(pdf.starts_with("%PDF-1."));
        const std::string info = extracted(pdf, "pdfinfo");
        if (info.empty()) {
            MESSAGE("pdfinfo is not installed: skipped");
            continue;
        }
        CHECK(has(info, "Before-and-after measurement record"));
        CHECK(has(info, "(A4)"));
        CHECK(info.find("Pages:           1\n") != std::string::npos);
        const std::string fonts = extracted(pdf, "pdffonts");
        CHECK(!has(fonts, " no  ")); // each font is embedded
    }
}

TEST_CASE("every figure of the comparison stands on the PDF page") {
    const CompareReport report = samples::compare_report();
    const std::string text = extracted(page_pdf(report), "pdftotext");
    if (text.empty()) {
        MESSAGE("pdftotext is not installed: skipped");
        return;
    }
    for (const BandFinding& band : report.comparison.bands) {
        if (!band.change_percent)
            continue;
        const std::string interval = with_minus_sign(signed_percent_text(*band.change_percent.low)) + " to " +
                                     with_minus_sign(signed_percent_text(*band.change_percent.high));
        CHECK_MESSAGE(has(text, interval), label(band.band));
        CHECK(has(text, seconds_text(*band.before_s)));
        CHECK(has(text, seconds_text(*band.after_s)));
        CHECK(has(text, with_minus_sign(signed_percent_text(*band.change_percent))));
        CHECK(has(text, percent_text(*band.could_show_percent)));
    }
    for (const char* part :
         {"no change shown", "shown unchanged", "not measurable", "≤ 0.19", "What it does not prove",
          "before/m1.wav", "61260-1", "Ebbmark 0.1.0 · 2026-11-25", "page 1 of 1", "4.2 (3.0 to 5.6)",
          "hearing protection"})
        CHECK_MESSAGE(has(text, part), part);
}

TEST_CASE("nothing on the page is cut off, and eight positions in third octaves are set in 7 points") {
    constexpr double width = 505, height = 764;
    for (const CompareReport& report : hard_cases())
        for (const Label& label :
             samples::shapes_on<Label>(one_page(page_document(report, facts), width, height).canvas)) {
            CHECK(label.at.y <= height + 0.01);
            const double length = text_width(label.text, label.style);
            const double left = label.style.anchor == Anchor::start    ? label.at.x
                                : label.style.anchor == Anchor::middle ? label.at.x - length / 2
                                                                       : label.at.x - length;
            CHECK_MESSAGE(left >= -1, label.text);
            CHECK_MESSAGE(left + length <= width + 1, label.text);
        }
    const Document document = page_document(eight_positions(), facts);
    std::string words;
    for (const Label& label : samples::shapes_on<Label>(one_page(document, width, height).canvas)) {
        // Keys under tables 6.84, what else there is 7: figures of 7.4 and 7.2 at 95 %.
        CHECK_MESSAGE(label.style.size >= 6.83, label.text);
        words += without_blanks(label.text);
    }
    // Whatever the document says stands there, but for the hashes' second half.
    for (const DocumentPart& part : document.sections.front().parts) {
        if (const auto* text = std::get_if<DocumentText>(&part))
            CHECK_MESSAGE(has(words, without_blanks(text->words)), text->words);
        if (const auto* columns = std::get_if<DocumentColumns>(&part))
            for (const auto& entry : columns->entries)
                for (const std::string& paragraph : entry.paragraphs)
                    CHECK_MESSAGE(has(words, without_blanks(paragraph)), paragraph);
    }
    for (const EvidenceFile& file : eight_positions().after_files) {
        CHECK(has(words, without_blanks(file.name)));
        CHECK(has(words, file.sha256.substr(0, 32)));
    }
}

TEST_CASE("few files are listed with whole digests, many with half of them and a count of the rest") {
    CompareReport few = samples::compare_report();
    few.before_files.resize(2);
    few.after_files.resize(2);
    const std::string text = extracted(page_pdf(few), "pdftotext");
    if (text.empty())
        return;
    CHECK(has(text, few.after_files[1].sha256));
    const std::string crowded = extracted(page_pdf(crowded_report()), "pdftotext");
    CHECK(has(crowded, std::string(32, 'e')));
    CHECK(!has(crowded, std::string(33, 'e')));
    CHECK(has(crowded, "31 more"));
    CHECK(has(crowded, "Further remarks without room here"));
}

TEST_CASE("remarks that fit are all printed") {
    CompareReport report = samples::compare_report();
    for (std::size_t i = 5; i < 9; ++i)
        report.comparison.bands[i].notes = {PositionsLeftOut{2, Empty::noise}};
    const std::string text = extracted(page_pdf(report), "pdftotext");
    if (!text.empty())
        CHECK(has(text, "63 to 125 Hz: 2 positions without"));
    CHECK(!has(text, "Further remarks"));
    const std::string html = page_html(report);
    CHECK(has(html, "63 to 125\u00a0Hz: 2 positions without a value in both states left out (noise)."));
    CHECK(!has(html, "Further remarks"));
}

TEST_CASE("type gets smaller before a remark is left out") {
    CompareReport report = eight_positions();
    std::size_t smaller = 0;
    for (std::size_t count = 1; count <= 20; ++count) {
        report.notes.assign(count, RestsOnListeningPlaces{2, 8});
        double least = 100;
        bool cut = false;
        for (const Label& label :
             samples::shapes_on<Label>(one_page(page_document(report, facts), 505, 764).canvas)) {
            least = std::min(least, label.style.size);
            cut = cut || has(label.text, "Further remarks");
        }
        CHECK((!cut || least < 6.5));
        smaller += least < 6.5;
    }
    CHECK(smaller > 0);
}

TEST_CASE("the HTML page is self-contained, escaped and says the same") {
    for (const CompareReport& report : hard_cases()) {
        const std::string html = page_html(report);
        for (const char* part : {"http://", "https://", "<script", "url(", "@import", "<link", "<img"}) {
            // The name of the drawing's vocabulary is an address that nothing loads.
            std::string searched = html;
            for (std::size_t at; (at = searched.find("http://www.w3.org/2000/svg")) != std::string::npos;)
                searched.erase(at, 26);
            CHECK_MESSAGE(!has(searched, part), part);
        }
        CHECK(!has(html, "\x1b"));
        CHECK(!has(html, "\xff"));
        CHECK(!has(html, "<b>"));
        CHECK(!has(html, "nan"));
        CHECK(has(html, "<h1>Before-and-after measurement record</h1>"));
    }
    const std::string html = page_html(samples::compare_report());
    for (const char* part : {">no change shown</td>", "−44 to +18", "Ebbmark 0.1.0", "lang=\"en\"",
                             "3f1c09b7a5d2e86410fe93bb27cc58d1094e7a6f5b2d8c3e1a90f7b6c5d4e3f6"})
        CHECK_MESSAGE(has(html, part), part);
}

TEST_CASE("a simulated record says so across the page, in both forms") {
    CompareReport report = samples::compare_report();
    CHECK(!has(page_html(report), "SIMULATED"));
    report.simulated = true;
    CHECK(has(page_html(report), "SIMULATED"));
    const std::string text = extracted(page_pdf(report), "pdftotext");
    if (!text.empty())
        CHECK(has(text, "SIMULATED"));
}

TEST_CASE("the record never claims more than it is") {
    for (const CompareReport& report : hard_cases())
        for (const std::string& page : {page_html(report), extracted(page_pdf(report), "pdftotext")}) {
            CHECK(!has(page, "certif"));
            CHECK(!has(page, "Certif"));
            CHECK(!has(page, "guarantee"));
        }
}

TEST_CASE("same comparison, date and version: same bytes, another date: other bytes") {
    const CompareReport report = samples::compare_report();
    CHECK(page_pdf(report) == page_pdf(report));
    CHECK(page_html(report) == page_html(report));
    CHECK(page_pdf(report) != page_pdf(report, {"0.1.0", "2026-11-26"}));
}
