// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/charts/pictures.hpp"
#include "proof/reports/waterfall_report.hpp"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>

using namespace ebbmark;

namespace {

WaterfallReport two_states() {
    WaterfallReport report{true, {}};
    for (const double t60_s : {0.9, 0.4}) {
        Signal signal{std::vector<double>(6000, 0.0), 3000};
        for (std::size_t n = 0; n < signal.size(); ++n) {
            const double t = static_cast<double>(n) / 3000;
            signal.samples[n] =
                std::exp(-3 * std::numbers::ln10 * t / t60_s) * std::cos(2 * std::numbers::pi * 42 * t);
        }
        report.entries.push_back({t60_s > 0.5 ? "<before>.wav" : "after.wav", 3000, make_waterfall(signal)});
    }
    return report;
}

bool has(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

} // namespace

TEST_CASE("a waterfall as JSON holds axes, levels, decay times and what the window resolves") {
    const std::string text = to_json(two_states());
    const auto json = nlohmann::json::parse(text);
    CHECK(json["ebbmark"] == "waterfall");
    CHECK(json["simulated"] == true);
    const auto& first = json["responses"][0];
    CHECK(first["time_s"].size() == 100);
    CHECK(first["resolution_hz"] > 2);
    CHECK(first["resolution_s"] > 0.2);
    const auto& one = first["frequencies"][50];
    CHECK(one["level_db"].size() == 100);
    CHECK((one["decay_s"].is_number() || one["empty"].contains("decay_s")));
}

TEST_CASE("a waterfall as CSV has one row per frequency and response, all equally long") {
    const std::string csv = to_csv(two_states());
    const auto rows = std::count(csv.begin(), csv.end(), '\n');
    CHECK(rows == 1 + 2 * 136); // 1/24 octaves from 10 to 500 Hz
    std::size_t start = 0, width = 0;
    while (start < csv.size()) {
        const std::size_t end = csv.find('\n', start);
        const auto commas =
            static_cast<std::size_t>(std::count(csv.begin() + static_cast<std::ptrdiff_t>(start),
                                                csv.begin() + static_cast<std::ptrdiff_t>(end), ','));
        width = width ? width : commas;
        CHECK(commas == width);
        start = end + 1;
    }
}

TEST_CASE("both states stand side by side with their resolution, names made harmless") {
    const std::string svg = picture_of(two_states(), ".svg");
    CHECK(has(svg, "&lt;before&gt;.wav"));
    CHECK(has(svg, "after.wav"));
    CHECK(has(svg, "what can be resolved"));
    CHECK(has(svg, "SIMULATED"));
    CHECK(has(picture_of(two_states(), ".pdf"), "%PDF"));
    CHECK(has(picture_of(two_states(), ".png"), "PNG"));
}
