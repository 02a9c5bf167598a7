// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/responses.hpp"

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

double lowest_rate(const std::vector<AudioFile>& files) {
    double lowest = 192000;
    for (const AudioFile& file : files)
        lowest = std::min(lowest, file.rate_hz);
    return lowest;
}

std::vector<AudioFile> read_all(const std::vector<std::string>& paths) {
    std::vector<AudioFile> files;
    for (const std::string& path : paths)
        files.push_back(read_audio(path));
    return files;
}

void analyse_one(std::optional<int> only, const AudioFile& file, DecayOptions options, Analysed& analysed) {
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

DecayOptions decay_options(const Arguments& arguments) {
    DecayOptions options;
    options.width =
        arguments.choice("bands", {"third", "octave"}) == "octave" ? BandWidth::octave : BandWidth::third;
    options.from_hz = arguments.quantity("from", Dimension::frequency).value_or(options.from_hz);
    options.to_hz = arguments.quantity("to", Dimension::frequency).value_or(options.to_hz);
    if (!(options.from_hz > 0 && options.to_hz >= options.from_hz))
        throw Error(ErrorKind::usage,
                    fmt::format("--from {:g} --to {:g}: give two frequencies above 0, the lower first",
                                options.from_hz, options.to_hz));
    return options;
}

void declare_analysis(Options& options) {
    add_option(options, "bands", "third|octave", "width of the bands (third)");
    add_option(options, "from", "HZ", "lowest band, such as 40 or \"40 Hz\" (20)");
    add_option(options, "to", "HZ", "highest band (10000, and at most 0.4 of the sample rate)");
    add_option(options, "channel", "N", "only this channel of each file, counted from 1 (all)");
}

Analysed analyse_files(const Arguments& arguments, Console& console, const std::vector<std::string>& paths,
                       const std::vector<std::string>& also) {
    DecayOptions options = decay_options(arguments);
    const auto only_channel = arguments.whole_number("channel", 1, 64);
    const auto files = read_all(paths);
    options.to_hz = std::min(options.to_hz, 0.4 * std::min(lowest_rate(files), lowest_rate(read_all(also))));
    ProgressLine progress(console, arguments.flag("quiet"));
    Analysed analysed;
    for (std::size_t i = 0; i < files.size(); ++i) {
        progress.show(i + 1, files.size(), paths[i]);
        analyse_one(only_channel, files[i], options, analysed);
        analysed.files.push_back({paths[i], sha256_of_file(paths[i])});
    }
    return analysed;
}

} // namespace ebbmark
