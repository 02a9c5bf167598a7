// SPDX-License-Identifier: GPL-3.0-or-later
#include "work/excitation_file.hpp"

#include "base/error.hpp"
#include "files/audio_file.hpp"
#include "files/hash.hpp"
#include "files/sweep_file.hpp"

#include <fmt/format.h>

#include <filesystem>
#include <optional>

namespace ebbmark {

namespace {

bool is_toml(const std::filesystem::path& path) {
    return path.extension() == ".toml" || path.extension() == ".TOML";
}

/// A sweep is defined by its seconds and hertz, so it can be made at any rate that reaches its end.
Excitation at_rate(Sweep sweep, double rate_hz, const std::string& path) {
    sweep.rate_hz = rate_hz;
    if (sweep.stop_hz > rate_hz / 2)
        throw Error(
            ErrorKind::unusable,
            fmt::format(
                "{}: the sweep stops at {:g} Hz, but the recording's rate of {:g} Hz ends at {:g} Hz; "
                "record at a higher rate",
                path, sweep.stop_hz, rate_hz, rate_hz / 2));
    check(sweep);
    return excitation_of(sweep);
}

/// The description beside a sound that `sweep` wrote; nothing where it describes another sound.
std::optional<Sweep> description_beside(std::filesystem::path path) {
    const std::string hash = sha256_of_file(path);
    path.replace_extension(".toml");
    std::error_code ignored;
    if (!std::filesystem::exists(path, ignored))
        return {};
    const auto description = read_sweep(path);
    return description.sha256 == hash ? std::optional(description.sweep) : std::nullopt;
}

} // namespace

std::optional<Sweep> described_sweep(const std::string& path) {
    return is_toml(path) ? std::optional(read_sweep(path).sweep) : description_beside(path);
}

Excitation read_excitation(const std::string& path, double recording_rate_hz) {
    if (const auto sweep = described_sweep(path))
        return at_rate(*sweep, recording_rate_hz, path);
    const AudioFile sound = read_audio(path);
    if (sound.rate_hz != recording_rate_hz)
        throw Error(
            ErrorKind::unusable,
            fmt::format("{} has {:g} Hz, the recording {:g} Hz; give the sweep's description in TOML, which "
                        "holds for any rate, or the sound at the recording's rate",
                        path, sound.rate_hz, recording_rate_hz));
    try {
        return excitation_of(sound.channel(1));
    } catch (const Error& error) {
        throw Error(error.kind(), fmt::format("{}: {}", path, error.what()));
    }
}

} // namespace ebbmark
