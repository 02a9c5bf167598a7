// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/reports/waterfall_report.hpp"

#include "proof/reports/json_fields.hpp"
#include "proof/text/guarded.hpp"
#include "proof/text/numbers.hpp"
#include "proof/words/ringing_texts.hpp"
#include "proof/words/table.hpp"
#include "proof/words/wording.hpp"

#include <fmt/format.h>

#include <set>

namespace ebbmark {

namespace {

Json list_json(const std::vector<double>& values) {
    Json list = Json::array();
    for (const double value : values)
        list.push_back(json_number(value));
    return list;
}

Json entry_json(const WaterfallEntry& entry) {
    const Waterfall& waterfall = entry.waterfall;
    Json json;
    json["file"] = entry.name;
    json["rate_hz"] = json_number(entry.rate_hz, frequency_digits);
    json["resolution_hz"] = json_number(waterfall.resolution_hz);
    json["resolution_s"] = json_number(waterfall.resolution_s);
    json["noise_db"] = json_number(waterfall.noise_db);
    json["time_s"] = list_json(waterfall.time_s);
    json["frequencies"] = Json::array();
    for (std::size_t k = 0; k < waterfall.hz.size(); ++k) {
        Json one, empty = Json::object();
        one["hz"] = json_number(waterfall.hz[k]);
        add_measured(one, empty, "decay", "s", waterfall.decay_s[k]);
        one["level_db"] = Json::array();
        for (const auto& slice : waterfall.level_db)
            one["level_db"].push_back(json_number(slice[k]));
        one["empty"] = empty;
        json["frequencies"].push_back(one);
    }
    return json;
}

std::string ridge_table(const Waterfall& waterfall) {
    std::vector<std::vector<std::string>> rows;
    for (const std::size_t k : ridges(waterfall, 8)) {
        const Measured& decay = waterfall.decay_s[k];
        rows.push_back({fmt::format("{:.1f}", waterfall.hz[k]),
                        fmt::format("{:.0f}", waterfall.level_db[0][k]),
                        decay ? seconds_text(*decay) : std::string(texts::none),
                        decay ? "" : std::string(code(*decay.empty))});
    }
    return table_text({{"", "ridge", "Hz"}, {"", "level", "dB"}, {"", "60 dB", "s"}, {"", "", "", true}},
                      rows);
}

} // namespace

std::string to_json(const WaterfallReport& report) {
    Json json = json_object("waterfall", origin_of(report.simulated));
    json["axis"] = report.entries.front().waterfall.axis == WaterfallAxis::linear ? "linear" : "octave";
    json["responses"] = Json::array();
    for (const WaterfallEntry& entry : report.entries)
        json["responses"].push_back(entry_json(entry));
    return json_text(json);
}

std::string to_csv(const WaterfallReport& report) {
    std::string csv = "file,hz,decay_s,empty,resolution_hz,resolution_s,noise_db,simulated";
    // Slices lie at the same times in all responses, or further ones follow.
    const WaterfallEntry* longest = &report.entries.front();
    for (const WaterfallEntry& entry : report.entries)
        if (entry.waterfall.time_s.back() > longest->waterfall.time_s.back())
            longest = &entry;
    for (const double time : longest->waterfall.time_s)
        csv += fmt::format(",level_db {} s", cell(time));
    csv += '\n';
    for (const WaterfallEntry& entry : report.entries) {
        const Waterfall& waterfall = entry.waterfall;
        for (std::size_t k = 0; k < waterfall.hz.size(); ++k) {
            const Measured& decay = waterfall.decay_s[k];
            csv +=
                fmt::format("{},{},{},{},{},{},{},{}", csv_text(entry.name), cell(waterfall.hz[k]),
                            cell(decay.value), decay ? "" : code(*decay.empty), cell(waterfall.resolution_hz),
                            cell(waterfall.resolution_s), cell(waterfall.noise_db), report.simulated);
            for (const auto& slice : waterfall.level_db)
                csv += ',' + cell(slice[k]);
            csv.append(longest->waterfall.time_s.size() - waterfall.time_s.size(), ',');
            csv += '\n';
        }
    }
    return csv;
}

std::string to_text(const WaterfallReport& report) {
    std::string text = report.simulated ? std::string(texts::simulated_line) + "\n\n" : "";
    std::set<Empty> reasons;
    for (const WaterfallEntry& entry : report.entries) {
        const Waterfall& waterfall = entry.waterfall;
        text += wrapped(fmt::format(fmt::runtime(texts::waterfall_title), plain_text(entry.name),
                                    waterfall.time_s.size(), seconds_text(waterfall.time_s.back())));
        text += '\n' + ridge_table(waterfall) + '\n';
        for (const std::size_t k : ridges(waterfall, 8))
            if (waterfall.decay_s[k].empty)
                reasons.insert(*waterfall.decay_s[k].empty);
    }
    const Waterfall& first = report.entries.front().waterfall;
    text += wrapped(reasons_sentence(reasons));
    text +=
        wrapped(fmt::format(fmt::runtime(texts::waterfall_method), fmt::format("{:.2g}", first.resolution_hz),
                            fmt::format("{:.2g}", first.resolution_s)));
    return text;
}

} // namespace ebbmark
