// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/level_setting.hpp"

#include "files/sweep_file.hpp"
#include "files/toml.hpp"
#include "files/whole_file.hpp"
#include "job/layout.hpp"

#include <fmt/format.h>

#include <filesystem>

namespace ebbmark {

std::string to_toml(const LevelSetting& setting) {
    return fmt::format("# Found by ebbmark level: no take of this job is played louder. Find it anew rather "
                       "than edit it.\n"
                       "[level]\ndevice = {}\nsimulated = {}\nfound_at = {}\n\n",
                       toml_quoted(setting.device), setting.simulated, toml_quoted(setting.found_at)) +
           to_toml(setting.sweep, "");
}

std::optional<LevelSetting> read_level(const JobFolder& job) {
    const auto path = job.path() / layout::level_file;
    if (!std::filesystem::exists(path))
        return {};
    const TomlFile file = TomlFile::read(path);
    LevelSetting setting;
    const TomlTable table = file.root().need("level").table();
    setting.device = table.need("device").text();
    setting.simulated = table.need("simulated").flag();
    setting.found_at = table.need("found_at").text();
    setting.sweep = sweep_from(file.root().need("sweep").table()).sweep;
    file.refuse_unknown_keys();
    return setting;
}

void keep_level(const JobFolder& job, const LevelSetting& setting) {
    job.require_writable();
    write_whole(job.path() / layout::level_file, to_toml(setting), Overwrite::derived);
}

} // namespace ebbmark
