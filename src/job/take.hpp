// SPDX-License-Identifier: GPL-3.0-or-later
// One take: which sound it is, where and how it was made, and what its checks said. Written once, never
// changed; leaving it out is a file of its own beside it.
#pragma once

#include "base/quality_check.hpp"
#include "job/description.hpp"
#include "job/names.hpp"
#include "signal/sweep.hpp"

#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace ebbmark {

/// A part of a recording, in seconds from its start.
struct Segment {
    double from_s = 0;
    double to_s = 0;
    friend bool operator==(const Segment&, const Segment&) = default;
};

enum class CalibrationKind { microphone_curve, calibrator, loopback };

/// As in kept takes and machine-readable output, in the order of CalibrationKind.
inline constexpr std::array<std::string_view, 3> calibration_codes = {"microphone curve", "calibrator",
                                                                      "loopback"};
constexpr std::string_view code(CalibrationKind kind) {
    return calibration_codes[static_cast<std::size_t>(kind)];
}

/// A file that makes levels absolute, or the device's own response known, kept with the take.
struct TakeCalibration {
    CalibrationKind kind = CalibrationKind::microphone_curve;
    std::string file; ///< path in the job folder
    std::string sha256;
    std::string date; ///< as the file says, or empty
    std::optional<double> pascal_per_unit;
    friend bool operator==(const TakeCalibration&, const TakeCalibration&) = default;
};

/// What the sound of a take is.
enum class SoundKind {
    recording, ///< a recorded sweep
    response   ///< an impulse response, made elsewhere
};

/// The device of a take whose sound came as a file.
inline constexpr std::string_view came_as_file = "file";

struct Take {
    std::string visit;
    Position position;
    int number = 1;         ///< counts per visit, position and kind of take
    bool is_return = false; ///< measured again after the microphone was moved away and back
    std::string made_at;    ///< ISO 8601 with zone
    std::string program;    ///< name and version of the program that kept it
    std::string device;     ///< sound device, or came_as_file
    bool simulated = false; ///< made by a virtual device
    bool accepted = true;   ///< by its own quality checks
    std::vector<QualityCheck> checks;
    std::vector<TakeCalibration> calibrations;

    SoundKind kind = SoundKind::recording;
    std::string sound; ///< path in the job folder
    std::string sound_sha256;
    std::string original_name; ///< of the file that was brought in
    std::string recorded;      ///< what the recorder wrote into it: when and what, as a sentence
    int channel = 1;           ///< counted from 1
    int loopback_channel = 0;  ///< electrical loopback; 0: none
    std::optional<Segment> segment;
    std::optional<Sweep> sweep;
    std::string excitation; ///< path in the job folder, where the sweep is known only by its samples
    std::string excitation_sha256;

    // The visit's protocol and job.toml as they stood, paths in the job folder; empty in older takes.
    std::string protocol, protocol_sha256;
    std::string description, description_sha256;

    // Snapshot of the job's settings.
    JobRoom room;
    SourcePlace source;
    MicrophonePlace microphone;

    std::string excluded_because; ///< empty: not excluded

    /// "S1-M1-01" or "S1-M1-return-01".
    std::string name() const;
    /// "before/S1-M1-01", as `exclude` wants it.
    std::string id() const { return visit + "/" + name(); }
    bool in_use() const { return accepted && excluded_because.empty(); }
};

/// The takes at a visit's positions, or those that measured one again after the microphone was moved away.
enum class TakeSet { positions, returns };

/// Where a visit began and where its return is to be measured; nothing where it has no take.
std::optional<Position> first_position(const std::vector<Take>& takes, std::string_view visit);

/// The text of the take's file.
std::string to_toml(const Take& take);

/// Throws Error(unusable) where the text is not that of a take. `name` stands for the file.
Take take_from_toml(std::string_view text, std::string_view name);

/// The file that leaves a take out.
std::string exclusion_toml(std::string_view because, std::string_view excluded_at);
std::string exclusion_reason(std::string_view text, std::string_view name);

} // namespace ebbmark
