// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/level_setting.hpp"

#include "files/sweep_file.hpp"
#include "files/toml.hpp"
#include "files/whole_file.hpp"
#include "job/layout.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>

namespace ebbmark {

namespace {

LevelSetting setting_from(const TomlTable& table) {
    LevelSetting setting;
    setting.place.output = table.need("output").text();
    setting.place.output_channel = table.need("output_channel").whole(1, 64);
    setting.place.source = table.need("source").text();
    setting.device = table.need("device").text();
    setting.simulated = table.need("simulated").flag();
    setting.found_at = table.need("found_at").text();
    setting.sweep = sweep_from(table.need("sweep").table()).sweep;
    setting.place.rate_hz = setting.sweep.rate_hz;
    return setting;
}

/// One level for the whole job, as earlier versions wrote it: read so that what is wrong in it is told.
void read_without_place(const TomlTable& root) {
    const TomlTable table = root.need("level").table();
    table.need("device").text();
    table.need("simulated").flag();
    table.need("found_at").text();
    sweep_from(root.need("sweep").table());
}

} // namespace

const LevelSetting* KeptLevels::at(const LevelPlace& place) const {
    const auto found = std::find_if(settings.begin(), settings.end(),
                                    [&](const LevelSetting& setting) { return setting.place == place; });
    return found == settings.end() ? nullptr : &*found;
}

std::string to_toml(const std::vector<LevelSetting>& settings) {
    std::string text = "# Found by ebbmark level: with this output, loudspeaker and rate no take is played "
                       "louder. Find it anew rather than edit it.\n";
    for (const LevelSetting& setting : settings) {
        text += fmt::format("[[level]]\noutput = {}\noutput_channel = {}\nsource = {}\ndevice = {}\n"
                            "simulated = {}\nfound_at = {}\n\n[level.",
                            toml_quoted(setting.place.output), setting.place.output_channel,
                            toml_quoted(setting.place.source), toml_quoted(setting.device), setting.simulated,
                            toml_quoted(setting.found_at));
        text += to_toml(setting.sweep, "").substr(1) + "\n"; // its own header is "[sweep]"
    }
    return text;
}

KeptLevels read_levels(const JobFolder& job) {
    const auto path = job.path() / layout::level_file;
    KeptLevels kept;
    if (!std::filesystem::exists(path))
        return kept;
    const TomlFile file = TomlFile::read(path);
    const TomlTable root = file.root();
    kept.without_place = root.has("sweep");
    if (kept.without_place)
        read_without_place(root);
    else
        for (const TomlTable& table : root.need("level").tables())
            kept.settings.push_back(setting_from(table));
    file.refuse_unknown_keys();
    return kept;
}

void keep_level(const JobFolder& job, const LevelSetting& setting) {
    job.require_writable();
    std::vector<LevelSetting> all = read_levels(job).settings;
    std::erase_if(all, [&](const LevelSetting& earlier) { return earlier.place == setting.place; });
    all.push_back(setting);
    write_whole(job.path() / layout::level_file, to_toml(all), Overwrite::derived);
}

} // namespace ebbmark
