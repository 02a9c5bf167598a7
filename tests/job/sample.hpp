// SPDX-License-Identifier: GPL-3.0-or-later
// An invented job that the tests share.
#pragma once

#include "../files/folder.hpp"
#include "files/audio_file.hpp"
#include "job/job_folder.hpp"

#include <cmath>
#include <string>

namespace ebbmark::sample {

/// The job of the documentation of the file format, with two more microphones.
inline const std::string job_toml = R"([job]
title = "Rehearsal room, invented"
client = "A. Client"
address = "1 Invented Street"
contractor = "B. Builder"
invoice = "2026-17"
acceptance = { at_least_percent = 20, of = "question" }
[question]
kind = "bands"
from = "40 Hz"
to = "200 Hz"
[room]
length = "4.1 m"
width = "3.3 m"
height = "2.6 m"
target = "ITU-R BS.1116-3"
[[source]]
id = "S1"
at = ["0.6 m", "1.1 m", "1.2 m"]
lowest = "35 Hz"
[[microphone]]
id = "M1"
at = ["2.4 m", "1.65 m", "1.2 m"]
listening = true
[[microphone]]
id = "M2"
at = ["3.2 m", "8 ft", "47 1/4 in"]
distances = { rear = "0.9 m", right = "0.86 m", floor = "1.2 m" }
photo = "m2.jpg"
[[microphone]]
id = "M3"
at = ["3.9 m", "0.2 m", "0.2 m"]
[[trap]]
name = "rear wall"
face_width = "1.2 m"
face_height = "2.0 m"
wall = "rear"
along = "0.4 m"
up = "0.2 m"
open_sides = true
[[trap.layer]]
material = "air"
thickness = "3 cm"
[[trap.layer]]
material = "stone wool 45"
thickness = "12 cm"
[[trap.layer]]
material = "cloth"
flow_resistance = "150 Pa.s/m"
)";

inline const Occasion morning{"2026-11-25T09:30:00+01:00", "ebbmark 0.1.0"};

/// A started job with the description above; closed again.
inline std::filesystem::path new_job(const TestFolder& folder, std::string_view name = "job") {
    const auto path = folder / name;
    JobFolder::create(path);
    std::ofstream(path / "job.toml") << job_toml;
    return path;
}

/// A short sound whose samples differ from that of every other number.
inline std::string wav(int number, std::size_t frames = 400) {
    std::vector<double> samples(frames);
    for (std::size_t i = 0; i < frames; ++i)
        samples[i] =
            0.5 * std::sin(0.01 * static_cast<double>((i + 1) * static_cast<std::size_t>(number + 1)));
    return wav_bytes({samples, samples}, 48000, SampleFormat::float32, "", "sample");
}

inline NewSound sound(int number, const std::string& position) {
    NewSound s;
    s.bytes = wav(number);
    s.original_name = "rec " + std::to_string(number) + ".WAV";
    s.sweep = Sweep{20, 20000, 10, 48000, -12, 0, 0.1, 0.005, 0.5, 2, 14, 2};
    s.takes = {{position, false, 1, {}, true, {{CheckName::clipping, 0, 0, "samples"}}}};
    return s;
}

/// Every item of a visit's protocol, filled in.
inline std::string filled_protocol(const std::string& date) {
    return "[visit]\ndate = " + date +
           "\n[air]\ntemperature_start = \"21 °C\"\nhumidity_start = \"45 %\"\ntemperature_end = \"70.7 "
           "°F\"\n"
           "humidity_end = \"46 %\"\n[equipment]\nloudspeaker = \"invented 1\"\nmicrophone = \"invented 2\"\n"
           "recorder = \"invented 3\"\nloudspeaker_settings = \"0 dB\"\nequaliser_off = true\n[room]\n"
           "doors = \"closed\"\nwindows = \"closed\"\nventilation = \"off\"\nfurniture = \"as "
           "usual\"\npersons = 1\n";
}

} // namespace ebbmark::sample
