// SPDX-License-Identifier: GPL-3.0-or-later
#include "work/kept_modes.hpp"

#include "files/hash.hpp"
#include "work/version.hpp"

#include <nlohmann/json.hpp>

#include <type_traits>

namespace ebbmark {

namespace {

using Json = nlohmann::json;

constexpr std::string_view file_name = "computed-modes.json";

template <class Value>
Json json_of(const std::optional<Value>& value) {
    return value ? Json(*value) : Json();
}

template <class Value>
std::optional<Value> optional_in(const Json& json) {
    return json.is_null() ? std::nullopt : std::optional(json.get<Value>());
}

Json json_of(const Measured& measured) {
    return {json_of(measured.value), json_of(measured.low), json_of(measured.high),
            measured.empty ? Json(static_cast<int>(*measured.empty)) : Json()};
}

Measured measured_in(const Json& json) {
    const auto empty = optional_in<int>(json.at(3));
    return {optional_in<double>(json.at(0)), optional_in<double>(json.at(1)), optional_in<double>(json.at(2)),
            empty ? std::optional(static_cast<Empty>(*empty)) : std::nullopt};
}

Json json_of(const FigureRange& range) {
    return {range.low, range.typical, range.high};
}

Json json_of(const LayerPlan& layer) {
    const Material& m = layer.material;
    Json json = {static_cast<int>(m.kind),        m.density_kg_m3,
                 json_of(m.flow_resistivity),     m.density_exponent,
                 m.fibre_density_kg_m3,           json_of(m.tortuosity),
                 json_of(m.flow_resistance),      layer.thickness_m,
                 json_of(layer.free_thickness_m), json_of(layer.density_kg_m3),
                 json_of(layer.flow_resistivity), json_of(layer.flow_resistance)};
    if (const auto& d = layer.dividers)
        json.push_back({d->spacing_m, d->thickness_m, json_of(d->path_m), static_cast<int>(d->ends),
                        static_cast<int>(d->run)});
    return json;
}

Json json_of(const PlacedTrap& trap) {
    const TrapPlace& place = trap.place;
    const OpenSides& open = trap.plan.open_sides;
    Json layers = Json::array();
    for (const LayerPlan& layer : trap.plan.layers)
        layers.push_back(json_of(layer));
    return {trap.plan.width_m,
            trap.plan.height_m,
            {open.left, open.right, open.top, open.bottom},
            layers,
            {place.face_width_m, place.face_height_m, static_cast<int>(place.wall),
             place.corner_with ? Json(static_cast<int>(*place.corner_with)) : Json(), place.along_m,
             place.up_m, place.box_across}};
}

Json json_of(const ModalRoom& room) {
    Json modes = Json::array(), bands = Json::array(), parts = Json::array();
    for (const ModeBefore& mode : room.modes)
        modes.push_back({mode.hz, json_of(mode.t60_s), json_of(mode.order)});
    for (std::size_t b = 0; b < room.bands.size(); ++b)
        bands.push_back(
            {static_cast<int>(room.bands[b].width), room.bands[b].nominal_hz, json_of(room.decay_s[b])});
    for (const RoomPart& part : room.parts)
        parts.push_back({static_cast<int>(part.kind), part.from_m, part.to_m});
    return {room.box.edges_m,
            room.air.speed_of_sound,
            room.air.density_kg_m3,
            modes,
            bands,
            room.positions,
            room.to_hz,
            parts,
            room.bands_to_hz,
            room.shape_deviation};
}

Json json_of(const ForecastMode& mode) {
    return {mode.before_hz,
            json_of(mode.before_t60_s),
            json_of(mode.order),
            json_of(mode.predicted_hz),
            json_of(mode.predicted_t60_s),
            mode.overlap,
            {mode.sensitivity.resistivity, mode.sensitivity.tortuosity, mode.sensitivity.form,
             mode.sensitivity.frame},
            mode.at_traps,
            mode.plan_view};
}

ForecastMode mode_in(const Json& json) {
    const Json& s = json.at(6);
    return {json.at(0),
            measured_in(json.at(1)),
            optional_in<std::array<int, 3>>(json.at(2)),
            optional_in<double>(json.at(3)),
            measured_in(json.at(4)),
            json.at(5),
            {s.at(0), s.at(1), s.at(2), s.at(3)},
            json.at(7),
            json.at(8).get<std::vector<double>>()};
}

Json json_of(const ForecastNote& note) {
    if (const auto* missing = std::get_if<ModesMayBeMissing>(&note))
        return {"missing", missing->expected, missing->below_hz, missing->found,
                static_cast<int>(missing->traps)};
    if (const auto* unexplained = std::get_if<DampingUnexplained>(&note))
        return {"unexplained", unexplained->modes_hz};
    return Json(); // the others come with the room
}

std::optional<ForecastNote> note_in(const Json& json) {
    if (json.is_null())
        return {};
    if (json.at(0) == "missing")
        return ModesMayBeMissing{json.at(1), json.at(2), json.at(3),
                                 static_cast<TrapsInside>(json.at(4).get<int>())};
    return DampingUnexplained{json.at(1).get<std::vector<double>>()};
}

ModalForecast forecast_in(const Json& json) {
    ModalForecast forecast;
    for (const Json& mode : json.at("modes"))
        forecast.modes.push_back(mode_in(mode));
    for (const Json& band : json.at("bands")) {
        forecast.band_s.push_back(measured_in(band.at(0)));
        forecast.band_parts.push_back({band.at(1), band.at(2), band.at(3)});
    }
    forecast.to_hz = json.at("to_hz");
    forecast.box.edges_m = json.at("box").get<std::array<double, 3>>();
    forecast.outlines = json.at("outlines").get<decltype(forecast.outlines)>();
    forecast.wall_admittance = json.at("walls").get<std::array<double, 3>>();
    for (const Json& note : json.at("notes"))
        if (auto found = note_in(note))
            forecast.notes.push_back(std::move(*found));
    return forecast;
}

} // namespace

MadeFrom modes_made_from(const ModalRoom& room, const std::vector<PlacedTrap>& traps, int draws,
                         std::uint64_t seed) {
    Json all = {json_of(room), draws, seed};
    for (const PlacedTrap& trap : traps)
        all.push_back(json_of(trap));
    return {sha256(all.dump()), std::string(version)};
}

std::optional<ModalForecast> kept_modes(const JobFolder& job, const MadeFrom& made_from) {
    const auto bytes = current_result(job, file_name, made_from);
    if (!bytes)
        return {};
    try {
        return forecast_in(Json::parse(*bytes));
    } catch (const Json::exception&) {
        return {}; // of another spelling: computed anew
    }
}

void keep_modes(const JobFolder& job, const ModalForecast& forecast, const MadeFrom& made_from) {
    if (!job.keeps_results())
        return;
    Json json{{"to_hz", forecast.to_hz},
              {"box", forecast.box.edges_m},
              {"outlines", forecast.outlines},
              {"walls", forecast.wall_admittance}};
    for (const char* list : {"modes", "bands", "notes"})
        json[list] = Json::array();
    for (const ForecastMode& mode : forecast.modes)
        json["modes"].push_back(json_of(mode));
    for (std::size_t b = 0; b < forecast.band_s.size(); ++b)
        json["bands"].push_back({json_of(forecast.band_s[b]), forecast.band_parts[b].before,
                                 forecast.band_parts[b].wool, forecast.band_parts[b].model});
    for (const ForecastNote& note : forecast.notes)
        json["notes"].push_back(json_of(note));
    write_result(job, file_name, json.dump(), made_from);
}

} // namespace ebbmark
