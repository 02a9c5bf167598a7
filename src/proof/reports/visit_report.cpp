// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/reports/visit_report.hpp"

#include "proof/reports/band_rows.hpp"
#include "proof/text/guarded.hpp"
#include "proof/text/numbers.hpp"
#include "proof/words/job_notes.hpp"
#include "proof/words/room_notes.hpp"
#include "proof/words/wording.hpp"

#include <fmt/format.h>

namespace ebbmark {

namespace {

std::string takes_of(const MeasuredPosition& measured) {
    return fmt::format("{}", fmt::join(measured.takes, ", "));
}

DecayEntry entry_of(const MeasuredPosition& measured) {
    return {takes_of(measured), 1, measured.rate_hz, measured.decay};
}

Json position_json(const MeasuredPosition& measured) {
    Json json = {{"position", measured.position.name()},
                 {"take", takes_of(measured)},
                 {"listening", measured.listening}};
    json.update(response_json(entry_of(measured)));
    return json;
}

Json band_head(const Band& band) {
    return {{"nominal_hz", json_number(band.nominal_hz, frequency_digits)}, {"width", name(band.width)}};
}

Json mean_band_json(const BandMean& band) {
    Json json = band_json(band.mean);
    json["positions"] = band.average.t20_positions;
    json["t30_positions"] = band.average.t30_positions;
    json["spread_percent"] = json_number(band.average.spread_percent);
    json["ensemble_t20_s"] = json_number(band.average.ensemble_t20_s);
    json["double_slopes"] = band.double_slopes;
    if (!band.average.spread_percent)
        json["empty"]["spread_percent"] =
            band.average.t20_s ? code(Empty::one_position) : code(*band.average.t20_s.empty);
    return json;
}

Json mean_json(const PositionMean& mean) {
    Json json = {{"positions", mean.positions}};
    json["bands"] = Json::array();
    for (const BandMean& band : mean.bands)
        json["bands"].push_back(mean_band_json(band));
    return json;
}

Json absorption_json(const BandAbsorption& band) {
    Json json = band_head(band.band), empty = Json::object();
    add_with_interval(json, empty, "absorption", "m2", band.area_m2);
    json["air_m2"] = json_number(band.air_m2);
    json["mean_coefficient"] = json_number(band.mean_coefficient);
    json["as_if_diffuse"] = band.as_if_diffuse;
    json["empty"] = empty;
    return json;
}

Json room_json(const VisitResult& result) {
    const RoomStatement& room = result.statement;
    Json json = {{"volume_m3", json_number(room.volume_m3)},
                 {"surface_m2", json_number(room.surface_m2)},
                 {"temperature_c", json_number(room.air.celsius)},
                 {"humidity_percent", json_number(room.air.humidity_percent)},
                 {"air_noted", result.air_noted},
                 {"mid_decay_s", json_number(room.mid_decay_s.value)},
                 {"schroeder_hz", json_number(room.schroeder_hz)}};
    json["absorption_m2"] = Json::array();
    for (const BandAbsorption& band : room.bands)
        json["absorption_m2"].push_back(absorption_json(band));
    json["empty"] = Json::object();
    if (room.mid_decay_s.empty)
        json["empty"]["mid_decay_s"] = code(*room.mid_decay_s.empty);
    if (!room.schroeder_hz)
        json["empty"]["schroeder_hz"] =
            room.volume_m3 ? code(*room.mid_decay_s.empty) : code(Empty::conditions);
    json["notes"] = sentences(room.notes);
    return json;
}

Json targets_json(const std::vector<TargetResult>& targets) {
    Json json = Json::array();
    for (const TargetResult& target : targets) {
        Json one = {{"name", target.name}, {"nominal_s", json_number(target.nominal_s)}};
        one["bands"] = Json::array();
        for (const BandTarget& band : target.bands) {
            Json entry = band_head(band.band);
            entry["low_s"] = json_number(band.limits.low_s);
            entry["high_s"] = json_number(band.limits.high_s);
            entry["finding"] = name(band.finding);
            one["bands"].push_back(entry);
        }
        one["notes"] = {target.not_judged ? sentence(*target.not_judged) : target_source_note()};
        json.push_back(one);
    }
    return json;
}

Json grade_json(const VisitResult& result) {
    const SetupFinding& setup = result.setup;
    Json json = {
        {"reached", name(setup.grade)},
        {"from_hz", json_number(setup.from_hz)},
        {"nominal_accuracy_percent", json_number(nominal_accuracy_percent(setup.grade, result.width))},
        {"positions", setup.pairs},
        {"sources", setup.sources},
        {"microphones", setup.microphones}};
    json["distances"] = Json::array();
    for (const DistanceCheck& check : setup.distances)
        json["distances"].push_back({{"what", check.what},
                                     {"where", check.where},
                                     {"distance_m", json_number(check.distance_m)},
                                     {"wanted_m", json_number(check.wanted_m)},
                                     {"holds_from_hz", json_number(check.holds_from_hz)}});
    json["why_not_more"] = sentences(setup.why_not_more);
    json["notes"] = {setup_source_note()};
    return json;
}

Json return_json(const std::optional<VisitReturn>& returned) {
    if (!returned)
        return nullptr;
    Json json = position_json(returned->measured);
    json["changes"] = Json::array();
    for (const ReturnChange& change : returned->bands) {
        Json entry = band_head(change.band), empty = Json::object();
        add_measured(entry, empty, "first", "s", change.first_s);
        add_measured(entry, empty, "again", "s", change.again_s);
        add_measured(entry, empty, "change", "percent", change.change_percent);
        entry["empty"] = empty;
        json["changes"].push_back(entry);
    }
    return json;
}

/// What a row is about, before its band.
struct RowHead {
    std::string row, position, take;
};

std::string csv_rows(const VisitReport& report, const RowHead& head, const std::vector<BandDecay>& bands) {
    std::string csv;
    for (const BandDecay& band : bands)
        csv += fmt::format("{},{},{},{},{},{},,\n", head.row, csv_text(report.visit), csv_text(head.position),
                           csv_text(head.take), report.simulated, band_csv(band));
    return csv;
}

std::string mean_rows(const VisitReport& report, const std::string& row, const PositionMean& mean) {
    std::string csv;
    for (const BandMean& band : mean.bands)
        csv +=
            fmt::format("{},{},{},,{},{},{},{}\n", row, csv_text(report.visit),
                        csv_text(fmt::format("{}", fmt::join(mean.positions, " "))), report.simulated,
                        band_csv(band.mean), band.average.t20_positions, cell(band.average.spread_percent));
    return csv;
}

} // namespace

std::string to_json(const VisitReport& report) {
    const VisitResult& result = report.result;
    Json json = json_object("decay", origin_of(report.simulated));
    json["visit"] = report.visit;
    json["digest"] = report.digest;
    json["version"] = report.version;
    json["responses"] = Json::array();
    for (const MeasuredPosition& measured : result.positions)
        json["responses"].push_back(position_json(measured));
    json["average"] = mean_json(result.room);
    json["listening"] = mean_json(result.listening);
    json["return"] = return_json(result.returned);
    json["room"] = room_json(result);
    json["targets"] = targets_json(result.targets);
    json["grade"] = grade_json(result);
    json["notes"] = sentences(result.notes);
    return json_text(json);
}

std::string to_csv(const VisitReport& report) {
    const VisitResult& result = report.result;
    std::string csv = "row,visit,position,take,simulated," + band_csv_head() + ",positions,spread_percent\n";
    for (const MeasuredPosition& measured : result.positions)
        csv += csv_rows(report,
                        {measured.listening ? "listening place" : "position", measured.position.name(),
                         takes_of(measured)},
                        measured.decay.bands);
    if (result.returned)
        csv += csv_rows(
            report,
            {"return", result.returned->measured.position.name(), takes_of(result.returned->measured)},
            result.returned->measured.decay.bands);
    csv += mean_rows(report, "average", result.room);
    return csv + mean_rows(report, "listening average", result.listening);
}

DecayReport positions_of(const VisitReport& report) {
    DecayReport decays{report.simulated, {}};
    for (const MeasuredPosition& measured : report.result.positions)
        decays.responses.push_back({measured.position.name(), 1, measured.rate_hz, measured.decay});
    return decays;
}

} // namespace ebbmark
