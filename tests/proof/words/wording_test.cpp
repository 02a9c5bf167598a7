// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/words/wording.hpp"
#include "samples/job_samples.hpp"
#include "samples/reading.hpp"
#include "samples/samples.hpp"

#include <doctest/doctest.h>

using namespace ebbmark;
using samples::has;

namespace {

Comparison with_findings(Finding first, Finding second) {
    Comparison comparison;
    for (const Band& band : bands_between(BandWidth::octave, 63, 125)) {
        BandFinding finding;
        finding.band = band;
        finding.change_percent = {band.nominal_hz < 100 ? -30.0 : 12.0, -40, 20, {}};
        finding.finding = comparison.bands.empty() ? first : second;
        comparison.bands.push_back(finding);
    }
    return comparison;
}

} // namespace

TEST_CASE("the headline gives good and bad news alike and never reads no change shown as no change") {
    CHECK(headline(with_findings(Finding::shorter, Finding::longer)) ==
          "The sound dies away in 30\u00a0% less time after the treatment, in one band: 63\u00a0Hz. It takes "
          "12\u00a0% "
          "more time in one band: 125\u00a0Hz.");
    CHECK(has(headline(with_findings(Finding::no_change_shown, Finding::longer)),
              "No band is shown to be shorter."));
    CHECK(headline(with_findings(Finding::no_change_shown, Finding::shown_unchanged)) ==
          "This measurement does not show that the treatment changed the decay time in any band.");
    CHECK(has(headline(with_findings(Finding::not_measurable, Finding::not_measurable)),
              "from a single position"));
    CHECK(has(headline(samples::all_empty_report().comparison), "Nothing could be compared"));
}

TEST_CASE(
    "a note on several bands is told once, with its bands in front, and the whole comparison's come first") {
    const auto bands = bands_between(BandWidth::third, 50, 100);
    const std::vector<BandNotes> notes = {{bands[0], {"left out"}},
                                          {bands[1], {"left out", "noisy"}},
                                          {bands[2], {}},
                                          {bands[3],
                                           {"\x1b"
                                            "bad"}}};
    const auto grouped = grouped_notes(notes);
    REQUIRE(grouped.size() == 3);
    CHECK(grouped[0] == "50 to 63\u00a0Hz: left out");
    CHECK(grouped[1] == "63\u00a0Hz: noisy");
    CHECK(grouped[2].find('\x1b') == std::string::npos);
    const auto all = all_notes(samples::whole_comparison());
    REQUIRE(all.size() == 2);
    CHECK(has(all[0], "The headline is the change at these positions"));
    CHECK(all[1] == "80\u00a0Hz: 1 position without a value in both states left out (noise).");
}

TEST_CASE("how positions were compared is told as it was") {
    Comparison comparison;
    comparison.pairs = 1;
    CHECK(compared_positions(comparison) == "Before against after: one position");
    comparison.pairs = 6;
    CHECK(compared_positions(comparison) == "Before against after: 6 positions, each against itself");
    CHECK(has(comparison_method(comparison), "At each position") == false);
    CHECK(has(comparison_method(comparison), "at each position the logarithm of the ratio"));
    CHECK(!has(comparison_method(comparison), "tested alone"));
    comparison.paired = false;
    comparison.question = QuestionFinding{};
    CHECK(has(compared_positions(comparison), "at least 6 responses a state, not paired"));
    CHECK(has(comparison_method(comparison), "Welch's t"));
    CHECK(has(comparison_method(comparison), "The question was tested alone at 5\u00a0%"));
    CHECK(metric_text(Metric::t30) == "T30");
    CHECK(metric_text(Metric::t20) == "T20");
}

TEST_CASE("each reason for an empty value is explained once, others are not") {
    const auto reasons = reasons_in(samples::whole_comparison().comparison);
    CHECK(reasons == std::set<Empty>{Empty::filter, Empty::source});
    CHECK(reasons_sentence(reasons) ==
          "Empty where it cannot be known: filter = shorter than the band filter can show; "
          "source = the test signal has nothing there.");
    CHECK(reasons_sentence({}).empty());
}
