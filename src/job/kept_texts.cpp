// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/kept_texts.hpp"

#include "job/fixed_plan.hpp"
#include "job/job_toml.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace ebbmark {

namespace {

bool lies_in(std::string_view path, std::string_view folder) {
    return path.starts_with(folder) && path.size() > folder.size() && path[folder.size()] == '/' &&
           path.find('/', folder.size() + 1) == path.npos;
}

struct KeyLine {
    std::string key, line;
};

/// "table.key" and the whole line of every key in a canonical text.
std::vector<KeyLine> key_lines(std::string_view text) {
    std::vector<KeyLine> found;
    std::string table;
    while (!text.empty()) {
        const std::string line(text.substr(0, text.find('\n')));
        text.remove_prefix(std::min(text.size(), line.size() + 1));
        if (line.starts_with('['))
            table = line.substr(1, line.size() - 2);
        else
            found.push_back({table + "." + line.substr(0, line.find(" =")), line});
    }
    return found;
}

std::string built_text(const JobTrap* trap) {
    if (!trap || !trap->built)
        return "";
    JobTrap only_built;
    only_built.place = trap->place;
    only_built.built = trap->built;
    return to_toml(only_built);
}

} // namespace

std::optional<EvidenceLine> last_in(const EvidenceLines& lines, std::string_view folder, std::size_t count) {
    for (std::size_t i = std::min(count, lines.size()); i-- > 0;)
        if (lies_in(lines[i].path, folder))
            return lines[i];
    return {};
}

std::string next_in(const EvidenceLines& lines, std::string_view folder) {
    const auto held = std::count_if(lines.begin(), lines.end(),
                                    [&](const EvidenceLine& line) { return lies_in(line.path, folder); });
    return fmt::format("{}/{:03}.toml", folder, held + 1);
}

std::vector<std::string> differing_keys(const VisitProtocol& then, const VisitProtocol& now) {
    const auto before = key_lines(canonical_toml(then)), after = key_lines(canonical_toml(now));
    std::vector<std::string> keys;
    const auto add_missing = [&](const std::vector<KeyLine>& from, const std::vector<KeyLine>& in) {
        for (const KeyLine& one : from) {
            const bool same = std::any_of(in.begin(), in.end(), [&](const KeyLine& other) {
                return other.key == one.key && other.line == one.line;
            });
            if (!same && std::find(keys.begin(), keys.end(), one.key) == keys.end())
                keys.push_back(one.key);
        }
    };
    add_missing(before, after);
    add_missing(after, before);
    return keys;
}

std::vector<std::string> differing_keys(const JobDescription& then, const JobDescription& now) {
    std::vector<std::string> keys;
    for (const JobTrap& trap : now.traps)
        if (built_text(trap_named(then.traps, trap.name)) != built_text(&trap))
            keys.push_back(fmt::format("trap.built of \"{}\"", trap.name));
    if (then.title != now.title)
        keys.emplace_back("job.title");
    if (then.contractor != now.contractor)
        keys.emplace_back("job.contractor");
    if (then.room.target != now.room.target)
        keys.emplace_back("room.target");
    return keys;
}

} // namespace ebbmark
