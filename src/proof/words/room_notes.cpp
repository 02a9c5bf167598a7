// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/words/room_notes.hpp"

#include "room/setup.hpp"

#include <fmt/format.h>

#include <string_view>

namespace ebbmark {

namespace {

struct Words {
    std::string operator()(const VolumeUnknown&) const {
        return "The room's volume is not known, so there is neither a Schroeder frequency nor an absorption "
               "area.";
    }
    std::string operator()(const SurfaceUnknown&) const {
        return "The room's surface is not known, so there is no mean absorption coefficient.";
    }
    std::string operator()(const NoMidDecay&) const {
        return "No decay time between 400 Hz and 1.25 kHz, so there is no Schroeder frequency; every "
               "absorption area is to be read as if diffuse.";
    }
    std::string operator()(const LongerThanAir&) const {
        return "In some bands the decay is longer than the air alone allows: check the air's temperature "
               "and humidity, and the volume.";
    }
};

std::string_view words_for(Counted what) {
    switch (what) {
    case Counted::pairs:
        return "source-microphone pairs";
    case Counted::sources:
        return "source places";
    case Counted::microphones:
        break;
    }
    return "microphone places";
}

struct SetupWords {
    std::string operator()(const PairTooClose& note) const {
        return fmt::format("{}-{} does not count: {:.2f} m from source to microphone, {:.2f} m are needed.",
                           note.source, note.microphone, note.distance_m, note.wanted_m);
    }
    std::string operator()(const GradeWantsMore& note) const {
        return fmt::format("The {} grade wants {} {}; {} count.", name(note.grade), note.wanted,
                           words_for(note.what), note.counted);
    }
    std::string operator()(const PlacesTouch&) const {
        return "A microphone touches a surface or stands where another one does: no grade holds at any "
               "frequency.";
    }
    std::string operator()(const NoGradeBelow& note) const {
        return fmt::format("Below {:.0f} Hz no grade holds: half a wavelength between microphones or a "
                           "quarter to the nearest surface is longer than the distances here.",
                           note.hz);
    }
    std::string operator()(const DistancesUnknown&) const {
        return "Not all distances are known (places, volume or decay time are missing), so they could not "
               "all be checked.";
    }
    std::string operator()(const GradeWantsBands& note) const {
        std::string bands;
        for (const Band& band : note.without_decay)
            bands += (bands.empty() ? "" : ", ") + label(band);
        return fmt::format("The {} grade wants more bands than have a decay time; without one (Hz): {}.",
                           name(note.grade), bands);
    }
};

} // namespace

std::string sentence(const SetupNote& note) {
    return std::visit(SetupWords{}, note);
}

std::string sentence(const RoomNote& note) {
    return std::visit(Words{}, note);
}

} // namespace ebbmark
