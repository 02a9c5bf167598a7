// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/words/result_notes.hpp"

#include "proof/words/job_notes.hpp"
#include "proof/words/recording_notes.hpp"

#include <fmt/format.h>

namespace ebbmark {

namespace {

std::string energy_text(const std::array<Measured, 3>& left_db) {
    std::string text;
    for (const Measured& one : left_db)
        text += (text.empty() ? "" : ", ") + (one ? fmt::format("{:.0f} dB", *one) : "not known (noise)");
    return text;
}

struct Words {
    std::string operator()(const RecordingNote& note) const { return sentence(note); }
    std::string operator()(const JobNote& note) const { return sentence(note); }
    std::string operator()(const RepairNote& note) const { return sentence(note); }
    std::string operator()(const Said& note) const { return note.text; }
    /// As the evidence keeps it.
    std::string operator()(const BroadcastInfo& info) const { return sentence(info); }
    std::string operator()(const CurveFallsShort& note) const {
        std::string bands;
        for (const double hz : note.bands_hz)
            bands += fmt::format("{}{:g}", bands.empty() ? "" : ", ", hz);
        return fmt::format(
            "The microphone's curve does not reach {} Hz; its last value was taken for the level there.",
            bands);
    }
    std::string operator()(const NoCalibrator&) const {
        return "Levels of noise are relative to full scale: without a calibrator nothing is known of sound "
               "pressure. Decay times need none.";
    }
    std::string operator()(const DriverReported& note) const {
        return fmt::format("The sound driver reported {} at {:.1f} s{}. It may be wrong either way: what "
                           "counts is the check of the recording itself for lost samples.",
                           note.message, note.at_s,
                           note.more == 0 ? "" : fmt::format(", and {} more", note.more));
    }
    std::string operator()(const MadeElsewhere&) const {
        return "An impulse response made elsewhere: its recording was not seen, so its quality was not "
               "checked.";
    }
    std::string operator()(const RestsOnListeningPlaces& note) const {
        return fmt::format("The figures rest on the {} positions at listening places, not on all {}.",
                           note.places, note.of);
    }
    std::string operator()(const NewModes& note) const {
        std::string modes;
        for (const NewMode& mode : note.modes)
            modes +=
                fmt::format("{}{:.1f} Hz (T60 {:.2f} s)", modes.empty() ? "" : ", ", mode.hz, mode.t60_s);
        return fmt::format("Modes after that were not told apart before: {}.", modes);
    }
    std::string operator()(const EnergyLeft& note) const {
        return fmt::format("Energy left in 20 to 200 Hz after 100, 200 and 300 ms, mean over the positions: "
                           "before {}; after {}.",
                           energy_text(note.before_db), energy_text(note.after_db));
    }
    std::string operator()(const ModesNotCompared& note) const {
        return fmt::format("Single modes are not compared: {}.", note.because.text);
    }
    std::string operator()(const DriftNotTold& note) const {
        return fmt::format("The visits {} and {}, both before the build, {}: how much the room changes from "
                           "visit to visit is not known from them.",
                           note.from, note.to,
                           note.no_position ? "have no position in common"
                                            : "were measured under conditions that differ too much");
    }
    std::string operator()(const MeasuredOnce& note) const {
        return fmt::format("Position {} was measured in visit {} only and is left out.", note.position.name(),
                           note.visit);
    }
    std::string operator()(const TrapsNotTold& note) const {
        return fmt::format("The absorption is given in total only: the protocols do not tell which traps "
                           "visit {} added to those of visit {} ([room] traps in visit.toml).",
                           note.visit, note.before);
    }
    std::string operator()(const KeptResponsesDiffer& note) const {
        const bool one = note.files.size() == 1;
        return fmt::format("{} kept in the job {} not what the recording gives, and {} not used: {}.",
                           one ? "One response" : fmt::format("{} responses", note.files.size()),
                           one ? "was" : "were", one ? "was" : "were", fmt::join(note.files, ", "));
    }
    std::string operator()(const MadeFromKept&) const {
        return "Made from the responses kept in results where they are there. A page, a file, JSON and CSV "
               "are made from the recordings themselves, as proof and bundle are.";
    }
    std::string operator()(const RecordingWaits& note) const {
        return fmt::format("A recording waits in {}, made by a program that was ended before it was kept: "
                           "the command in the file brings it in; then delete both.",
                           note.file);
    }
};

} // namespace

std::string sentence(const Note& note) {
    return std::visit(Words{}, note);
}

} // namespace ebbmark
