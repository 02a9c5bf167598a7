// SPDX-License-Identifier: GPL-3.0-or-later
// What came into a job after its promise, and whether digits of a visit's day exist. Pure.
#pragma once

#include "job/job_folder.hpp"

#include <optional>
#include <string>
#include <vector>

namespace ebbmark {

/// Ids of takes and paths of texts. A visit is an earlier one where the promise lists a take of it.
struct SincePromise {
    std::vector<std::string> added;          ///< takes of earlier visits
    std::vector<std::string> left_out;       ///< takes of earlier visits
    std::vector<std::string> later_takes;    ///< of later visits
    std::vector<std::string> later_left_out; ///< of later visits
    std::vector<ChangedText> protocols;      ///< of earlier visits

    /// Whether something moved that stood by then; takes of later visits are what a promise waits for.
    bool moved() const { return !added.empty() || !left_out.empty() || !protocols.empty(); }
};

SincePromise since_promise(const JobFolder& job, const StoredPromise& promise);

/// The first digits that were shown when all takes of a visit were kept.
struct VisitDigits {
    std::string visit;
    std::optional<DayDigits> day;
    bool same_day = false; ///< as the visit's last take
};

VisitDigits digits_of(const JobFolder& job, const std::string& visit);

} // namespace ebbmark
