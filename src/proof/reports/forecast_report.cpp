// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/reports/forecast_report.hpp"

#include "proof/reports/json_fields.hpp"
#include "proof/text/guarded.hpp"
#include "proof/text/numbers.hpp"
#include "proof/words/forecast_notes.hpp"
#include "proof/words/forecast_texts.hpp"
#include "proof/words/job_notes.hpp"
#include "proof/words/table.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

namespace ebbmark {

namespace {

std::string two(double value) {
    return fmt::format("{:.2f}", value);
}

Json traps_json(const ForecastReport& report) {
    Json traps = Json::array();
    for (const ForecastTrap& trap : report.traps) {
        Json absorption = Json::array();
        for (const TrapBand& band : trap.bands)
            absorption.push_back({{"nominal_hz", json_number(band.band.nominal_hz, frequency_digits)},
                                  {"alpha_normal", json_number(band.alpha_normal)},
                                  {"alpha_random", json_number(band.alpha_random)},
                                  {"alpha_low", json_number(band.alpha_low)},
                                  {"alpha_high", json_number(band.alpha_high)},
                                  {"model", trap.model}});
        traps.push_back({{"name", trap.name},
                         {"face_m2", json_number(trap.face_m2)},
                         {"depth_m", json_number(trap.depth_m)},
                         {"layers", trap.layers},
                         {"absorption", std::move(absorption)}});
    }
    return traps;
}

Json band_json(const ForecastBand& band) {
    Json json, empty = Json::object();
    json["nominal_hz"] = json_number(band.band.nominal_hz, frequency_digits);
    json["method"] = band.modal ? "modal" : "statistical";
    add_measured(json, empty, "before", "s", band.before_s);
    add_with_interval(json, empty, "predicted", "s", band.predicted_s);
    add_with_interval(json, empty, "added_absorption", "m2", band.added_absorption_m2);
    json["parts"] = band.parts ? Json({{"before", json_number(band.parts->before)},
                                       {"materials", json_number(band.parts->wool)},
                                       {"model", json_number(band.parts->model)}})
                               : Json();
    json["empty"] = std::move(empty);
    return json;
}

std::string with_interval(const Measured& value, bool seconds) {
    if (!value)
        return std::string(code(*value.empty));
    const auto text = [&](double x) { return seconds ? seconds_text(x) : two(x); };
    return fmt::format("{} ({} {})", text(*value), text(*value.low), text(*value.high));
}

/// Bands below are predicted by modes, from it on by statistics; nothing without modal bands.
std::optional<double> crossover_hz(const ForecastReport& report) {
    std::optional<double> edge;
    for (const ForecastBand& band : report.room.bands)
        if (band.modal)
            edge = band.band.exact_hz * (band.band.width == BandWidth::third ? 1.122 : 1.413);
    return edge;
}

Json mode_json(const ForecastMode& mode) {
    Json json, empty = Json::object();
    json["before_hz"] = json_number(mode.before_hz, frequency_digits);
    add_with_interval(json, empty, "before_t60", "s", mode.before_t60_s);
    json["predicted_hz"] = json_number(mode.predicted_hz, frequency_digits);
    add_with_interval(json, empty, "predicted_t60", "s", mode.predicted_t60_s);
    json["room_mode"] = mode.order ? Json(*mode.order) : Json(nullptr);
    json["overlap"] = json_number(mode.overlap);
    json["pressure_at_traps"] = json_number(mode.at_traps);
    // d ln(damping), from the middle of each range to its end; the frame from free to standing.
    const Sensitivity& by = mode.sensitivity;
    json["sensitivity"] = Json();
    if (mode.predicted_t60_s)
        json["sensitivity"] = {{"flow_resistivity", json_number(by.resistivity)},
                               {"tortuosity", json_number(by.tortuosity)},
                               {"pore_form", json_number(by.form)},
                               {"frame", json_number(by.frame)}};
    json["empty"] = std::move(empty);
    json["notes"] = {reach_text(mode)};
    return json;
}

std::string modes_text(const ForecastReport& report) {
    std::vector<std::vector<std::string>> rows;
    for (const ForecastMode& mode : report.modal->modes)
        rows.push_back({fmt::format("{:.2f}", mode.before_hz),
                        mode.order ? fmt::format("{}", fmt::join(*mode.order, " ")) : "",
                        with_interval(mode.before_t60_s, true),
                        mode.predicted_hz ? fmt::format("{:.2f}", *mode.predicted_hz) : "",
                        with_interval(mode.predicted_t60_s, true),
                        mode.order ? fmt::format("{:.1f}", mode.at_traps) : "not named"});
    return table_text({{"", "mode", "Hz"},
                       {"", "nx ny nz", ""},
                       {"", "T60", "s"},
                       {"predicted", "mode", "Hz"},
                       {"predicted", "T60 (95 %)", "s"},
                       {"", "at traps", ""}},
                      rows) +
           wrapped(std::string(texts::forecast_at_traps)) + '\n';
}

std::string room_text(const ForecastReport& report) {
    std::vector<std::vector<std::string>> rows;
    for (const ForecastBand& band : report.room.bands)
        rows.push_back(
            {label(band.band),
             band.before_s ? seconds_text(*band.before_s) : std::string(code(*band.before_s.empty)),
             with_interval(band.predicted_s, true), with_interval(band.added_absorption_m2, false)});
    std::string text = table_text({{"", "band", "Hz"},
                                   {"decay time T20", "before", "s"},
                                   {"decay time T20", "predicted (95 %)", "s"},
                                   {"", "added absorption (95 %)", "m²"}},
                                  rows);
    if (!report.places.empty())
        text += '\n' + wrapped(fmt::format(fmt::runtime(texts::forecast_places), plain_text(report.visit),
                                           fmt::join(report.places, ", ")));
    if (report.room.schroeder_hz)
        text += '\n' + wrapped(fmt::format(fmt::runtime(texts::forecast_schroeder),
                                           fmt::format("{:.0f}", *report.room.schroeder_hz)));
    return text;
}

bool same_kind(const ForecastTrap& a, const ForecastTrap& b) {
    return a.face_m2 == b.face_m2 && a.layers == b.layers && a.open_sides == b.open_sides &&
           std::equal(a.bands.begin(), a.bands.end(), b.bands.begin(), b.bands.end(),
                      [](const TrapBand& one, const TrapBand& other) {
                          return one.alpha_random == other.alpha_random;
                      });
}

/// One table for all traps that are built alike; nothing for those after the first.
std::string trap_text(const std::vector<ForecastTrap>& traps, std::size_t index) {
    const ForecastTrap& trap = traps[index];
    std::string names;
    for (std::size_t i = 0; i < traps.size(); ++i)
        if (same_kind(traps[i], trap)) {
            if (i < index)
                return "";
            names += (names.empty() ? "" : ", ") + plain_text(traps[i].name);
        }
    std::string text = wrapped(fmt::format(
        fmt::runtime(texts::forecast_trap), names, two(trap.face_m2), two(trap.depth_m),
        plain_text(fmt::format("{}; {}", fmt::join(trap.layers, ", "), in_words(trap.open_sides))),
        trap.model));
    std::vector<std::vector<std::string>> rows;
    for (const TrapBand& band : trap.bands)
        rows.push_back({label(band.band), two(band.alpha_normal), two(band.alpha_random),
                        fmt::format("{} {}", two(band.alpha_low), two(band.alpha_high))});
    return text +
           table_text({{"", "band", "Hz"},
                       {"absorption coefficient", "normal", ""},
                       {"absorption coefficient", "random", ""},
                       {"absorption coefficient", "95 %", ""}},
                      rows) +
           '\n';
}

/// The change that takes the least wool among those that meet what is wanted.
const ForecastVariant* smallest_that_meets(const ForecastReport& report) {
    const ForecastVariant* found = nullptr;
    for (const ForecastVariant& variant : report.variants)
        if (variant.meets.value_or(false) && (!found || variant.more_wool_m3 < found->more_wool_m3))
            found = &variant;
    return found;
}

std::string aim_text(const ForecastReport& report) {
    if (!report.plan_meets)
        return std::string(texts::forecast_aim_unknown);
    if (*report.plan_meets)
        return std::string(texts::forecast_aim_met);
    if (std::none_of(report.variants.begin(), report.variants.end(),
                     [](const ForecastVariant& variant) { return variant.meets.has_value(); }))
        return std::string(texts::forecast_aim_untried);
    if (const ForecastVariant* smallest = smallest_that_meets(report))
        return fmt::format(fmt::runtime(texts::forecast_aim_smallest), plain_text(smallest->what));
    return std::string(texts::forecast_aim_missed);
}

std::string variants_text(const ForecastReport& report) {
    const bool judged =
        std::any_of(report.variants.begin(), report.variants.end(),
                    [](const ForecastVariant& variant) { return variant.question_percent || variant.meets; });
    // Where the decay is told, the random-incidence area of the layers would only contradict it.
    std::vector<Column> columns;
    if (!judged)
        columns.push_back({"", "area", "m²"});
    columns.push_back({"", "wool", "m³"});
    if (judged)
        columns.insert(columns.end(), {{"", "decay", "%"}, {"", "meets", ""}});
    columns.push_back({"", "change of the plan", "", true});
    std::vector<std::vector<std::string>> rows;
    constexpr std::size_t most_rows = 20; // more are in the JSON
    std::size_t left_out = 0;
    for (const ForecastVariant& variant : report.variants) {
        if (rows.size() >= most_rows && variant.what != plan_itself) {
            ++left_out;
            continue;
        }
        rows.emplace_back();
        if (!judged)
            rows.back().push_back(fmt::format("{:+.2f}", variant.question_m2));
        rows.back().push_back(fmt::format("{:+.2f}", variant.more_wool_m3));
        if (judged) {
            rows.back().push_back(variant.question_percent ? fmt::format("{:+.0f}", *variant.question_percent)
                                                           : "");
            rows.back().push_back(!variant.meets ? "" : *variant.meets ? "yes" : "no");
        }
        rows.back().push_back(plain_text(variant.what));
    }
    return wrapped(fmt::format(fmt::runtime(texts::forecast_variants),
                               frequency_text(report.question_from_hz),
                               frequency_text(report.question_to_hz))) +
           table_text(columns, rows) +
           (left_out > 0 ? wrapped(fmt::format(fmt::runtime(texts::forecast_variants_left_out), left_out))
                         : "") +
           (report.variants_not_tried > 0
                ? wrapped(fmt::format(fmt::runtime(texts::forecast_variants_not_tried),
                                      report.variants_not_tried))
                : "") +
           wrapped(aim_text(report));
}

/// How far each figure of the wool moves the modes' damping between the ends of its range, the median.
std::string sensitivity_text(const ModalForecast& modal) {
    const auto percent = [&](double Sensitivity::*figure, double steps) {
        std::vector<double> all;
        for (const ForecastMode& mode : modal.modes)
            if (mode.predicted_t60_s)
                all.push_back(100 * std::abs(steps * mode.sensitivity.*figure));
        std::sort(all.begin(), all.end());
        return all.empty() ? 0 : all[all.size() / 2];
    };
    return fmt::format(fmt::runtime(texts::forecast_sensitivity),
                       fmt::format("{:.0f}", percent(&Sensitivity::resistivity, 2)),
                       fmt::format("{:.0f}", percent(&Sensitivity::frame, 1)),
                       fmt::format("{:.0f}", percent(&Sensitivity::form, 2)),
                       fmt::format("{:.0f}", percent(&Sensitivity::tortuosity, 2)));
}

} // namespace

std::string reach_text(const ForecastMode& mode) {
    if (!mode.order)
        return "not named: no single mode of the room fits it";
    const double mean = mode.at_traps;
    const std::string where = fmt::format("squared pressure at the traps {:.1f} times the room's mean", mean);
    if (!mode.predicted_t60_s)
        return where + "; changes its shape so much that no mode after is the same";
    return where + (mean < 0.5   ? ": they hardly reach it"
                    : mean < 1.5 ? ": they reach it as any place would"
                                 : ": they stand where it is loud");
}

std::string to_json(const ForecastReport& report) {
    Json json = json_object("predict", origin_of(report.simulated));
    if (!report.job.empty()) {
        json["job"] = report.job;
        json["visit"] = report.visit;
        json["places"] = report.places;
        json["as_built"] = report.as_built;
        json["stored"] = report.stored;
        json["schroeder_hz"] = json_number(report.room.schroeder_hz);
        json["bands"] = Json::array();
        for (const ForecastBand& band : report.room.bands)
            json["bands"].push_back(band_json(band));
        json["crossover_hz"] = json_number(crossover_hz(report));
        json["modes"] = Json::array();
        if (report.modal)
            for (const ForecastMode& mode : report.modal->modes)
                json["modes"].push_back(mode_json(mode));
        json["notes"] = report.modal ? sentences(report.modal->notes) : std::vector<std::string>{};
        if (report.no_modes)
            json["notes"].push_back(sentence(*report.no_modes));
        for (const JobNote& note : report.notes)
            json["notes"].push_back(sentence(note));
        json["variants"] = Json::array();
        for (const ForecastVariant& variant : report.variants)
            json["variants"].push_back({{"change", variant.what},
                                        {"more_absorption_m2", json_number(variant.question_m2)},
                                        {"more_wool_m3", json_number(variant.more_wool_m3)},
                                        {"question_change_percent", json_number(variant.question_percent)},
                                        {"meets", variant.meets ? Json(*variant.meets) : Json()}});
        json["variants_not_tried"] = report.variants_not_tried;
        json["plan_meets"] = report.plan_meets ? Json(*report.plan_meets) : Json();
    }
    json["traps"] = traps_json(report);
    return json_text(json);
}

namespace {

constexpr std::string_view band_columns =
    "nominal_hz,width,method,before_s,predicted_s,predicted_low_s,predicted_high_s,"
    "added_absorption_m2,added_absorption_low_m2,added_absorption_high_m2,u_before,u_wool,u_model,places";

std::string band_cells(const ForecastBand& band, const std::vector<std::string>& places) {
    const Measured &after = band.predicted_s, &area = band.added_absorption_m2;
    const auto part = [&](double ForecastParts::*member) {
        return band.parts ? cell((*band.parts).*member) : std::string();
    };
    return fmt::format("{},{},{},{},{},{},{},{},{},{},{},{},{},{}",
                       cell(band.band.nominal_hz, frequency_digits), name(band.band.width),
                       band.modal ? "modal" : "statistical", cell(band.before_s.value), cell(after.value),
                       cell(after.low), cell(after.high), cell(area.value), cell(area.low), cell(area.high),
                       part(&ForecastParts::before), part(&ForecastParts::wool), part(&ForecastParts::model),
                       fmt::join(places, " "));
}

} // namespace

std::string to_csv(const ForecastReport& report) {
    if (!report.room.bands.empty()) {
        std::string text = std::string(band_columns) + '\n';
        for (const ForecastBand& band : report.room.bands)
            text += band_cells(band, report.places) + '\n';
        return text;
    }
    std::string text = "trap,nominal_hz,alpha_normal,alpha_random,alpha_low,alpha_high,model\n";
    for (const ForecastTrap& trap : report.traps)
        for (const TrapBand& band : trap.bands)
            text += fmt::format("{},{},{},{},{},{},{}\n", csv_text(trap.name),
                                cell(band.band.nominal_hz, frequency_digits), cell(band.alpha_normal),
                                cell(band.alpha_random), cell(band.alpha_low), cell(band.alpha_high),
                                csv_text(trap.model));
    return text;
}

std::string prediction_table(const ForecastReport& report) {
    std::string text = std::string(band_columns) + ",mode_hz\n";
    for (const ForecastBand& band : report.room.bands) {
        ForecastBand kept = band;
        if (!kept.predicted_s) // else the area would be taken for a decay where it does not mean one
            kept.added_absorption_m2 = {};
        text += band_cells(kept, report.places) + ",\n";
    }
    if (report.modal)
        for (const ForecastMode& mode : report.modal->modes)
            if (const Measured& after = mode.predicted_t60_s)
                text += fmt::format(",,modal,{},{},{},{},,,,,,,,{}\n", cell(mode.before_t60_s.value),
                                    cell(after.value), cell(after.low), cell(after.high),
                                    cell(mode.before_hz, frequency_digits));
    return text;
}

std::string to_text(const ForecastReport& report) {
    std::string text = report.simulated ? std::string(texts::simulated_line) + "\n\n" : "";
    if (!report.room.bands.empty())
        text += room_text(report) + '\n';
    else if (!report.job.empty())
        text += wrapped(std::string(texts::forecast_no_visit)) + '\n';
    if (report.modal) {
        text += modes_text(report);
        text += wrapped(fmt::format(fmt::runtime(texts::forecast_modal),
                                    fmt::format("{:.0f}", crossover_hz(report).value_or(0))));
        if (std::any_of(report.modal->modes.begin(), report.modal->modes.end(),
                        [](const ForecastMode& mode) { return bool(mode.predicted_t60_s); }))
            text += wrapped(sensitivity_text(*report.modal));
        for (const std::string& note : sentences(report.modal->notes))
            text += wrapped(plain_text(note));
        text += '\n';
    } else if (report.no_modes)
        text += wrapped(sentence(*report.no_modes)) + '\n';
    for (const JobNote& note : report.notes)
        text += wrapped(plain_text(sentence(note))) + '\n';
    for (std::size_t i = 0; i < report.traps.size(); ++i)
        text += trap_text(report.traps, i);
    if (!report.variants.empty())
        text += variants_text(report) + '\n';
    else if (report.modal)
        text += wrapped(std::string(texts::forecast_no_variants)) + '\n';
    text += wrapped(std::string(texts::forecast_method));
    if (!report.stored.empty())
        text += wrapped(fmt::format(fmt::runtime(texts::forecast_stored), report.stored));
    return text;
}

} // namespace ebbmark
