// SPDX-License-Identifier: GPL-3.0-or-later
// Names that users give and that become file names. None can leave the job's folder.
#pragma once

#include <string>
#include <string_view>

namespace ebbmark {

/// A source-microphone pair.
struct Position {
    std::string source;     ///< "S1"
    std::string microphone; ///< "M1"

    std::string name() const { return source + "-" + microphone; }
    friend auto operator<=>(const Position&, const Position&) = default;
};

/// "S1" to "S99", "M1" to "M99".
bool is_source_id(std::string_view text);
bool is_microphone_id(std::string_view text);

/// Reads "S1-M1". Throws Error(unusable) for anything else.
Position parse_position(std::string_view text);

/// Throws Error(unusable) unless `name` is 1 to 40 of a-z A-Z 0-9 - _ and begins with a letter.
void check_visit_name(std::string_view name);

/// Throws Error(unusable) unless `name` is a plain file name without folders, at most 100 bytes.
void check_file_name(std::string_view name);

} // namespace ebbmark
