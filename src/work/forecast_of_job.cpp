// SPDX-License-Identifier: GPL-3.0-or-later
#include "work/forecast_of_job.hpp"

#include "base/error.hpp"
#include "decay/average.hpp"
#include "decay/targets.hpp"
#include "forecast/design.hpp"
#include "job/job_toml.hpp"
#include "job/layout.hpp"
#include "job/next.hpp"
#include "job/trap_plan.hpp"
#include "job/visit_result.hpp"
#include "room/modes.hpp"
#include "verdict/allowances.hpp"
#include "work/analysed_job.hpp"
#include "work/kept_modes.hpp"
#include "work/room_responses.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace ebbmark {

namespace {

std::string layer_text(const LayerPlan& layer) {
    if (layer.material.kind == LayerKind::cloth)
        return layer.material.name;
    const double density = layer.material.kind == LayerKind::porous ? built_density_kg_m3(layer) : 0;
    return fmt::format("{:.3g} cm of {}{}{}", 100 * layer.thickness_m, layer.material.name,
                       density > 0 ? fmt::format(" ({:.3g} kg/m³)", density) : "",
                       layer.dividers
                           ? fmt::format(" between strips {:.3g} cm apart", 100 * layer.dividers->spacing_m)
                           : "");
}

TrapState state_of(const ForecastOptions& options) {
    return options.as_built ? TrapState::built : TrapState::planned;
}

std::vector<TrapPlan> plans_of(const std::vector<JobTrap>& traps, const std::vector<Material>& materials,
                               TrapState state) {
    std::vector<TrapPlan> plans;
    for (const JobTrap& trap : traps)
        plans.push_back(trap_plan(trap, materials, state));
    return plans;
}

ForecastTrap row_of(const TrapForecast& trap, const ForecastOptions& options) {
    const TrapPlan& plan = trap.plan();
    ForecastTrap row{plan.name, plan.face_m2(), plan.depth_m(), models_of(plan), {}, {}, plan.open_sides};
    for (const LayerPlan& layer : plan.layers)
        row.layers.push_back(layer_text(layer));
    row.bands = trap.table(std::min(options.draws, 300), options.seed);
    return row;
}

std::vector<TrapForecast> forecasts_of(const std::vector<TrapPlan>& plans, const std::vector<Band>& bands,
                                       const Medium& medium) {
    std::vector<TrapForecast> forecasts;
    for (const TrapPlan& plan : plans)
        forecasts.emplace_back(plan, bands, medium);
    return forecasts;
}

/// What the job wants: the reduction that was agreed, the recommendation for its room.
DesignAim aim_of(const JobDescription& job, const RoomForecast& room) {
    DesignAim aim{job.question.from_hz, job.question.to_hz, {}, {}};
    if (job.acceptance)
        aim.at_least_percent = job.acceptance->at_least_percent;
    const auto target = target_named(job.room.target);
    for (const ForecastBand& band : room.bands) {
        const auto limits =
            target ? target_limits(*target, *job.room.volume_m3, band.band.nominal_hz) : std::nullopt;
        aim.highest_s.push_back(limits ? std::optional(limits->high_s) : std::nullopt);
    }
    return aim;
}

/// The room before the build, at the places that the question is answered at.
struct Measurable {
    RoomBefore before;
    std::vector<Position> places;
};

Measurable room_before(const AnalysedJob& job, const std::string& visit, const ForecastOptions& options,
                       Progress& progress) {
    const JobRoom& room = job.description().room;
    if (!room.volume_m3 || !room.surface_m2)
        throw Error(ErrorKind::unusable,
                    fmt::format("{}: job.toml gives the room no volume or no surface; a forecast "
                                "needs both",
                                job.path().string()));
    DecayOptions decay;
    decay.from_hz = options.from_hz;
    decay.to_hz = options.to_hz;
    const auto measured = analyse_visit(job, visit, decay, TakeSet::positions, progress);
    std::vector<ResponseDecay> asked;
    Measurable made{{*room.volume_m3, *room.surface_m2, air_of(job.visits().at(visit)), {}, {}}, {}};
    for (const PositionDecay& position : asked_positions(job.description(), measured)) {
        made.places.push_back(position.position);
        asked.push_back(position.decay);
    }
    for (std::size_t b = 0; b < asked.front().bands.size(); ++b) {
        made.before.bands.push_back(asked.front().bands[b].band);
        made.before.decay_s.push_back(t20_at_places(asked, b, beside_deviation(asked.front().bands[b].band)));
    }
    return made;
}

std::vector<PlacedTrap> placed(const std::vector<JobTrap>& traps, const std::vector<TrapPlan>& plans,
                               TrapState state) {
    std::vector<PlacedTrap> result;
    for (std::size_t i = 0; i < traps.size(); ++i)
        result.push_back({plans[i], state == TrapState::built && traps[i].built && traps[i].built->place
                                        ? *traps[i].built->place
                                        : traps[i].place});
    return result;
}

// Farther off than tape measures and the air's temperature explain.
constexpr double off_percent = 1.5;
// Of ln(60 dB time) of single modes: five rooms of parts and one out of square, forecast as a box
// (trap_reference rooms), are within twice this.
constexpr double unsaid_deviation = 0.10, off_box_deviation = 0.22;

/// How far single modes may be from those of the room as it is described, and the sign of it.
void judge_shape(ModalRoom& input, const JobRoom& room, const std::optional<ExpectedRoom>& expected) {
    NoExactBox note{{}, off_percent, 100 * off_box_deviation};
    for (const ModeBefore& mode : input.modes) {
        if (!mode.order || !expected)
            continue;
        const auto& axis = expected->axis_hz;
        double box_hz = 0;
        for (std::size_t i = 0; i < 3; ++i)
            box_hz = std::hypot(box_hz, (*mode.order)[i] * axis[i]);
        if (const auto moved = expected->over_box.find(*mode.order); moved != expected->over_box.end())
            box_hz *= moved->second;
        if (std::abs(mode.hz / box_hz - 1) > off_percent / 100)
            note.modes.push_back({*mode.order, mode.hz, box_hz});
    }
    input.shape_deviation = !note.modes.empty() ? off_box_deviation : room.exact_box ? 0 : unsaid_deviation;
    if (!note.modes.empty())
        input.notes.push_back(note);
}

/// The modes of the visit, named, from all its positions.
void add_modes(ModalRoom& input, const AnalysedJob& job, const std::string& visit) {
    const auto positions = positions_of(job, visit);
    const RoomResponses heard = visit_responses(job, visit, positions);
    RingingOptions options;
    options.to_hz = input.to_hz;
    options.source_from_hz = heard.source_from_hz;
    options.source_to_hz = heard.source_to_hz;
    Ringing ringing = measure_ringing(heard.responses, options);
    const auto celsius = job.visits().at(visit).temperature_c();
    const auto room = expected_room(job, visit, positions, celsius.value_or(20));
    if (room)
        name_modes(ringing, *room);
    for (const MeasuredMode& mode : ringing.modes)
        input.modes.push_back({*mode.hz, mode.t60_s, mode.room_mode});
    judge_shape(input, job.description().room, room);
}

/// What is known of the modes; nothing, with the reason in the report, where they cannot be predicted. Large
/// rooms only as far up as modes can be told one by one.
std::optional<ModalRoom> modal_room(ForecastReport& report, const AnalysedJob& job,
                                    const Measurable& measured) {
    const RoomBefore& before = measured.before;
    const JobDescription& description = job.description();
    if (!description.room.box) {
        report.no_modes = NoBox{};
        return {};
    }
    // The third octave of 200 Hz rings in modes up to 231 Hz.
    constexpr double least_hz = 30, highest_hz = 200, band_edge_hz = 231;
    // In a small room all that these bands need; in a large one as many as take minutes.
    const double most_modes = before.volume_m3 <= 100 ? 200 : 120;
    ModalRoom room{*description.room.box,  medium_of(before.air), {}, {}, {}, {}, 0,
                   description.room.parts, band_edge_hz};
    const auto modes = [&] { return mode_count(room.box, room.air.speed_of_sound, room.bands_to_hz); };
    while (room.bands_to_hz > least_hz && modes() > most_modes)
        room.bands_to_hz = std::max(least_hz, room.bands_to_hz - 5);
    if (modes() > most_modes) {
        report.no_modes = TooManyModes{modes(), least_hz};
        return {};
    }
    room.to_hz = std::min(highest_hz, room.bands_to_hz);
    for (std::size_t b = 0; b < before.bands.size(); ++b)
        if (before.bands[b].exact_hz < report.room.schroeder_hz.value_or(0)) {
            room.bands.push_back(before.bands[b]);
            room.decay_s.push_back(before.decay_s[b]);
        }
    try {
        add_modes(room, job, report.visit);
        room.positions = places_of(job, report.visit, measured.places);
    } catch (const Error& error) {
        report.no_modes = ModesUntold{error.what()};
        return {};
    }
    return room;
}

/// The one that is kept, where it rests on the same; else computed, and kept.
ModalForecast modal_forecast(const AnalysedJob& job, const ModalRoom& room,
                             const std::vector<PlacedTrap>& traps, const ForecastOptions& options,
                             Progress& progress) {
    const int draws = std::min(options.draws, 300);
    const MadeFrom made_from = modes_made_from(room, traps, draws, options.seed);
    if (auto kept = kept_modes(job, made_from)) {
        kept->notes.insert(kept->notes.begin(), room.notes.begin(), room.notes.end());
        return std::move(*kept);
    }
    progress.show(0, 100, "modes of the room");
    ModalForecast forecast = ModalForecaster(room).forecast(traps, draws, options.seed, [&](double part) {
        progress.show(static_cast<std::size_t>(std::lround(part * 100)), 100, "modes of the room");
    });
    keep_modes(job, forecast, made_from);
    return forecast;
}

/// Below the Schroeder frequency.
void add_modal(ForecastReport& report, const AnalysedJob& job, const ModalRoom& room,
               const std::vector<PlacedTrap>& traps, const ForecastOptions& options, Progress& progress) {
    report.modal = modal_forecast(job, room, traps, options, progress);
    for (std::size_t b = 0; b < room.bands.size(); ++b)
        if (const Measured& after = report.modal->band_s[b])
            for (ForecastBand& band : report.room.bands)
                if (band.band == room.bands[b]) {
                    band.predicted_s = after;
                    band.parts = report.modal->band_parts[b];
                    band.modal = true;
                }
}

/// The area that goes with each decay predicted, as the record works it out of the measured ones: a band says
/// one thing, and the same in every document. Below the Schroeder frequency there is no other.
void add_areas(RoomForecast& room, double volume_m3) {
    for (ForecastBand& band : room.bands)
        if (band.before_s && band.predicted_s)
            band.added_absorption_m2 = area_of_decays_m2(volume_m3, *band.before_s, band.predicted_s);
        else if (room.schroeder_hz && band.band.exact_hz < *room.schroeder_hz)
            band.added_absorption_m2 = Measured::none(band.predicted_s.empty.value_or(Empty::conditions));
}

/// The room's forecast with what the modes say of the bands that they reach.
RoomForecast with_modal(RoomForecast room, const std::vector<Band>& bands,
                        const std::vector<std::optional<double>>& after_s) {
    for (std::size_t b = 0; b < bands.size(); ++b)
        for (ForecastBand& band : room.bands)
            if (after_s[b] && band.band == bands[b])
                band.predicted_s = Measured::of(*after_s[b]), band.modal = true;
    return room;
}

/// What no advice may build over: solid parts, and the way to doors, windows and niches.
std::vector<RoomPart> kept_clear(const JobRoom& room) {
    constexpr double way_m = 0.3; // common practice, no source
    std::vector<RoomPart> bodies;
    for (RoomPart part : room.parts) {
        for (std::size_t axis = 0; axis < 3 && part.kind == RoomPart::Kind::recess; ++axis) {
            if (part.to_m[axis] < way_m / 2)
                part.to_m[axis] += way_m;
            if (part.from_m[axis] > room.box->edges_m[axis] - way_m / 2)
                part.from_m[axis] -= way_m;
        }
        bodies.push_back(part);
    }
    for (const RoomPatch& patch : room.patches) {
        if (patch.kind != RoomPatch::Kind::door && patch.kind != RoomPatch::Kind::window)
            continue;
        RoomPart body{patch.name, RoomPart::Kind::solid, {}, {}};
        const std::size_t normal = axis_of(patch.rectangle.wall);
        const double edge = room.box->edges_m[normal];
        body.from_m[normal] = is_far(patch.rectangle.wall) ? edge - way_m : 0;
        body.to_m[normal] = is_far(patch.rectangle.wall) ? edge : way_m;
        const auto along = axes_along(patch.rectangle.wall);
        for (std::size_t i = 0; i < 2; ++i)
            body.from_m[along[i]] = patch.rectangle.from_m[i], body.to_m[along[i]] = patch.rectangle.to_m[i];
        bodies.push_back(body);
    }
    return bodies;
}

struct Plans {
    const JobDescription& job;
    const std::vector<TrapForecast>& traps;
    DesignRoom room;
    const std::optional<RoomBefore>& before; ///< absent where nothing was measured yet
    const ModalForecaster* modal;            ///< absent where changes are not tried mode by mode
    std::vector<Band> modal_bands;
};

RoomForecast forecast_of(const Plans& plans, const DesignVariant& variant) {
    RoomForecast room = forecast(*plans.before, variant.traps, 0, 0);
    const auto traps = plans.modal ? standing(variant, plans.room) : std::nullopt;
    return traps ? with_modal(std::move(room), plans.modal_bands, plans.modal->bands_after(*traps)) : room;
}

/// Changes of the plan, each worked out anew over the bands of the question, the most useful first.
void add_variants(ForecastReport& report, const Plans& plans, const ForecastOptions& options,
                  Progress& progress) {
    const DesignAim aim = aim_of(plans.job, report.room);
    const auto asked = bands_between(BandWidth::third, plans.job.question.from_hz, plans.job.question.to_hz);
    const auto area_m2 = [&](const std::vector<TrapForecast>& traps) { return mean_area_m2(traps, asked); };
    const double planned_m2 = area_m2(plans.traps), planned_m3 = wool_m3(plans.traps);
    report.plan_meets = meets(report.room, aim);
    // Where the question's decay follows from the modes, an area of random incidence is no advice.
    if (report.modal && !plans.modal &&
        !question_change_percent(forecast(*plans.before, plans.traps, 0, 0), aim))
        return;
    auto variants = design_variants(plans.traps, plans.room);
    if (plans.modal) {
        for (DesignVariant& moved : moved_variants(plans.traps, plans.room))
            variants.push_back(std::move(moved));
        put_likely_first(variants, plans.room, medium_of(plans.before->air).speed_of_sound,
                         plans.job.question.from_hz, plans.job.question.to_hz);
        DesignVariant plan{std::string(plan_itself), plans.traps, {}};
        plan.places.assign(plans.room.places.begin(), plans.room.places.end());
        variants.insert(variants.begin(), std::move(plan));
    }
    std::string best = "changes of the plan";
    double least_percent = 0;
    for (std::size_t i = 0; i < variants.size(); ++i) {
        if (plans.modal && options.enough && options.enough()) {
            report.variants_not_tried = variants.size() - i;
            break;
        }
        const DesignVariant& variant = variants[i];
        ForecastVariant row{
            variant.what, area_m2(variant.traps) - planned_m2, wool_m3(variant.traps) - planned_m3, {}, {}};
        if (plans.before) {
            const RoomForecast room = forecast_of(plans, variant);
            row.question_percent = question_change_percent(room, aim);
            row.meets = meets(room, aim);
        }
        report.variants.push_back(row);
        if (row.question_percent && *row.question_percent < least_percent) {
            least_percent = *row.question_percent;
            best = fmt::format("{:.0f} %: {}", least_percent, row.what);
        }
        if (plans.modal)
            progress.show(i + 1, variants.size(), best);
    }
    // By the decay where it is known, else by the absorption area.
    std::stable_sort(report.variants.begin(), report.variants.end(), [](const auto& a, const auto& b) {
        if (a.question_percent.has_value() != b.question_percent.has_value())
            return a.question_percent.has_value();
        return a.question_percent ? *a.question_percent < *b.question_percent : a.question_m2 > b.question_m2;
    });
}

} // namespace

std::vector<JobTrap> traps_in(const std::string& path, const std::vector<Material>& materials) {
    const TomlFile file = TomlFile::read(path);
    std::vector<JobTrap> traps = traps_from(file.root(), {});
    file.refuse_unknown_keys();
    require_known_materials(file.root(), materials);
    if (traps.empty())
        throw Error(ErrorKind::unusable, fmt::format("{}: there is no [[trap]] in it", path));
    return traps;
}

ForecastReport forecast_traps(const std::vector<JobTrap>& traps, const std::vector<Material>& materials,
                              const ForecastOptions& options) {
    ForecastReport report;
    const auto bands = bands_between(BandWidth::third, options.from_hz, options.to_hz);
    for (const TrapForecast& trap : forecasts_of(plans_of(traps, materials, state_of(options)), bands, {}))
        report.traps.push_back(row_of(trap, options));
    return report;
}

ForecastReport forecast_job(const AnalysedJob& job, const std::vector<Material>& materials,
                            const ForecastOptions& options, Progress& progress) {
    const JobDescription& description = job.description();
    if (description.traps.empty())
        throw Error(
            ErrorKind::unusable,
            fmt::format("{}: job.toml plans no trap; add [[trap]] with its layers", job.path().string()));
    require_known_materials(TomlFile::read(job.path() / layout::job_file).root(), materials);
    const auto plans = plans_of(description.traps, materials, state_of(options));
    const std::string visit = visit_before(job.takes());
    ForecastReport report = forecast_traps(description.traps, materials, options);
    report.simulated = job.simulated();
    report.job = job.path().string();
    report.visit = visit;
    report.as_built = options.as_built;
    std::optional<Measurable> measured;
    if (!visit.empty())
        measured = room_before(job, visit, options, progress);
    report.notes = measured ? plan_notes(description, measured->places) : plan_notes(description);
    const auto before = measured ? std::optional(measured->before) : std::nullopt;
    const auto traps =
        before ? forecasts_of(plans, before->bands, medium_of(before->air))
               : forecasts_of(plans, bands_between(BandWidth::third, options.from_hz, options.to_hz), {});
    const auto standing_traps = placed(description.traps, plans, state_of(options));
    Plans all{description, traps,   {description.room.box, {}, {{}, kept_clear(description.room)}},
              before,      nullptr, {}};
    for (const PlacedTrap& trap : standing_traps)
        all.room.places.push_back(trap.place);
    std::optional<ModalForecaster> quick;
    if (before) {
        report.room = forecast(*before, traps, options.draws, options.seed);
        for (const Position& place : measured->places)
            report.places.push_back(place.name());
        if (auto room = modal_room(report, job, *measured)) {
            add_modal(report, job, *room, standing_traps, options, progress);
            if (options.design) {
                for (const auto& [source, microphone] : room->positions)
                    all.room.clear.points.insert(all.room.clear.points.end(), {source, microphone});
                all.modal_bands = room->bands;
                // Plans are ranked by the lowest modes: a third of the time.
                room->to_hz = std::min(room->to_hz, 145.0);
                room->bands_to_hz = 0;
                all.modal = &quick.emplace(std::move(*room));
            }
        }
    }
    if (before)
        add_areas(report.room, before->volume_m3);
    report.question_from_hz = description.question.from_hz;
    report.question_to_hz = description.question.to_hz;
    add_variants(report, all, options, progress);
    return report;
}

} // namespace ebbmark
