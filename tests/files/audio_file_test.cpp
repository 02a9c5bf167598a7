// SPDX-License-Identifier: GPL-3.0-or-later
#include "files/audio_file.hpp"
#include "files/whole_file.hpp"
#include "folder.hpp"

#include <doctest/doctest.h>
#include <sndfile.h> // writes the lossy files that the program refuses

#include <bit>
#include <cmath>
#include <cstdint>
#include <limits>
#include <span>
#include <vector>

using namespace ebbmark;

namespace {

std::string little(std::uint64_t value, int bytes) {
    std::string text;
    for (int i = 0; i < bytes; ++i)
        text += static_cast<char>(value >> (8 * i));
    return text;
}

std::string big(std::uint64_t value, int bytes) {
    const std::string text = little(value, bytes);
    return {text.rbegin(), text.rend()};
}

std::string as_bytes(const std::vector<std::int16_t>& samples, bool big_endian) {
    std::string bytes;
    for (const std::int16_t sample : samples)
        bytes += (big_endian ? big : little)(static_cast<std::uint16_t>(sample), 2);
    return bytes;
}

std::string as_floats(const std::vector<float>& samples) {
    std::string bytes;
    for (const float sample : samples)
        bytes += little(std::bit_cast<std::uint32_t>(sample), 4);
    return bytes;
}

struct WavParts {
    unsigned tag = 1; ///< 1 integer, 3 float, 7 µ-law
    unsigned channels = 1;
    unsigned rate = 48000;
    unsigned bits = 16;
};

std::string wav_header(const WavParts& w, std::uint64_t promised_bytes) {
    const unsigned block = w.channels * w.bits / 8;
    return "RIFF" + little(36 + promised_bytes, 4) + "WAVEfmt " + little(16, 4) + little(w.tag, 2) +
           little(w.channels, 2) + little(w.rate, 4) + little(w.rate * block, 4) + little(block, 2) +
           little(w.bits, 2) + "data" + little(promised_bytes, 4);
}

std::string wav(const WavParts& w, const std::string& data) {
    return wav_header(w, data.size()) + data;
}

// What every file below holds: two channels, three frames.
const std::vector<std::int16_t> six = {0, 1, 16384, -16384, 32767, -32768};

void check_six(const AudioFile& audio) {
    CAPTURE(audio.name);
    REQUIRE(audio.channels.size() == 2);
    REQUIRE(audio.frames() == 3);
    CHECK(audio.rate_hz == 48000);
    CHECK(audio.integer_bits == 16);
    for (std::size_t i = 0; i < six.size(); ++i)
        CHECK(audio.channels[i % 2][i / 2] == six[i] / 32768.0);
}

std::string guid(const std::string& four_letters, const std::string& rest) {
    return four_letters + rest;
}

std::string w64(const std::vector<std::int16_t>& samples) {
    // Source: published. The 64-bit RIFF layout: names of 16 bytes, lengths of 8 that count name and length.
    const std::string tail("\xF3\xAC\xD3\x11\x8C\xD1\x00\xC0\x4F\x8E\xDB\x8A", 12);
    const std::string riff_tail("\x2E\x91\xCF\x11\xA5\xD6\x28\xDB\x04\xC1\x00\x00", 12);
    const std::string data = as_bytes(samples, false);
    const std::string form =
        little(1, 2) + little(2, 2) + little(48000, 4) + little(192000, 4) + little(4, 2) + little(16, 2);
    return guid("riff", riff_tail) + little(40 + 40 + 24 + data.size(), 8) + guid("wave", tail) +
           guid("fmt ", tail) + little(40, 8) + form + guid("data", tail) + little(24 + data.size(), 8) +
           data;
}

std::string aiff(const std::vector<std::int16_t>& samples) {
    const std::string data = as_bytes(samples, true);
    // 48000 as an 80-bit extended number: exponent 16383 + 15, mantissa 48000 · 2^48.
    const std::string rate = big(0x400E, 2) + big(std::uint64_t{48000} << 48, 8);
    const std::string common =
        "COMM" + big(18, 4) + big(2, 2) + big(samples.size() / 2, 4) + big(16, 2) + rate;
    const std::string sound = "SSND" + big(8 + data.size(), 4) + big(0, 8) + data;
    return "FORM" + big(4 + common.size() + sound.size(), 4) + "AIFF" + common + sound;
}

std::string caf(const std::vector<std::int16_t>& samples) {
    const std::string data = as_bytes(samples, true);
    const std::string description = big(std::bit_cast<std::uint64_t>(48000.0), 8) + "lpcm" + big(0, 4) +
                                    big(4, 4) + big(1, 4) + big(2, 4) + big(16, 4);
    return "caff" + big(1, 2) + big(0, 2) + "desc" + big(32, 8) + description + "data" +
           big(4 + data.size(), 8) + big(0, 4) + data;
}

std::string rf64(const std::vector<std::int16_t>& samples) {
    // Source: published. EBU Tech 3306: lengths of all ones, the true ones in ds64.
    const std::string data = as_bytes(samples, false);
    const std::string ds64 = "ds64" + little(28, 4) + little(72 + data.size(), 8) + little(data.size(), 8) +
                             little(samples.size() / 2, 8) + little(0, 4);
    return "RF64" + little(0xFFFFFFFF, 4) + "WAVE" + ds64 + "fmt " + little(16, 4) + little(1, 2) +
           little(2, 2) + little(48000, 4) + little(192000, 4) + little(4, 2) + little(16, 2) + "data" +
           little(0xFFFFFFFF, 4) + data;
}

std::string broadcast_wav(const std::vector<std::int16_t>& samples) {
    // Source: published. EBU Tech 3285: a bext chunk of 602 bytes before the sound.
    const std::string data = as_bytes(samples, false);
    const std::string plain = wav({1, 2, 48000, 16}, data);
    const std::string bext = "bext" + little(602, 4) + std::string(602, '\0');
    return "RIFF" + little(plain.size() - 8 + bext.size(), 4) + "WAVE" + bext + plain.substr(12);
}

std::string refused(const TestFolder& folder, std::string_view name, std::string_view bytes) {
    const auto path = folder.write(name, bytes);
    const std::string text = refusal([&] { read_audio(path); });
    CHECK(text.starts_with(path.string() + ": "));
    return text;
}

} // namespace

TEST_CASE("all containers that hold sound without loss are read to the last bit") {
    // Source: closed form. The files are put together byte by byte after the formats' definitions.
    const TestFolder folder;
    check_six(read_audio(folder.write("a.wav", wav({1, 2, 48000, 16}, as_bytes(six, false)))));
    check_six(read_audio(folder.write("b.wav", broadcast_wav(six))));
    check_six(read_audio(folder.write("a.rf64", rf64(six))));
    check_six(read_audio(folder.write("a.aiff", aiff(six))));
    check_six(read_audio(folder.write("a.w64", w64(six))));
    check_six(read_audio(folder.write("a.caf", caf(six))));
    CHECK(read_audio(folder / "a.w64").format == "W64, 16-bit integer");
}

TEST_CASE("a FLAC file of the standard's text is read") {
    // Source: published, bytes from memory: RFC 9639, appendix D.1, one frame of two channels. The MD5 of the
    // samples that stands in the file, 3e84b418..., is that of 25588 and 10416.
    const std::string hex = "664c614380000022100010000000 0f00000f0ac442f0000000013e84b41807dc69030758"
                            "6a3dad1a2e0ffff869180000bf0358fd03128baa9a";
    std::string bytes, digits;
    for (const char c : hex)
        if (c != ' ')
            digits += c;
    for (std::size_t i = 0; i + 1 < digits.size(); i += 2)
        bytes += static_cast<char>(std::stoi(digits.substr(i, 2), nullptr, 16));
    const TestFolder folder;
    const AudioFile audio = read_audio(folder.write("a.flac", bytes));
    REQUIRE(audio.channels.size() == 2);
    REQUIRE(audio.frames() == 1);
    CHECK(audio.rate_hz == 44100);
    CHECK(audio.channels[0][0] == 25588 / 32768.0);
    CHECK(audio.channels[1][0] == 10416 / 32768.0);
    CHECK(audio.format == "FLAC, 16-bit integer");
    SUBCASE("also as a stream that does not say its length") {
        bytes[25] = 0;
        CHECK(read_audio(folder.write("stream.flac", bytes)).frames() == 1);
    }
    SUBCASE("but not where its header promises more frames") {
        bytes[25] = 9;
        CHECK(contains(refused(folder, "short.flac", bytes), "8 of 9 frames are missing"));
    }
}

TEST_CASE("8 kHz, 192 kHz, one sample and eight channels are sound") {
    const TestFolder folder;
    const AudioFile low = read_audio(folder.write("low.wav", wav({1, 1, 8000, 16}, as_bytes({100}, false))));
    CHECK(low.rate_hz == 8000);
    CHECK(low.frames() == 1);
    const AudioFile high = read_audio(
        folder.write("high.wav", wav({1, 8, 192000, 16}, as_bytes({1, 2, 3, 4, 5, 6, 7, 8}, false))));
    CHECK(high.channels.size() == 8);
    CHECK(high.channel(8).samples[0] == 8 / 32768.0);
    CHECK(contains(refusal([&] { high.channel(9); }), "has no channel 9; it has 8, counted from 1"));
    CHECK_THROWS_AS(high.channel(0), Error);
}

TEST_CASE("files that are no sound are refused with what they are") {
    const TestFolder folder;
    CHECK(contains(refused(folder, "text.wav", "This is a shopping list.\n"), "holds text and no sound"));
    CHECK(contains(refused(folder, "empty.wav", ""), "is empty (0 bytes)"));
    CHECK(contains(refused(folder, "noise.wav", std::string("\x01\x02\x80\xff\x00\x07", 6)),
                   "no audio file of a"));
    CHECK(contains(refused(folder, "head.wav", "RIFF\x10" + std::string(3, '\0')), "header is damaged"));
    CHECK(contains(refused(folder, "no-samples.wav", wav({1, 1, 48000, 16}, "")), "holds no samples"));
    CHECK(contains(refusal([&] { read_audio(folder / "none.wav"); }), "does not exist"));
    CHECK(contains(refusal([&] { read_audio(folder.path()); }), "is a folder"));
}

TEST_CASE("a file that was cut off is refused with the number of missing frames") {
    const TestFolder folder;
    const std::string data(400, '\1');
    CHECK(contains(refused(folder, "a.wav", wav_header({1, 2, 48000, 16}, 400) + data.substr(0, 200)),
                   "50 of 100 frames are missing at its end; copy the file again"));
    CHECK(contains(refused(folder, "b.wav", wav_header({1, 2, 48000, 16}, 400) + data.substr(0, 399)),
                   "1 of 100 frames"));
    const auto without_end = [](std::string bytes) { return bytes.substr(0, bytes.size() - 4); };
    CHECK(contains(refused(folder, "a.w64", without_end(w64(six))), "1 of 3 frames"));
    CHECK(contains(refused(folder, "a.rf64", without_end(rf64(six))), "1 of 3 frames"));
    CHECK(contains(refused(folder, "a.aiff", without_end(aiff(six))), "are missing at its end"));
    CHECK(contains(refused(folder, "a.caf", without_end(caf(six))), "are missing at its end"));
}

TEST_CASE("samples that are no finite numbers are refused with channel and sample") {
    const TestFolder folder;
    const float nan = std::numeric_limits<float>::quiet_NaN();
    const float infinity = std::numeric_limits<float>::infinity();
    const WavParts stereo{3, 2, 48000, 32};
    CHECK(contains(refused(folder, "a.wav", wav(stereo, as_floats({0, 0, 0, 0, 0, nan}))),
                   "sample 2 of channel 2 is no number"));
    CHECK(contains(refused(folder, "b.wav", wav(stereo, as_floats({0, 0, -infinity, 0}))),
                   "sample 1 of channel 1 is infinite"));
}

TEST_CASE("rates, channels and sizes outside the range are refused") {
    const TestFolder folder;
    const std::string one = as_bytes({1}, false);
    CHECK(contains(refused(folder, "a.wav", wav({1, 1, 7999, 16}, one)),
                   "sampling rate of 7999 Hz; rates from 8000"));
    CHECK(contains(refused(folder, "b.wav", wav({1, 1, 384000, 16}, one)), "384000 Hz"));
    CHECK(contains(refused(folder, "c.wav", wav({1, 65, 48000, 16}, std::string(130, '\0'))), "65 channels"));
    const auto huge = folder.write("huge.wav", wav_header({1, 1, 48000, 8}, 400000000));
    std::filesystem::resize_file(huge, 400000044); // a hole, no bytes on the disk
    CHECK(contains(refusal([&] { read_audio(huge); }),
                   "promises 400000000 frames of 1 channels; cut the recording"));
}

TEST_CASE("a range of a file is read, and a channel block by block, as they are in the whole") {
    const TestFolder folder;
    std::vector<std::vector<double>> channels(2);
    for (int n = 0; n < 50000; ++n) {
        channels[0].push_back(std::ldexp(n, -20));
        channels[1].push_back(-std::ldexp(n, -20));
    }
    const auto path = folder / "two.wav";
    write_audio(path, channels, 48000, SampleFormat::pcm24, "", Overwrite::never);
    const AudioHeader header = audio_header(path);
    CHECK(header.frames == 50000);
    CHECK(header.channels == 2);
    CHECK(header.rate_hz == 48000);
    const AudioFile range = read_audio(path, {20001, 17000});
    REQUIRE(range.frames() == 17000);
    CHECK(range.channels[1].front() == channels[1][20001]);
    CHECK(range.channels[0].back() == channels[0][37000]);
    CHECK(read_audio(path, {49990, 100}).frames() == 10);
    std::vector<double> whole;
    read_channel(path, 2, [&](std::span<const double> block) {
        CHECK(block.size() <= 16384);
        whole.insert(whole.end(), block.begin(), block.end());
    });
    CHECK(whole == channels[1]);
    CHECK_THROWS(read_channel(path, 3, [](std::span<const double>) {}));
    CHECK_THROWS(read_audio(path, {50000, 1}));
}

TEST_CASE("files of players and telephones are refused with the reason") {
    // Source: published. First bytes: ISO/IEC 14496-12, RFC 3533, RFC 4867, ISO/IEC 13818-7, ATSC A/52.
    const TestFolder folder;
    const std::string filler(64, '\x01');
    for (const std::string& head :
         {std::string("\0\0\0\x20"
                      "ftypM4A ",
                      12),
          std::string("#!AMR\n"), std::string("\x0B\x77"), std::string("\xFF\xF1\x50\x80"),
          std::string("\x30\x26\xB2\x75\x8E\x66\xCF\x11")})
        CHECK(contains(refused(folder, "a.bin", head + filler), "with loss"));
}

TEST_CASE("lossy codings are refused with the reason") {
    const TestFolder folder;
    CHECK(contains(refused(folder, "a.wav", wav({7, 1, 48000, 8}, "abcd")), "coded with loss"));
    for (const int format : {SF_FORMAT_OGG | SF_FORMAT_VORBIS, SF_FORMAT_OGG | SF_FORMAT_OPUS,
                             SF_FORMAT_MPEG | SF_FORMAT_MPEG_LAYER_III}) {
        SF_INFO info{};
        info.samplerate = 48000;
        info.channels = 1;
        info.format = format;
        if (!sf_format_check(&info)) // built without this coder
            continue;
        const auto path = folder / "lossy.wav";
        SNDFILE* file = sf_open(path.c_str(), SFM_WRITE, &info);
        REQUIRE(file);
        const std::vector<double> silence(9600, 0.01);
        sf_writef_double(file, silence.data(), 9600);
        sf_close(file);
        CHECK(contains(refusal([&] { read_audio(path); }),
                       "coded with loss, and the coder removes the faint end"));
    }
}

TEST_CASE("what was written is read back: exactly as float, to half a step as 24 bits") {
    const TestFolder folder;
    const std::vector<std::vector<double>> channels = {{0, 0.5, -1, 1, 1e-6}, {0.1, -0.2, 0.3, -0.4, 0.25}};
    write_audio(folder / "f.wav", channels, 44100, SampleFormat::float32, "a note", Overwrite::never);
    const AudioFile real = read_audio(folder / "f.wav");
    CHECK(real.comment == "a note");
    CHECK(real.format == "WAV, 32-bit float");
    CHECK(real.integer_bits == 0);
    CHECK(real.rate_hz == 44100);
    write_audio(folder / "i.wav", channels, 48000, SampleFormat::pcm24, "", Overwrite::never);
    const AudioFile whole = read_audio(folder / "i.wav");
    CHECK(whole.integer_bits == 24);
    CHECK(whole.comment.empty());
    for (std::size_t c = 0; c < 2; ++c)
        for (std::size_t i = 0; i < 5; ++i) {
            CHECK(real.channels[c][i] == static_cast<float>(channels[c][i]));
            // +1 itself has no 24-bit number: one step below it; all others round to the nearest.
            const double tolerance = (channels[c][i] == 1 ? 1.0 : 0.5) / 8388608;
            CHECK(std::abs(whole.channels[c][i] - channels[c][i]) <= tolerance);
        }
}

TEST_CASE("the same sound gives the same bytes, without a date") {
    // Source: property. The byte layout of a float WAV is fixed: no PEAK chunk, which holds the time of
    // writing.
    const std::vector<std::vector<double>> channels = {{0.25, -0.5}};
    const std::string bytes = wav_bytes(channels, 48000, SampleFormat::float32, "note", "a.wav");
    CHECK_FALSE(contains(bytes, "PEAK"));
    CHECK(contains(bytes, "ICMT"));
    CHECK(contains(bytes, as_floats({0.25f, -0.5f})));
    CHECK(wav_bytes(channels, 48000, SampleFormat::float32, "note", "b.wav") == bytes);
}

TEST_CASE("sound that a format cannot hold is refused before anything is written") {
    const TestFolder folder;
    const auto write = [&](double sample, SampleFormat format) {
        return refusal([&] {
            write_audio(folder / "a.wav", {{0, sample}}, 48000, format, "", Overwrite::never);
        });
    };
    CHECK(
        contains(write(1.001, SampleFormat::pcm24), "sample 1 of channel 1 is 1.001 and beyond full scale"));
    CHECK(contains(write(std::nan(""), SampleFormat::float32), "no finite number"));
    CHECK(folder.entries() == 0);
    CHECK(write(1.001, SampleFormat::float32) == "no error");
    CHECK(contains(write(0, SampleFormat::float32), "exists already"));
}

TEST_CASE("bytes in memory are read as their file is, and a cut end is seen there, too") {
    const TestFolder folder;
    const std::vector<std::vector<double>> channels = {{0.5, -0.25, 0.125, 0}, {0, 0.25, -0.5, 0.75}};
    const std::string bytes = wav_bytes(channels, 48000, SampleFormat::pcm24, "a comment", "memory.wav");
    write_whole(folder / "file.wav", bytes, Overwrite::never);
    const AudioFile file = read_audio(folder / "file.wav"), memory = audio_of(bytes, "memory.wav");
    CHECK(memory.channels == file.channels);
    CHECK(memory.rate_hz == 48000);
    CHECK(memory.comment == "a comment");
    CHECK(contains(refusal([&] { audio_of(bytes.substr(0, bytes.size() - 6), "memory.wav"); }),
                   "memory.wav: is cut off: 1 of 4 frames are missing"));
    CHECK(contains(refusal([] { audio_of("no sound", "memory.wav"); }), "memory.wav"));
}
