// SPDX-License-Identifier: GPL-3.0-or-later
// A folder of its own for one test, and commands run in it without a process.
#pragma once

#include "cli/run.hpp"

#include <stdlib.h>

#include <cmath>
#include <cstdint>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

namespace ebbmark {

struct Ran {
    int code;
    std::string out, err;
};

class Workbench {
  public:
    Workbench() {
        std::string pattern = (std::filesystem::temp_directory_path() / "ebbmark-test-XXXXXX").string();
        folder_ = mkdtemp(pattern.data());
    }
    ~Workbench() { std::filesystem::remove_all(folder_); }
    Workbench(const Workbench&) = delete;
    Workbench& operator=(const Workbench&) = delete;

    std::string path(const std::string& name) const { return (folder_ / name).string(); }

    std::string write(const std::string& name, const std::string& bytes) const {
        std::ofstream(path(name), std::ios::binary) << bytes;
        return path(name);
    }

    std::string read(const std::string& name) const {
        std::ifstream file(path(name), std::ios::binary);
        return {std::istreambuf_iterator<char>(file), {}};
    }

    Ran run(const std::vector<std::string>& words) const {
        std::ostringstream out, err;
        Console console{out, err, false, [] { return std::string("2001-02-03T14:05:00+01:00"); }};
        const int code = ebbmark::run(words, console);
        return {code, out.str(), err.str()};
    }

    std::vector<std::string> names() const {
        std::vector<std::string> found;
        for (const auto& entry : std::filesystem::directory_iterator(folder_))
            found.push_back(entry.path().filename().string());
        return found;
    }

  private:
    std::filesystem::path folder_;
};

/// A 32-bit float WAV file, byte by byte, so that it can hold what no writer would write.
inline std::string float_wav(const std::vector<float>& interleaved, std::uint16_t channels,
                             std::uint32_t rate) {
    const auto put = [](std::string& to, auto value) {
        to.append(reinterpret_cast<const char*>(&value), sizeof value);
    };
    const auto data_bytes = static_cast<std::uint32_t>(interleaved.size() * 4);
    std::string bytes = "RIFF";
    put(bytes, static_cast<std::uint32_t>(36 + data_bytes));
    bytes += "WAVEfmt ";
    put(bytes, std::uint32_t{16});
    put(bytes, std::uint16_t{3});
    put(bytes, channels);
    put(bytes, rate);
    put(bytes, rate * channels * 4);
    put(bytes, static_cast<std::uint16_t>(channels * 4));
    put(bytes, std::uint16_t{32});
    bytes += "data";
    put(bytes, data_bytes);
    bytes.append(reinterpret_cast<const char*>(interleaved.data()), data_bytes);
    return bytes;
}

/// A response of seeded noise that falls by 60 dB in `t60_s`, after 20 ms of silence, each channel another
/// one.
inline std::vector<float> decaying_noise(double t60_s, double seconds, unsigned channels, double rate_hz,
                                         std::uint64_t seed = 1) {
    std::vector<float> samples;
    std::uint64_t state = seed * 0x9E3779B97F4A7C15u + 1;
    const auto next = [&] {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        return static_cast<double>(state >> 11) / 4503599627370496.0 - 1;
    };
    const auto frames = static_cast<std::size_t>(seconds * rate_hz);
    const double onset_s = 0.02;
    for (std::size_t n = 0; n < frames; ++n)
        for (unsigned channel = 0; channel < channels; ++channel) {
            const double t_s = static_cast<double>(n) / rate_hz - onset_s;
            const double envelope = t_s < 0 ? 0 : 0.5 * std::exp(-6.907755 * t_s / t60_s);
            samples.push_back(static_cast<float>(envelope * next() + 1e-6 * next()));
        }
    return samples;
}

} // namespace ebbmark
