// SPDX-License-Identifier: GPL-3.0-or-later
#include "files/audio_file.hpp"

#include "base/error.hpp"
#include "files/audio_container.hpp"
#include "files/whole_file.hpp"

#include <fmt/format.h>
#include <sndfile.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstring>
#include <fstream>
#include <memory>
#include <sstream>

namespace ebbmark {

namespace fs = std::filesystem;

namespace {

constexpr int most_channels = 64;
// 2 GiB of doubles: 46 minutes of two channels at 48 kHz, more than any sweep recording.
constexpr std::uint64_t most_samples = std::uint64_t{1} << 28;

struct CloseSound {
    void operator()(SNDFILE* file) const { sf_close(file); }
};
using SoundHandle = std::unique_ptr<SNDFILE, CloseSound>;

[[noreturn]] void refuse(std::string_view name, std::string_view what, std::string_view mend) {
    throw Error(ErrorKind::unusable, fmt::format("{}: {}; {}", name, what, mend));
}

[[noreturn]] void refuse_channel(std::string_view name, int number, std::size_t channels) {
    refuse(name, fmt::format("has no channel {}", number),
           fmt::format("it has {}, counted from 1", channels));
}

constexpr std::string_view lossless_mend = "give the original recording as WAV, FLAC, AIFF, W64 or CAF";

/// What the first bytes of a file look like, for the message about a file that is no sound.
std::string guess(const fs::path& path) {
    std::ifstream file(path, std::ios::binary);
    std::string head(256, '\0');
    file.read(head.data(), static_cast<std::streamsize>(head.size()));
    head.resize(static_cast<std::size_t>(file.gcount()));
    const auto printable = [](char c) {
        return static_cast<unsigned char>(c) >= 32 || std::strchr("\t\r\n", c);
    };
    if (std::all_of(head.begin(), head.end(), [&](char c) { return c != '\0' && printable(c); }))
        return "holds text and no sound";
    if (head.starts_with("RIFF") || head.starts_with("RF64") || head.starts_with("FORM") ||
        head.starts_with("fLaC") || head.starts_with("riff") || head.starts_with("caff"))
        return "starts like an audio file, but its header is damaged";
    if (head.starts_with("PK"))
        return "is a zip archive and no audio file";
    return "is no audio file of a known format";
}

constexpr std::string_view lossy = "is coded with loss, and the coder removes the faint end of a decay";

/// Codings of telephones, video cameras and players, by the first bytes that their standards fix.
bool is_lossy_head(std::string_view head) {
    // Source: published. ISO/IEC 14496-12 ("ftyp" at byte 4), RFC 3533 (Ogg), RFC 4867 (AMR), ETSI TS 103 190
    // and ATSC A/52 (0B 77), ISO/IEC 13818-7 and 11172-3 (sync word of eleven bits), the identifier of the
    // Advanced Systems Format, and the tag in front of layer III.
    const auto byte = [&](std::size_t n) { return static_cast<unsigned char>(head[n]); };
    return head.size() >= 12 &&
           (head.substr(4, 4) == "ftyp" || head.starts_with("OggS") || head.starts_with("#!AMR") ||
            head.starts_with("\x0B\x77") || head.starts_with("\x30\x26\xB2\x75") || head.starts_with("ID3") ||
            (byte(0) == 0xFF && (byte(1) & 0xE0) == 0xE0 && byte(1) != 0xFF));
}

[[noreturn]] void refuse_unknown(const fs::path& path) {
    std::ifstream file(path, std::ios::binary);
    std::string head(12, '\0');
    file.read(head.data(), static_cast<std::streamsize>(head.size()));
    refuse(path.string(),
           is_lossy_head(head) ? "is of a format whose sound is coded with loss as a rule, and such a coder "
                                 "removes the faint end of a decay"
                               : guess(path),
           lossless_mend);
}

std::string_view container_name(int format) {
    switch (format & SF_FORMAT_TYPEMASK) {
    case SF_FORMAT_WAV:
    case SF_FORMAT_WAVEX:
        return "WAV";
    case SF_FORMAT_RF64:
        return "RF64";
    case SF_FORMAT_FLAC:
        return "FLAC";
    case SF_FORMAT_AIFF:
        return "AIFF";
    case SF_FORMAT_W64:
        return "W64";
    case SF_FORMAT_CAF:
        return "CAF";
    default:
        return "";
    }
}

/// Bits of one sample as stored, negative for floating point, 0 where the coding loses information.
int sample_bits(int format) {
    switch (format & SF_FORMAT_SUBMASK) {
    case SF_FORMAT_PCM_S8:
    case SF_FORMAT_PCM_U8:
        return 8;
    case SF_FORMAT_PCM_16:
    case SF_FORMAT_ALAC_16:
        return 16;
    case SF_FORMAT_ALAC_20:
        return 20;
    case SF_FORMAT_PCM_24:
    case SF_FORMAT_ALAC_24:
        return 24;
    case SF_FORMAT_PCM_32:
    case SF_FORMAT_ALAC_32:
        return 32;
    case SF_FORMAT_FLOAT:
        return -32;
    case SF_FORMAT_DOUBLE:
        return -64;
    default:
        return 0;
    }
}

bool is_lossy_container(int format) {
    const int type = format & SF_FORMAT_TYPEMASK;
    return type == SF_FORMAT_OGG || type == SF_FORMAT_MPEG;
}

/// 0 where the header does not say, as in a FLAC stream.
std::uint64_t promised_frames(const SF_INFO& info) {
    return info.frames == SF_COUNT_MAX ? 0 : static_cast<std::uint64_t>(std::max<sf_count_t>(info.frames, 0));
}

void check_format(std::string_view name, const SF_INFO& info) {
    const bool known = !container_name(info.format).empty();
    if (is_lossy_container(info.format) || (known && sample_bits(info.format) == 0))
        refuse(name, lossy, lossless_mend);
    if (!known)
        refuse(name, "is an audio file of a format that is not read here", lossless_mend);
    if (info.samplerate < 8000 || info.samplerate > 192000)
        refuse(name, fmt::format("has a sampling rate of {} Hz", info.samplerate),
               "rates from 8000 to 192000 Hz can be used");
    if (info.channels > most_channels)
        refuse(name, fmt::format("has {} channels", info.channels),
               fmt::format("export at most {}", most_channels));
}

/// A file with less sound than its header promises was cut while copying, or the recorder was stopped hard.
void check_whole(const std::string& name, const SF_INFO& info, const std::optional<PromisedSound>& sound) {
    if (!sound || sound->promised_bytes <= sound->present_bytes)
        return;
    const auto frame_bytes =
        static_cast<std::uint64_t>(std::abs(sample_bits(info.format)) / 8 * std::max(info.channels, 1));
    const std::uint64_t missing = sound->promised_bytes - sound->present_bytes;
    refuse(name,
           fmt::format("is cut off: {} of {} frames are missing at its end",
                       (missing + frame_bytes - 1) / frame_bytes, sound->promised_bytes / frame_bytes),
           "copy the file again from the recorder or export it again");
}

std::string comment_of(SNDFILE* file) {
    const char* text = sf_get_string(file, SF_STR_COMMENT);
    return text ? text : "";
}

void check_samples(std::string_view name, const std::vector<double>& block, std::size_t channels,
                   std::size_t first_frame) {
    for (std::size_t i = 0; i < block.size(); ++i)
        if (!std::isfinite(block[i]))
            refuse(name,
                   fmt::format("sample {} of channel {} is {}", first_frame + i / channels, i % channels + 1,
                               std::isnan(block[i]) ? "no number" : "infinite"),
                   "export the file again from the original recording");
}

// A file in memory: what is written reaches the disk whole or not at all, what is read was read once.
struct Memory {
    std::string bytes;
    std::size_t at = 0;
};

Memory& memory(void* user) {
    return *static_cast<Memory*>(user);
}

sf_count_t memory_size(void* user) {
    return static_cast<sf_count_t>(memory(user).bytes.size());
}

sf_count_t memory_seek(sf_count_t offset, int whence, void* user) {
    Memory& m = memory(user);
    const sf_count_t base = whence == SEEK_SET   ? 0
                            : whence == SEEK_CUR ? static_cast<sf_count_t>(m.at)
                                                 : memory_size(user);
    m.at = static_cast<std::size_t>(base + offset);
    return base + offset;
}

sf_count_t memory_read(void* to, sf_count_t count, void* user) {
    Memory& m = memory(user);
    const auto got =
        m.bytes.copy(static_cast<char*>(to), static_cast<std::size_t>(count), std::min(m.at, m.bytes.size()));
    m.at += got;
    return static_cast<sf_count_t>(got);
}

sf_count_t memory_write(const void* from, sf_count_t count, void* user) {
    Memory& m = memory(user);
    const auto length = static_cast<std::size_t>(count);
    if (m.bytes.size() < m.at + length)
        m.bytes.resize(m.at + length);
    std::memcpy(m.bytes.data() + m.at, from, length);
    m.at += length;
    return count;
}

sf_count_t memory_tell(void* user) {
    return static_cast<sf_count_t>(memory(user).at);
}

SF_VIRTUAL_IO memory_io() {
    return {memory_size, memory_seek, memory_read, memory_write, memory_tell};
}

struct OpenSound {
    std::string name;
    SF_INFO info{};
    SoundHandle handle;
};

OpenSound open_sound(const fs::path& path) {
    require_readable(path);
    OpenSound sound;
    sound.name = path.string();
    if (fs::file_size(path) == 0)
        refuse(sound.name, "is empty (0 bytes)", "copy it again from the recorder or record again");
    sound.handle.reset(sf_open(path.c_str(), SFM_READ, &sound.info));
    if (!sound.handle)
        refuse_unknown(path);
    check_format(sound.name, sound.info);
    check_whole(sound.name, sound.info, promised_sound(path));
    return sound;
}

/// Gives interleaved blocks of the range, in order.
void for_each_block(OpenSound& sound, const AudioRange& range,
                    const std::function<void(const std::vector<double>&)>& take) {
    constexpr std::size_t frames_at_once = 1 << 14;
    const auto channels = static_cast<std::size_t>(sound.info.channels);
    const std::uint64_t promised = promised_frames(sound.info);
    const std::size_t wanted =
        promised == 0
            ? range.count
            : std::min<std::size_t>(range.count, promised - std::min<std::size_t>(range.first, promised));
    if (range.first > 0)
        sf_seek(sound.handle.get(), static_cast<sf_count_t>(range.first), SEEK_SET);
    std::vector<double> block;
    std::size_t done = 0;
    while (done < wanted) {
        block.resize(std::min(frames_at_once, wanted - done) * channels);
        const sf_count_t got = sf_readf_double(sound.handle.get(), block.data(),
                                               static_cast<sf_count_t>(block.size() / channels));
        if (got <= 0)
            break;
        block.resize(static_cast<std::size_t>(got) * channels);
        check_samples(sound.name, block, channels, range.first + done);
        done += static_cast<std::size_t>(got);
        take(block);
    }
    if (promised > 0 && done < wanted)
        refuse(sound.name,
               fmt::format("is cut off or damaged: {} of {} frames are missing at its end", wanted - done,
                           promised),
               "copy the file again from the recorder or export it again");
    if (done == 0)
        refuse(sound.name, "holds no samples", "the recording was not finished or is empty: record again");
}

void check_writable(const std::vector<std::vector<double>>& channels, SampleFormat format,
                    std::string_view name) {
    const std::size_t frames = channels.empty() ? 0 : channels.front().size();
    if (frames == 0)
        refuse(name, "would hold no samples", "nothing was written");
    const std::uint64_t sample_bytes = format == SampleFormat::pcm24 ? 3 : 4;
    if (frames >
        (std::uint64_t{0xFFFFFFFF} - 4096) / sample_bytes / std::max<std::size_t>(channels.size(), 1))
        refuse(name, "would be over 4 GiB", "make the signal shorter");
    for (std::size_t c = 0; c < channels.size(); ++c)
        for (std::size_t i = 0; i < channels[c].size(); ++i) {
            const double x = channels[c][i];
            if (!std::isfinite(x))
                refuse(name, fmt::format("sample {} of channel {} is no finite number", i, c + 1),
                       "nothing was written");
            if (format == SampleFormat::pcm24 && std::abs(x) > 1)
                refuse(name,
                       fmt::format("sample {} of channel {} is {:.6g} and beyond full scale of 24 bits", i,
                                   c + 1, x),
                       "write 32-bit float or lower the level");
        }
}

void write_samples(SNDFILE* file, const std::vector<std::vector<double>>& channels, SampleFormat format) {
    std::vector<int> whole(channels.size());
    std::vector<float> real(channels.size());
    for (std::size_t i = 0; i < channels.front().size(); ++i)
        if (format == SampleFormat::pcm24) {
            // Full scale 2^23, as on reading; the library takes the upper 24 of 32 bits.
            for (std::size_t c = 0; c < channels.size(); ++c)
                whole[c] = static_cast<int>(std::min(std::lround(channels[c][i] * 8388608), 8388607L)) * 256;
            sf_writef_int(file, whole.data(), 1);
        } else {
            for (std::size_t c = 0; c < channels.size(); ++c)
                real[c] = static_cast<float>(channels[c][i]);
            sf_writef_float(file, real.data(), 1);
        }
}

AudioFile read_range(OpenSound& sound, const AudioRange& range) {
    const SF_INFO& info = sound.info;
    const auto channels = static_cast<std::size_t>(info.channels);
    AudioFile audio;
    audio.name = sound.name;
    audio.rate_hz = info.samplerate;
    const int bits = sample_bits(info.format);
    audio.integer_bits = std::max(bits, 0);
    audio.format = fmt::format("{}, {}-bit {}", container_name(info.format), std::abs(bits),
                               bits > 0 ? "integer" : "float");
    audio.comment = comment_of(sound.handle.get());
    audio.channels.resize(channels);
    if (std::min<std::uint64_t>(range.count, promised_frames(info)) > most_samples / channels)
        refuse(audio.name, fmt::format("promises {} frames of {} channels", info.frames, info.channels),
               fmt::format("cut the recording: at most {} samples in all are read", most_samples));
    for_each_block(sound, range, [&](const std::vector<double>& block) {
        for (std::size_t i = 0; i < block.size(); ++i)
            audio.channels[i % channels].push_back(block[i]);
        if (audio.frames() > most_samples / channels)
            refuse(audio.name, fmt::format("holds more than {} samples", most_samples), "cut the recording");
    });
    return audio;
}

} // namespace

Signal AudioFile::channel(int number) const {
    if (number < 1 || static_cast<std::size_t>(number) > channels.size())
        refuse_channel(name, number, channels.size());
    return {channels[static_cast<std::size_t>(number) - 1], rate_hz};
}

AudioFile read_audio(const fs::path& path, const AudioRange& range) {
    OpenSound sound = open_sound(path);
    return read_range(sound, range);
}

AudioFile read_audio_within(const fs::path& path, const TimeRange& range) {
    OpenSound sound = open_sound(path);
    const auto frame = [&](double time_s) {
        return static_cast<std::size_t>(std::llround(std::max(0.0, time_s) * sound.info.samplerate));
    };
    return read_range(sound, {frame(range.from_s), frame(range.to_s) - frame(range.from_s)});
}

AudioFile audio_of(std::string bytes, std::string_view name) {
    Memory source{std::move(bytes)};
    SF_VIRTUAL_IO io = memory_io();
    OpenSound sound;
    sound.name = name;
    sound.handle.reset(sf_open_virtual(&io, SFM_READ, &sound.info, &source));
    if (!sound.handle)
        refuse(sound.name, "is no audio file", "make it again");
    check_format(sound.name, sound.info);
    std::istringstream again(source.bytes);
    check_whole(sound.name, sound.info, promised_sound(again));
    return read_range(sound, {});
}

AudioHeader audio_header(const fs::path& path) {
    const OpenSound sound = open_sound(path);
    return {static_cast<double>(sound.info.samplerate), static_cast<std::size_t>(promised_frames(sound.info)),
            sound.info.channels, comment_of(sound.handle.get())};
}

void read_channel(const fs::path& path, int channel,
                  const std::function<void(std::span<const double>)>& take) {
    OpenSound sound = open_sound(path);
    const auto channels = static_cast<std::size_t>(sound.info.channels);
    if (channel < 1 || static_cast<std::size_t>(channel) > channels)
        refuse_channel(sound.name, channel, channels);
    std::vector<double> one;
    for_each_block(sound, {}, [&](const std::vector<double>& block) {
        one.clear();
        for (std::size_t i = static_cast<std::size_t>(channel) - 1; i < block.size(); i += channels)
            one.push_back(block[i]);
        take(one);
    });
}

std::string wav_bytes(const std::vector<std::vector<double>>& channels, double rate_hz, SampleFormat format,
                      std::string_view comment, std::string_view name) {
    check_writable(channels, format, name);
    SF_INFO info{};
    info.samplerate = static_cast<int>(std::lround(rate_hz));
    info.channels = static_cast<int>(channels.size());
    info.format = SF_FORMAT_WAV | (format == SampleFormat::pcm24 ? SF_FORMAT_PCM_24 : SF_FORMAT_FLOAT);
    SF_VIRTUAL_IO io = memory_io();
    Memory target;
    SoundHandle file(sf_open_virtual(&io, SFM_WRITE, &info, &target));
    if (!file)
        throw Error(ErrorKind::bug, fmt::format("{}: {}", name, sf_strerror(nullptr)));
    // The peak chunk carries the time of writing.
    sf_command(file.get(), SFC_SET_ADD_PEAK_CHUNK, nullptr, SF_FALSE);
    if (!comment.empty())
        sf_set_string(file.get(), SF_STR_COMMENT, std::string(comment).c_str());
    write_samples(file.get(), channels, format);
    file.reset();
    return std::move(target.bytes);
}

void write_audio(const fs::path& path, const std::vector<std::vector<double>>& channels, double rate_hz,
                 SampleFormat format, std::string_view comment, Overwrite overwrite) {
    write_whole(path, wav_bytes(channels, rate_hz, format, comment, path.string()), overwrite);
}

} // namespace ebbmark
