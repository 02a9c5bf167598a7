// SPDX-License-Identifier: GPL-3.0-or-later
// Reviewed files of a whole result, compared byte by byte: whoever changes what people and programs read sees
// it as a difference in the commit. The values are those of tests/proof/samples, few and plain; all numbers
// in the files are rounded to four digits (or what print shows), so that the last bits, in which machines
// differ, do not reach them. After a wanted change: cmake --build BUILD --target update_goldens, then read
// the difference.
#include "proof/records/proof_document.hpp"
#include "proof/reports/compare_report.hpp"
#include "samples/job_samples.hpp"

#include <doctest/doctest.h>

#include <cstdlib>
#include <fstream>
#include <sstream>

using namespace ebbmark;

namespace {

/// The first line in which two texts differ, as a person finds it; empty where none does.
std::string first_difference(const std::string& golden, const std::string& made) {
    std::istringstream one(golden), other(made);
    std::string expected, actual;
    for (int number = 1;; ++number) {
        const bool more = static_cast<bool>(std::getline(one, expected)),
                   made_more = static_cast<bool>(std::getline(other, actual));
        if (!more && !made_more)
            return golden == made ? "" : "they differ in the line end at their end";
        if (!more)
            expected = "(no such line)";
        if (!made_more)
            actual = "(no such line)";
        if (expected != actual || more != made_more)
            return "line " + std::to_string(number) + "\n  golden: " + expected + "\n  now:    " + actual;
    }
}

void check_golden(const std::string& name, const std::string& made) {
    const std::string path = "tests/proof/golden/" + name;
    if (std::getenv("EBBMARK_UPDATE_GOLDENS")) {
        std::ofstream file(path, std::ios::binary);
        file << made;
        REQUIRE_MESSAGE(file.flush().good(), path);
        MESSAGE("written: " << path);
        return;
    }
    std::ifstream file(path, std::ios::binary);
    REQUIRE_MESSAGE(file.good(), path);
    std::ostringstream golden;
    golden << file.rdbuf();
    const std::string difference = first_difference(golden.str(), made);
    CHECK_MESSAGE(difference.empty(), name << " differs from its golden in " << difference);
}

} // namespace

TEST_CASE("golden: proof.json") {
    const ProofInput input = samples::proof_input();
    const Document document = proof_document(input);
    check_golden("proof.json", to_json(ProofReport{input, document, {"results/proof.pdf"}}));
}

TEST_CASE("golden: comparison.csv") {
    check_golden("comparison.csv", to_csv(samples::whole_comparison()));
}

TEST_CASE("golden: the text of compare") {
    check_golden("compare.txt", to_text(samples::whole_comparison()));
}

TEST_CASE("a difference from a golden is told by its first line") {
    CHECK(first_difference("a\nb\n", "a\nb\n").empty());
    CHECK(first_difference("a\nb\nc\n", "a\nx\ny\n") == "line 2\n  golden: b\n  now:    x");
    CHECK(first_difference("a\n", "a\nb\n") == "line 2\n  golden: (no such line)\n  now:    b");
    CHECK(first_difference("a\n\n", "a\n") == "line 2\n  golden: \n  now:    (no such line)");
    CHECK(!first_difference("a\n", "a").empty());
}
