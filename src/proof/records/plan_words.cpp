// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/records/plan_words.hpp"

#include "proof/words/proof_room_texts.hpp"
#include "proof/words/proof_texts.hpp"
#include "proof/words/record_texts.hpp"

#include <algorithm>

namespace ebbmark {

namespace {

/// ", with a solid part: chimney breast; recesses: niche, bay"
std::string parts_words(const JobRoom& room) {
    std::string words;
    const auto add = [&](RoomPart::Kind kind, texts::Text one, texts::Text more) {
        std::vector<std::string> names;
        for (const RoomPart& part : room.parts)
            if (part.kind == kind)
                names.push_back(part.name);
        if (!names.empty())
            words += (words.empty() ? ", with " : "; ") +
                     filled(names.size() == 1 ? one : more, fmt::format("{}", fmt::join(names, ", ")));
    };
    add(RoomPart::Kind::solid, texts::solid_part, texts::solid_parts);
    add(RoomPart::Kind::recess, texts::recess, texts::recesses);
    return words;
}

} // namespace

std::string room_size(const JobRoom& room, Units units) {
    if (room.box) {
        const auto& edges = room.box->edges_m;
        return filled(texts::box_size, length_text(edges[0], units), length_text(edges[1], units),
                      length_text(edges[2], units),
                      volume_text(room.volume_m3.value_or(room.box->volume_m3()), units)) +
               parts_words(room);
    }
    return room.volume_m3 ? filled(texts::volume_only, volume_text(*room.volume_m3, units))
                          : std::string(texts::not_given);
}

namespace {

std::string dividers_words(const Dividers& strips, Units units) {
    const std::string path =
        !strips.path_m
            ? std::string(texts::dividers_straight)
            : filled(strips.ends == Dividers::Ends::beside ? texts::dividers_leaning : texts::dividers_bowed,
                     length_text(*strips.path_m, units));
    return filled(texts::dividers, thickness_text(strips.thickness_m, units),
                  length_text(strips.spacing_m, units), path,
                  strips.run == Dividers::Run::width ? "width" : "height");
}

} // namespace

std::string layers_words(const std::vector<TrapLayer>& layers, Units units) {
    std::string words;
    for (const TrapLayer& layer : layers) {
        words += words.empty() ? "" : ", ";
        if (layer.thickness_m)
            words += thickness_text(*layer.thickness_m, units) + " ";
        words += layer.material;
        std::string more;
        const auto add = [&](const std::optional<double>& value, const char* form) {
            if (value)
                more += (more.empty() ? "" : ", ") + fmt::format(fmt::runtime(form), *value);
        };
        add(layer.density_kg_m3, "{:.3g}\u00a0kg/m³");
        if (layer.flow_resistivity)
            more += (more.empty() ? "" : ", ") +
                    fmt::format("{:.3g}\u00a0kPa\u00a0s/m²", *layer.flow_resistivity / 1000);
        add(layer.flow_resistance, "{:.3g}\u00a0Pa\u00a0s/m");
        if (!more.empty())
            words += " (" + more + ")";
        if (layer.dividers)
            words += " " + dividers_words(*layer.dividers, units);
    }
    return words;
}

std::string build_words(const std::vector<JobTrap>& traps, std::size_t index, Units units) {
    const JobTrap& trap = traps[index];
    for (std::size_t i = 0; i < index; ++i)
        if (traps[i].layers == trap.layers && traps[i].open_sides == trap.open_sides &&
            traps[i].place.face_width_m == trap.place.face_width_m &&
            traps[i].place.face_height_m == trap.place.face_height_m)
            return filled(texts::built_as, trap_letter(i));
    return layers_words(trap.layers, units) + "; " + in_words(trap.open_sides);
}

std::string place_words(const TrapPlace& place, Units units) {
    std::string words = place.corner_with ? filled(place.box_across ? texts::place_box : texts::place_corner,
                                                   name(place.wall), name(*place.corner_with))
                                          : filled(texts::place_wall, name(place.wall));
    if (place.along_m > 0)
        words += ", " + filled(texts::place_along, length_text(place.along_m, units));
    if (place.up_m > 0)
        words += ", " + filled(texts::place_up, length_text(place.up_m, units));
    return words;
}

DocumentChart sketch_chart(const JobDescription& job, SketchOf state, Units units) {
    DocumentChart chart;
    chart.name = "room";
    chart.caption = std::string(texts::sketch_caption);
    const bool moved = std::any_of(job.traps.begin(), job.traps.end(), [&](const JobTrap& trap) {
        return state == SketchOf::built && trap.built && trap.built->place;
    });
    if (moved)
        chart.caption += texts::sketch_moved;
    if (!job.room.parts.empty() || !job.room.patches.empty())
        chart.caption += texts::sketch_parts;
    chart.description =
        filled(texts::describes_sketch, job.traps.size(), job.sources.size(), job.microphones.size());
    const RoomShape shape{*job.room.box, job.room.parts};
    chart.height = sketch_height(shape, PageWidth::wide);
    chart.narrow_height = sketch_height(shape, PageWidth::narrow);
    chart.draw = [job, state, units](const ChartSize& size) { return room_sketch(job, state, units, size); };
    return chart;
}

} // namespace ebbmark
