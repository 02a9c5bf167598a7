// SPDX-License-Identifier: GPL-3.0-or-later
#include "work/recorded_parts.hpp"

#include "base/error.hpp"
#include "signal/takes.hpp"

#include <fmt/format.h>

namespace ebbmark {

AudioFile read_part(const std::filesystem::path& path, const std::optional<Segment>& segment) {
    return segment ? read_audio_within(path, {segment->from_s, segment->to_s}) : read_audio(path);
}

std::vector<std::optional<Segment>> recorded_parts(const std::filesystem::path& path, int channel,
                                                   const Excitation& excitation, std::size_t wanted) {
    const AudioHeader header = audio_header(path);
    const double duration_s = static_cast<double>(header.frames) / header.rate_hz;
    if (wanted == 1 && !is_long(duration_s, excitation))
        return {std::nullopt};
    TakeSearch search(excitation);
    read_channel(path, channel, [&](std::span<const double> samples) { search.add(samples); });
    std::vector<std::optional<Segment>> parts;
    try {
        for (const TakePart& part : search.takes(wanted))
            parts.push_back(Segment{static_cast<double>(part.first) / header.rate_hz,
                                    static_cast<double>(part.first + part.count) / header.rate_hz});
    } catch (const Error& error) {
        throw Error(error.kind(), fmt::format("{}: {}", path.string(), error.what()));
    }
    return parts;
}

} // namespace ebbmark
