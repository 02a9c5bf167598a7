// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "proof/charts/pictures.hpp"
#include "proof/draw/palette.hpp"
#include "proof/draw/render.hpp"
#include "relative.hpp"
#include "samples/samples.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <vector>

using namespace ebbmark;

namespace {

bool has(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

/// Whether every element is closed in order; enough of XML's rules for what the program writes.
bool is_well_formed(const std::string& xml) {
    std::vector<std::string> open;
    for (std::size_t at = xml.find('<'); at != std::string::npos; at = xml.find('<', at + 1)) {
        const std::size_t end = xml.find('>', at);
        if (end == std::string::npos)
            return false;
        const std::string tag = xml.substr(at + 1, end - at - 1);
        if (tag.starts_with("?") || tag.ends_with("/"))
            continue;
        if (tag.starts_with("/")) {
            if (open.empty() || open.back() != tag.substr(1))
                return false;
            open.pop_back();
        } else {
            open.push_back(tag.substr(0, tag.find(' ')));
        }
    }
    return open.empty();
}

/// Source: standard. WCAG 2.1, definitions of relative luminance and contrast ratio.
double contrast_on_white(const Colour& colour) {
    const auto linear = [](int channel) {
        const double c = channel / 255.0;
        return c <= 0.03928 ? c / 12.92 : std::pow((c + 0.055) / 1.055, 2.4);
    };
    const double luminance =
        0.2126 * linear(colour.red) + 0.7152 * linear(colour.green) + 0.0722 * linear(colour.blue);
    return 1.05 / (luminance + 0.05);
}

} // namespace

TEST_CASE(
    "every colour of text has a contrast of 4.5 on white, and before differs from after in grey print") {
    for (const Colour& colour :
         {palette::ink, palette::quiet, palette::before, palette::after, palette::third, palette::alarm})
        CHECK(contrast_on_white(colour) >= 4.5);
    // The same threshold that the standard asks of graphics next to each other would be 3; shape and dash
    // carry the rest.
    CHECK(contrast_on_white(palette::after) / contrast_on_white(palette::before) > 1.5);
    CHECK(contrast_on_white({255, 255, 255}) == relative(1));
    CHECK(contrast_on_white({0, 0, 0}) == relative(21));
}

TEST_CASE("charts are well-formed SVG whatever the names are") {
    DecayReport decay = samples::decay_report();
    decay.responses.push_back(decay.responses[0]);
    decay.responses[1].file = samples::hostile_name;
    CompareReport compare = samples::compare_report();
    compare.after = samples::hostile_name;
    for (const std::string& svg : {picture_of(decay, ".svg"), picture_of(compare, ".svg"),
                                   picture_of(samples::all_empty_report(), ".svg"),
                                   picture_of(CompareReport{}, ".svg"), picture_of(DecayReport{}, ".svg")}) {
        CHECK(is_well_formed(svg));
        CHECK(!has(svg, "nan"));
        CHECK(!has(svg, "inf"));
    }
}

TEST_CASE("a chart names its axes, units, series and the reasons for empty bands") {
    const std::string svg = picture_of(samples::compare_report(), ".svg");
    for (const char* part : {"Decay time in seconds", "Change in %", ">Hz<", ">before<", ">after<",
                             ">source<", ">31.5<", "≤ 0.19", "<title>after 63\u00a0Hz: 0.66 s</title>"})
        CHECK_MESSAGE(has(svg, part), part);
    const std::string decay = picture_of(samples::decay_report(), ".svg");
    for (const char* part : {">EDT<", ">T20<", ">T30<", "T20 63\u00a0Hz: 1.06 s (0.97 to 1.15)"})
        CHECK_MESSAGE(has(decay, part), part);
}

TEST_CASE("a simulated result says so in its picture") {
    CompareReport report = samples::compare_report();
    CHECK(!has(picture_of(report, ".svg"), "SIMULATED"));
    report.simulated = true;
    CHECK(has(picture_of(report, ".svg"), "SIMULATED"));
}

TEST_CASE("same chart, same bytes in every form") {
    const CompareReport report = samples::compare_report();
    for (const char* extension : {".svg", ".png", ".pdf"})
        CHECK(picture_of(report, extension) == picture_of(report, extension));
    CHECK(picture_of(report, ".png").starts_with("\x89PNG"));
    CHECK(picture_of(report, ".pdf").starts_with("%PDF-1."));
    CHECK(!has(picture_of(report, ".pdf"), "CreationDate"));
    CHECK_THROWS_AS(static_cast<void>(picture_of(report, ".gif")), Error);
}

TEST_CASE("lines are broken within their width and lose no word") {
    const TextStyle style{8, {}};
    const std::string text = "The sound dies away faster after the treatment in eight of the bands.";
    std::string joined;
    for (const std::string& line : broken_lines(text, style, 90)) {
        CHECK(text_width(line, style) <= 90.01);
        joined += (joined.empty() ? "" : " ") + line;
    }
    CHECK(joined == text);
    CHECK(text_width("aa", style) == relative(2 * text_width("a", style)));
}
