// SPDX-License-Identifier: GPL-3.0-or-later
// Audio files. The only place that knows libsndfile.
#pragma once

#include "base/signal.hpp"
#include "files/whole_file.hpp"

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <functional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace ebbmark {

/// The sound of a file. Integer formats are scaled so that full scale is ±1.
struct AudioFile {
    std::vector<std::vector<double>> channels; ///< at least one, all of one length, at least one sample
    double rate_hz = 0;
    int integer_bits = 0; ///< resolution of an integer format; 0: floating point
    std::string format;   ///< for people, such as "WAV, 24-bit integer"
    std::string comment;  ///< the file's comment text, often empty

    std::size_t frames() const { return channels.front().size(); }
    /// Channel counted from 1, as on the command line. Throws Error(unusable) where there is none.
    Signal channel(int number) const;
    std::string name; ///< as given, for messages
};

/// Frames of a file, counted from 0.
struct AudioRange {
    std::size_t first = 0;
    std::size_t count = SIZE_MAX; ///< as many as there are
};

/// Reads WAV, Broadcast Wave, RF64, FLAC, AIFF, W64 and CAF, whole or a range of it. Throws Error(unusable)
/// that names the file, the place and the mend where it is missing, empty, no such file, cut off, of a lossy
/// format, holds samples that are no finite numbers, no samples, over 64 channels, over 2^28 samples in the
/// range, or a rate outside 8 to 192 kHz.
AudioFile read_audio(const std::filesystem::path& path, const AudioRange& range = {});

/// The part between two moments of a file, in seconds from its start.
struct TimeRange {
    double from_s = 0, to_s = 0;
};
AudioFile read_audio_within(const std::filesystem::path& path, const TimeRange& range);

/// The sound in the bytes of a file. `name` is for messages. Throws as read_audio does.
AudioFile audio_of(std::string bytes, std::string_view name);

/// What the header says.
struct AudioHeader {
    double rate_hz = 0;
    std::size_t frames = 0; ///< 0 where it does not say
    int channels = 0;
    std::string comment; ///< the file's comment text, often empty
};

/// Throws as read_audio does for what it can see.
AudioHeader audio_header(const std::filesystem::path& path);

/// Gives one channel, counted from 1, block by block, so that a long file needs little memory. Throws as
/// read_audio does, but for the number of samples.
void read_channel(const std::filesystem::path& path, int channel,
                  const std::function<void(std::span<const double>)>& take);

enum class SampleFormat { pcm24, float32 };

/// The bytes of a WAV file. The same sound gives the same bytes: there is no date in them. `comment` is
/// printable text or empty. Throws Error(unusable), naming `name`, where a sample is not finite or, with
/// pcm24, beyond full scale, and where the file would be over 4 GiB.
std::string wav_bytes(const std::vector<std::vector<double>>& channels, double rate_hz, SampleFormat format,
                      std::string_view comment, std::string_view name);

/// wav_bytes to a file, whole or not at all. Throws Error(unusable) as wav_bytes and write_whole do.
void write_audio(const std::filesystem::path& path, const std::vector<std::vector<double>>& channels,
                 double rate_hz, SampleFormat format, std::string_view comment, Overwrite overwrite);

} // namespace ebbmark
