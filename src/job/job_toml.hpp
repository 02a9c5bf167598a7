// SPDX-License-Identifier: GPL-3.0-or-later
// job.toml, and the tables in it that takes and the stored question repeat.
#pragma once

#include "files/toml.hpp"
#include "job/description.hpp"
#include "job/plan_doubts.hpp"

#include <string>
#include <string_view>

namespace ebbmark {

/// The whole of job.toml. Throws Error(unusable) with file, line, column, key and mend where it is wrong,
/// incomplete or contradicts itself. `name` stands for the file in messages.
JobDescription job_description(std::string_view text, std::string_view name,
                               WrongPlan wrong = WrongPlan::refused);

/// The commented file that a new job begins with: valid, and without one invented figure.
std::string job_template();

/// Everything that results depend on, in one fixed spelling: the description without client, address and
/// invoice. Equal descriptions give equal bytes.
std::string canonical_toml(const JobDescription& description);

/// The description in a file that may hold other tables too.
JobDescription job_from(const TomlTable& root);

/// The [room] with its [[room.part]] and [[room.patch]].
JobRoom room_from(const TomlTable& table);
JobQuestion question_from(const TomlTable& table);
std::optional<Acceptance> acceptance_from(const TomlTable& table);
SourcePlace source_from(const TomlTable& table, const JobRoom& room);
MicrophonePlace microphone_from(const TomlTable& table, const JobRoom& room);
Wall wall_from(const TomlValue& value);
/// All of [[trap]], each followed by its [[trap.at]]: the same trap at another place.
std::vector<JobTrap> traps_from(const TomlTable& root, const JobRoom& room);
/// Where each of them stands in the file.
std::vector<TomlTable> trap_tables(const TomlTable& root);

/// The keys of one table, without its heading, with the tables in it; what the functions above read.
std::string to_toml(const JobRoom& room);
std::string to_toml(const JobQuestion& question);
std::string to_toml(const SourcePlace& source);
std::string to_toml(const MicrophonePlace& microphone);
/// Whole, with heading [[trap]].
std::string to_toml(const JobTrap& trap);

} // namespace ebbmark
