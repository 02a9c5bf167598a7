// SPDX-License-Identifier: GPL-3.0-or-later
#include "samples.hpp"

#include <cmath>

namespace ebbmark::samples {

const std::string hostile_name = "a\x1b[2J\n<b>&\"'\xe2\x80\xae\xff.wav";

BandDecay full_band(const Band& band) {
    BandDecay decay;
    decay.band = band;
    decay.edt_s = {0.61, 0.48, 0.79, {}};
    decay.t20_s = {0.64, 0.55, 0.76, {}};
    decay.t30_s = Measured::none(Empty::noise);
    decay.nonlinearity_permille = Measured::of(2.1);
    decay.curvature_percent = Measured::none(Empty::noise);
    decay.shape = DecayShape::single;
    decay.c50_db = Measured::of(4.1);
    decay.c80_db = Measured::of(7.9);
    decay.d50_percent = Measured::of(72);
    decay.ts_ms = Measured::of(41);
    decay.decay_range_db = Measured::of(41.3);
    decay.bandwidth_time = 18.6;
    return decay;
}

DecayReport decay_report(BandWidth width, double from_hz, double to_hz) {
    DecayEntry entry{"a.wav", 1, 48000, {0.0213, {}}};
    for (const Band& band : bands_between(width, from_hz, to_hz)) {
        BandDecay decay = full_band(band);
        const double time_s = 0.45 + 0.9 * std::exp(-band.exact_hz / 160);
        decay.edt_s = {time_s * 0.9, time_s * 0.75, time_s * 1.1, {}};
        decay.t20_s = {time_s, time_s * 0.92, time_s * 1.09, {}};
        if (band.nominal_hz > 50)
            decay.t30_s = {time_s * 1.04, time_s * 0.97, time_s * 1.12, {}};
        if (band.nominal_hz < 30) {
            for (Measured BandDecay::*member : {&BandDecay::edt_s, &BandDecay::t20_s, &BandDecay::t30_s})
                decay.*member = Measured::none(Empty::source);
        }
        if (band.nominal_hz == 8000) {
            decay.edt_s = decay.t20_s = decay.t30_s = Measured::none(Empty::filter);
            decay.at_most_s = 0.12;
        }
        entry.decay.bands.push_back(decay);
    }
    return {false, {entry}};
}

namespace {

BandFinding finding_of(const Band& band) {
    BandFinding finding;
    finding.band = band;
    finding.positions = 6;
    const double before_s = 0.45 + 0.9 * std::exp(-band.exact_hz / 160);
    const double change = -45 * std::exp(-std::pow(std::log2(band.exact_hz / 110), 2) / 3) - 1;
    finding.before_s = before_s;
    finding.after_s = before_s * (1 + change / 100);
    const double spread = 6 + 160 / std::sqrt(band.exact_hz);
    finding.change_percent = {change, change - spread * 0.8, change + spread, {}};
    finding.could_show_percent = spread * 1.3;
    finding.finding = change + spread < -2 ? Finding::shorter : Finding::no_change_shown;
    if (band.nominal_hz < 30) {
        finding.before_s = finding.after_s = finding.could_show_percent = {};
        finding.positions = 0;
        finding.change_percent = Measured::none(Empty::source);
        finding.finding = Finding::not_measurable;
    }
    if (band.nominal_hz == 2000)
        finding.finding = Finding::shown_unchanged;
    if (band.nominal_hz == 5000) {
        finding.after_s = finding.could_show_percent = {};
        finding.after_at_most_s = 0.19;
        finding.change_percent = Measured::none(Empty::filter);
        finding.finding = Finding::not_measurable;
    }
    if (finding.change_percent) {
        finding.added_area_m2 = {4.2, 3.0, 5.6, {}};
    }
    return finding;
}

std::vector<EvidenceFile> files(const std::string& state, int count) {
    std::vector<EvidenceFile> list;
    for (int i = 1; i <= count; ++i)
        list.push_back(
            {state + "/m" + std::to_string(i) + ".wav",
             "3f1c09b7a5d2e86410fe93bb27cc58d1094e7a6f5b2d8c3e1a90f7b6c5d4e3f" + std::to_string(i)});
    return list;
}

} // namespace

CompareReport compare_report(BandWidth width, double from_hz, double to_hz) {
    CompareReport report;
    report.before_files = files("before", 6);
    report.after_files = files("after", 6);
    report.volume_m3 = 35;
    report.comparison.pairs = 6;
    for (const Band& band : bands_between(width, from_hz, to_hz))
        report.comparison.bands.push_back(finding_of(band));
    return report;
}

CompareReport all_empty_report() {
    CompareReport report = compare_report();
    for (BandFinding& band : report.comparison.bands) {
        const Band kept = band.band;
        band = {};
        band.band = kept;
        band.change_percent = Measured::none(kept.nominal_hz < 100 ? Empty::noise : Empty::disturbed);
    }
    return report;
}

CompareReport longer_report() {
    CompareReport report = compare_report();
    for (BandFinding& band : report.comparison.bands) {
        if (!band.change_percent)
            continue;
        Measured& change = band.change_percent;
        change = {-*change.value, -*change.high, -*change.low, {}};
        band.after_s = *band.before_s * (1 + *change.value / 100);
        if (band.finding == Finding::shorter)
            band.finding = Finding::longer;
        band.added_area_m2 = {-2.0, -3.1, -0.8, {}};
    }
    return report;
}

CompareReport nothing_shown_report() {
    CompareReport report = compare_report(BandWidth::octave, 63, 4000);
    for (BandFinding& band : report.comparison.bands) {
        band.after_s = *band.before_s * 0.97;
        band.change_percent = {-3, -17, 14, {}};
        band.could_show_percent = 21;
        band.finding = Finding::no_change_shown;
    }
    return report;
}

std::string difference_in_shape(const Json& example, const Json& actual, const std::string& where) {
    if (example.is_null() || actual.is_null())
        return "";
    const bool numbers = example.is_number() && actual.is_number();
    if (!numbers && example.type() != actual.type())
        return where + ": " + actual.type_name() + " instead of " + example.type_name();
    if (example.is_array() && !example.empty())
        for (const Json& element : actual)
            if (const auto found = difference_in_shape(example.front(), element, where + "[]");
                !found.empty())
                return found;
    if (!example.is_object() || where.ends_with(".empty"))
        return "";
    auto next = actual.begin();
    for (const auto& [key, value] : example.items()) {
        while (next != actual.end() && next.key() != key && !example.contains(next.key()))
            ++next;
        if (next == actual.end() || next.key() != key)
            return where + "." + key + ": missing or out of order";
        if (const auto found = difference_in_shape(value, next.value(), where + "." + key); !found.empty())
            return found;
        ++next;
    }
    return "";
}

} // namespace ebbmark::samples
