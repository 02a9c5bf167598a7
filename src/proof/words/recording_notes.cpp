// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/words/recording_notes.hpp"

#include <fmt/format.h>

namespace ebbmark {

namespace {

struct Words {
    std::string operator()(const SweepsMissing& note) const {
        return fmt::format("{} of {} sweeps are in the recording.", note.found, note.played);
    }
    std::string operator()(const SweepsLeftOut& note) const {
        return fmt::format("{} of {} sweeps were used; the others are disturbed or differ.", note.used,
                           note.found);
    }
    std::string operator()(const HumTakenOut& note) const {
        return fmt::format("Hum of the {:g} Hz mains was taken out at {} frequencies.", note.mains_hz,
                           note.lines);
    }
    std::string operator()(const ClockFromOneSweep&) const {
        return "The clocks' difference comes from a single sweep, to about 1 ppm: a loudspeaker whose delay "
               "changes with frequency looks alike.";
    }
    std::string operator()(const AirChanged& note) const {
        return fmt::format("Between the sweeps the sound in the room changed its speed by {:.2g} %, as "
                           "{:.2g} degrees C do: taken out. Let ventilation and heating settle before the "
                           "next take.",
                           note.percent, note.kelvin);
    }
    std::string operator()(const ShortSweep& note) const {
        return fmt::format("The sweep is short: where the loudspeaker distorts by 3 % and the room rings for "
                           "0.6 s, the response is good to about {:.0f} dB; sweeps of {:.1f} s and more "
                           "reach -62 dB.",
                           note.error_db, note.clear_from_s);
    }
};

} // namespace

std::string sentence(const RecordingNote& note) {
    return std::visit(Words{}, note);
}

} // namespace ebbmark
