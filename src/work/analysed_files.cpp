// SPDX-License-Identifier: GPL-3.0-or-later
#include "work/analysed_files.hpp"

#include "base/error.hpp"
#include "files/audio_file.hpp"
#include "files/hash.hpp"
#include "files/response_comment.hpp"
#include "work/hum_bands.hpp"
#include "work/response_check.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace ebbmark {

namespace {

double lowest_rate(const std::vector<std::string>& paths) {
    double lowest = 192000;
    for (const std::string& path : paths)
        lowest = std::min(lowest, audio_header(path).rate_hz);
    return lowest;
}

std::vector<AudioFile> read_all(const std::vector<std::string>& paths) {
    std::vector<AudioFile> files;
    for (const std::string& path : paths)
        files.push_back(read_audio(path));
    return files;
}

void analyse_one(std::optional<int> only, const AudioFile& file, DecayOptions options,
                 AnalysedFiles& analysed) {
    std::vector<double> hum_hz, disturbed_hz;
    if (const auto info = response_info(file.comment, file.name)) {
        options.source_from_hz = info->source_from_hz;
        options.source_to_hz = info->source_to_hz;
        analysed.simulated = analysed.simulated || info->simulated;
        hum_hz = info->hum_hz;
        disturbed_hz = info->disturbed_hz;
    }
    const int channels = static_cast<int>(file.channels.size());
    for (int channel = only.value_or(1); channel <= only.value_or(channels); ++channel) {
        const Signal response = file.channel(channel);
        require_response(response, file.name, deconvolve_mend(file.name));
        try {
            ResponseDecay decay = analyse_decay(response, options);
            leave_out_near(decay, hum_hz);
            leave_out_disturbed(decay, disturbed_hz);
            analysed.entries.push_back({file.name, channel, file.rate_hz, std::move(decay)});
        } catch (const Error& error) {
            throw Error(error.kind(), fmt::format("{}, channel {}: {}", file.name, channel, error.what()));
        }
    }
}

} // namespace

AnalysedFiles analyse_files(const std::vector<std::string>& paths, const std::vector<std::string>& also,
                            std::optional<int> only_channel, DecayOptions options, Progress& progress) {
    const auto files = read_all(paths);
    options.to_hz = std::min(options.to_hz, 0.4 * std::min(lowest_rate(paths), lowest_rate(also)));
    AnalysedFiles analysed;
    for (std::size_t i = 0; i < files.size(); ++i) {
        progress.show(i + 1, files.size(), paths[i]);
        analyse_one(only_channel, files[i], options, analysed);
        analysed.files.push_back({paths[i], sha256_of_file(paths[i])});
    }
    return analysed;
}

} // namespace ebbmark
