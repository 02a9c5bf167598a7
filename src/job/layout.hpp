// SPDX-License-Identifier: GPL-3.0-or-later
// What lies where in a job folder.
#pragma once

#include <string>
#include <string_view>

namespace ebbmark::layout {

inline constexpr const char* job_file = "job.toml";
inline constexpr const char* visit_file = "visit.toml";
inline constexpr const char* question_file = "question.toml";
inline constexpr const char* level_file = "level.toml";
inline constexpr const char* visits = "visits";
inline constexpr const char* results = "results";
inline constexpr const char* photos = "photos";
inline constexpr const char* predictions = "predictions";
inline constexpr const char* promises = "promises";
inline constexpr const char* calibrations = "calibrations";
inline constexpr const char* descriptions = "descriptions";
inline constexpr const char* days = "days";

inline std::string visit_folder(std::string_view visit) {
    return std::string(visits) + "/" + std::string(visit);
}

inline std::string sounds_folder(std::string_view visit) {
    return visit_folder(visit) + "/sounds";
}

inline std::string takes_folder(std::string_view visit) {
    return visit_folder(visit) + "/takes";
}

/// Of the visit's protocol as it stood when something was kept.
inline std::string protocols_folder(std::string_view visit) {
    return visit_folder(visit) + "/protocols";
}

inline std::string take_file(std::string_view visit, std::string_view take) {
    return takes_folder(visit) + "/" + std::string(take) + ".toml";
}

inline constexpr std::string_view exclusion_ending = ".excluded.toml";

inline std::string exclusion_file(std::string_view visit, std::string_view take) {
    return takes_folder(visit) + "/" + std::string(take) + std::string(exclusion_ending);
}

/// The visit that a path under "visits" belongs to; empty for any other.
inline std::string visit_of(std::string_view path) {
    const std::string_view root(visits);
    if (!path.starts_with(root) || path.size() <= root.size() + 1 || path[root.size()] != '/')
        return "";
    path.remove_prefix(root.size() + 1);
    return std::string(path.substr(0, path.find('/')));
}

/// A reply of a time-stamping authority (RFC 3161) that the user laid beside the note of a day.
inline bool is_time_stamp(std::string_view path) {
    return path.starts_with(std::string(days) + "/") && path.ends_with(".tsr");
}

/// Whether a path of the evidence is the file of a take.
inline bool is_take(std::string_view path) {
    return path.find("/takes/") != path.npos && path.ends_with(".toml") && !path.ends_with(exclusion_ending);
}

} // namespace ebbmark::layout
