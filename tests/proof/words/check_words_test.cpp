// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/words/check_words.hpp"
#include "proof/words/table.hpp"
#include "samples/reading.hpp"

#include <doctest/doctest.h>

#include <sstream>

using namespace ebbmark;
using samples::has;

namespace {

const std::vector<QualityCheck> checks = {
    {CheckName::clipping, 31, 0, "samples", CheckOutcome::rejected, "turn the gain down",
     "nothing of it is used", ""},
    {CheckName::hum, 8, 6, "dB", CheckOutcome::noted, "move cables", std::string(no_effect), "hum at 50 Hz"},
    {CheckName::distortion, 9, 6, "dB", CheckOutcome::noted, "fix what rattles", std::string(no_effect),
     "rattle at 84 Hz"},
    {CheckName::disturbance, 26, 20, "dB", CheckOutcome::widened, "wait for quiet", "50 Hz is left out",
     "a lorry"},
    {CheckName::drift, 1, 5, "ppm"}};

} // namespace

TEST_CASE("what one outcome found is one line, those of the same effect together") {
    CHECK(outcome_line(checks, CheckOutcome::noted) ==
          "noted: hum at 50 Hz, rattle at 84 Hz; nothing in the result depends on it");
    CHECK(outcome_line(checks, CheckOutcome::widened) == "widened: a lorry; 50 Hz is left out");
    CHECK(outcome_line({checks[4]}, CheckOutcome::held).empty());
    CHECK(outcome_line({checks[1]}, CheckOutcome::rejected).empty());
}

TEST_CASE("a check without a finding of its own is told by figure and limit") {
    const std::string line = outcome_line(checks, CheckOutcome::rejected);
    for (const char* part : {"clipping", "31", "0", "samples", "nothing of it is used"})
        CHECK_MESSAGE(has(line, part), part);
}

TEST_CASE("the gravest outcome comes first, and advice only where something depends on it") {
    const std::string text = outcomes_text(checks);
    CHECK(text.find("rejected") < text.find("widened"));
    CHECK(text.find("widened") < text.find("noted"));
    CHECK(has(text, "turn the gain down"));
    CHECK(has(text, "wait for quiet"));
    CHECK(!has(text, "move cables"));
    CHECK(!has(text, "drift"));
    CHECK(outcomes_text({checks[4]}).empty());
}

TEST_CASE("a table's columns stand under their heads, numbers right and words left") {
    CHECK(table_text({{"", "band", "Hz"}, {"", "finding", "", true}}, {{"40", "shorter"}, {"1000", "x"}}) ==
          "band  finding\n"
          "  Hz\n"
          "  40  shorter\n"
          "1000  x\n");
    const std::string grouped =
        table_text({{"", "a", ""}, {"modes", "found", ""}, {"modes", "expected", ""}}, {{"1", "2", "3"}});
    CHECK(grouped == "   modes\na  found  expected\n1      2         3\n");
    // Wide and combining characters take the columns that a terminal gives them.
    CHECK(table_text({{"", "x", ""}, {"", "y", ""}}, {{"部", "1"}, {"1", "2"}}) == " x  y\n部  1\n 1  2\n");
}
