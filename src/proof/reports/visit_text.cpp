// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/reports/band_rows.hpp"
#include "proof/reports/visit_report.hpp"
#include "proof/text/guarded.hpp"
#include "proof/text/numbers.hpp"
#include "proof/words/decay_texts.hpp"
#include "proof/words/job_notes.hpp"
#include "proof/words/room_notes.hpp"
#include "proof/words/visit_texts.hpp"
#include "proof/words/wording.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>

namespace ebbmark {

namespace {

std::string word(texts::Text text) {
    return std::string(text);
}

std::string percent_cell(const std::optional<double>& percent) {
    return percent ? percent_text(*percent) : word(texts::none);
}

std::string interval_cell(const Measured& measured, auto&& shown) {
    if (!measured || !measured.low || !measured.high)
        return word(texts::none);
    return fmt::format("{}-{}", shown(*measured.low), shown(*measured.high));
}

std::string value_cell(const Measured& measured, auto&& shown) {
    if (measured)
        return shown(*measured);
    return word(measured.empty ? code(*measured.empty) : texts::none);
}

std::string area_text(double area_m2) {
    return fmt::format("{:.{}f}", area_m2, area_m2 < 10 ? 2 : 1);
}

std::string mean_text(texts::Text title, const PositionMean& mean) {
    std::vector<BandDecay> bands;
    SureColumn spread{"spread", "%", {}}, count{"n", "", {}};
    for (const BandMean& band : mean.bands) {
        bands.push_back(band.mean);
        spread.cells.push_back(percent_cell(band.average.spread_percent));
        count.cells.push_back(fmt::format("{}/{}", band.average.t20_positions, mean.positions.size()));
    }
    std::string text = wrapped(filled(title, fmt::format("{}", fmt::join(mean.positions, ", "))));
    if (bands.empty())
        return text + word(texts::no_bands) + "\n\n";
    return text + '\n' + band_table(bands, {spread, count}) + '\n';
}

std::string means_text(const VisitResult& result) {
    std::string text;
    if (!result.room.positions.empty())
        text += mean_text(texts::visit_room_mean, result.room);
    if (!result.listening.positions.empty())
        text += mean_text(texts::visit_listening_mean, result.listening);
    for (const std::string& note : sentences(result.notes))
        text += wrapped(plain_text(note));
    return text + wrapped(word(texts::visit_mean_key)) + '\n';
}

std::string room_text(const RoomStatement& room) {
    const auto size = [](texts::Text unit, const std::optional<double>& value) {
        return value ? filled(unit, cell(value, 3)) : word(texts::unknown);
    };
    std::string text = word(texts::visit_room_head) + '\n' +
                       wrapped(filled(texts::visit_room_size, size(texts::cubic_metres, room.volume_m3),
                                      size(texts::square_metres, room.surface_m2), cell(room.air.celsius, 3),
                                      cell(room.air.humidity_percent, 3)));
    if (room.schroeder_hz)
        text += wrapped(filled(texts::visit_schroeder, fmt::format("{:.0f}", *room.schroeder_hz),
                               seconds_text(*room.mid_decay_s)));
    for (const std::string& note : sentences(room.notes))
        text += wrapped(plain_text(note));
    if (!room.volume_m3 || room.bands.empty())
        return text + '\n';
    const std::vector<Column> columns = {{"", "band", "Hz"}, {"", "A", "m²"}, {"", "95 %", "m²", true},
                                         {"", "air", "m²"},  {"", "α", ""},   {"", "", "", true}};
    std::vector<std::vector<std::string>> rows;
    for (const BandAbsorption& band : room.bands)
        rows.push_back(
            {label(band.band), value_cell(band.area_m2, area_text), interval_cell(band.area_m2, area_text),
             cell(band.air_m2, 2),
             band.mean_coefficient ? fmt::format("{:.2f}", *band.mean_coefficient) : word(texts::none),
             band.as_if_diffuse && band.area_m2 ? word(texts::as_if_diffuse) : ""});
    return text + '\n' + table_text(columns, rows) + '\n' + wrapped(word(texts::visit_absorption_key)) + '\n';
}

/// The mean that a target was held against.
const BandMean* mean_at(const PositionMean& mean, const Band& band) {
    const auto found = std::find_if(mean.bands.begin(), mean.bands.end(),
                                    [&](const BandMean& other) { return other.average.band == band; });
    return found == mean.bands.end() ? nullptr : &*found;
}

std::string target_table(const TargetResult& target, const PositionMean& mean) {
    const std::vector<Column> columns = {{"", "band", "Hz"},      {"", "from", "s"},
                                         {"", "to", "s"},         {"", "mean", "s"},
                                         {"", "95 %", "s", true}, {"", "finding", "", true}};
    std::vector<std::vector<std::string>> rows;
    for (const BandTarget& band : target.bands) {
        const BandMean* measured = mean_at(mean, band.band);
        const Measured decay = measured ? leading_decay(measured->average) : Measured{};
        rows.push_back({label(band.band), seconds_text(band.limits.low_s), seconds_text(band.limits.high_s),
                        value_cell(decay, seconds_text), interval_cell(decay, seconds_text),
                        name(band.finding)});
    }
    return table_text(columns, rows);
}

std::string targets_text(const VisitResult& result) {
    std::string text = word(texts::visit_targets_head) + '\n';
    if (result.targets.empty())
        return text + wrapped(word(texts::visit_no_target)) + '\n';
    for (const TargetResult& target : result.targets) {
        const std::string shown = plain_text(target.name);
        if (target.not_judged) {
            text += wrapped(filled(texts::visit_target_plain, shown, sentence(*target.not_judged)));
            continue;
        }
        text += wrapped(filled(texts::visit_target, shown, seconds_text(*target.nominal_s)) + ' ' +
                        target_source_note());
        if (!target.bands.empty())
            text += '\n' + target_table(target, result.room);
    }
    return text + '\n';
}

std::string distance_table(const std::vector<DistanceCheck>& distances) {
    const std::vector<Column> columns = {
        {"", "least distance", "", true}, {"", "where", "", true}, {"", "m", ""}, {"", "", "", true}};
    std::vector<std::vector<std::string>> rows;
    for (const DistanceCheck& check : distances) {
        std::string judged = word(texts::none);
        if (check.wanted_m)
            judged = filled(texts::visit_wanted, fmt::format("{:.2f}", *check.wanted_m));
        else if (check.holds_from_hz)
            judged = std::isfinite(*check.holds_from_hz)
                         ? filled(texts::visit_holds_from, fmt::format("{:.0f}", *check.holds_from_hz))
                         : word(texts::visit_never_holds);
        rows.push_back({check.what, check.where, fmt::format("{:.2f}", check.distance_m), judged});
    }
    return table_text(columns, rows);
}

std::string grade_text(const VisitResult& result) {
    const SetupFinding& setup = result.setup;
    std::string grade = name(setup.grade);
    grade[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(grade[0])));
    std::string sentence =
        setup.grade == Grade::none
            ? filled(texts::visit_no_grade, setup.pairs, setup.sources, setup.microphones)
            : filled(texts::visit_grade, grade, setup.pairs, setup.sources, setup.microphones);
    if (const auto accuracy = nominal_accuracy_percent(setup.grade, result.width))
        sentence += ' ' + filled(texts::visit_accuracy, cell(accuracy));
    std::string text = word(texts::visit_grade_head) + '\n' + wrapped(sentence);
    for (const std::string& why : sentences(setup.why_not_more))
        text += wrapped(why);
    text += wrapped(setup_source_note());
    if (!setup.distances.empty())
        text += '\n' + distance_table(setup.distances);
    return text + '\n';
}

std::string return_text(const std::optional<VisitReturn>& returned) {
    if (!returned || returned->bands.empty())
        return "";
    const std::vector<Column> columns = {
        {"", "band", "Hz"}, {"", "first", "s"}, {"", "again", "s"}, {"", "change", "%"}};
    std::vector<std::vector<std::string>> rows;
    for (const ReturnChange& change : returned->bands)
        rows.push_back({label(change.band), value_cell(change.first_s, seconds_text),
                        value_cell(change.again_s, seconds_text),
                        value_cell(change.change_percent, signed_percent_text)});
    return wrapped(filled(texts::visit_return_head, returned->measured.position.name())) + '\n' +
           table_text(columns, rows) + '\n';
}

std::string positions_text(const VisitResult& result) {
    std::string text = word(texts::visit_positions_head) + "\n\n";
    for (const MeasuredPosition& measured : result.positions) {
        const auto title = measured.listening ? texts::visit_listening_position : texts::visit_position;
        text += response_text(filled(title, measured.position.name(),
                                     plain_text(fmt::format("{}", fmt::join(measured.takes, ", "))),
                                     cell(measured.rate_hz, frequency_digits),
                                     cell(to_microsecond(measured.decay.onset_s))),
                              measured.decay) +
                '\n';
    }
    return text;
}

std::set<Empty> all_reasons(const VisitResult& result) {
    std::set<Empty> reasons;
    for (const MeasuredPosition& measured : result.positions)
        reasons.merge(reasons_in(measured.decay.bands));
    for (const BandAbsorption& band : result.statement.bands)
        if (band.area_m2.empty)
            reasons.insert(*band.area_m2.empty);
    if (result.returned)
        reasons.merge(reasons_in(result.returned->measured.decay.bands));
    return reasons;
}

} // namespace

std::string to_text(const VisitReport& report) {
    const VisitResult& result = report.result;
    std::string text = report.simulated ? word(texts::simulated_line) + "\n\n" : "";
    text += wrapped(filled(texts::visit_title, plain_text(report.visit), result.room.positions.size(),
                           result.listening.positions.size())) +
            '\n';
    text += means_text(result) + room_text(result.statement) + targets_text(result) + grade_text(result) +
            return_text(result.returned) + positions_text(result);
    text += wrapped(reasons_sentence(all_reasons(result)));
    text += wrapped(word(texts::decay_key)) + wrapped(word(texts::decay_method));
    return text + filled(texts::visit_digest, report.digest, plain_text(report.version)) + '\n';
}

} // namespace ebbmark
