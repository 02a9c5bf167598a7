// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/since_promise.hpp"

#include "job/layout.hpp"

#include <algorithm>
#include <set>

namespace ebbmark {

namespace {

constexpr std::size_t date_length = 10; // of "2026-11-25T14:03:00+01:00"

std::size_t line_of(const EvidenceLines& lines, const std::string& path) {
    const auto at =
        std::find_if(lines.begin(), lines.end(), [&](const EvidenceLine& line) { return line.path == path; });
    return static_cast<std::size_t>(at - lines.begin());
}

} // namespace

SincePromise since_promise(const JobFolder& job, const StoredPromise& promise) {
    SincePromise since;
    std::set<std::string> earlier;
    for (const auto& [path, hash] : promise.evidence)
        if (layout::is_take(path))
            earlier.insert(layout::visit_of(path));
    for (const Take& take : job.takes()) {
        const bool before = earlier.contains(take.visit);
        if (!promise.evidence.contains(layout::take_file(take.visit, take.name())))
            (before ? since.added : since.later_takes).push_back(take.id());
        if (!take.excluded_because.empty() &&
            !promise.evidence.contains(layout::exclusion_file(take.visit, take.name())))
            (before ? since.left_out : since.later_left_out).push_back(take.id());
    }
    for (ChangedText& text : job.changed_since(line_of(job.evidence_lines(), promise.file)))
        if (text.file != layout::job_file)
            since.protocols.push_back(std::move(text));
    return since;
}

VisitDigits digits_of(const JobFolder& job, const std::string& visit) {
    VisitDigits found{visit, {}, false};
    const EvidenceLines& lines = job.evidence_lines();
    std::size_t needed = 0;
    std::string last;
    for (const Take& take : job.takes())
        if (take.visit == visit) {
            needed = std::max(needed, line_of(lines, layout::take_file(visit, take.name())) + 1);
            last = std::max(last, take.made_at.substr(0, date_length));
        }
    for (const DayDigits& day : job.days())
        if (!found.day && needed > 0 && day.lines >= needed) {
            found.day = day;
            found.same_day = day.shown_at.substr(0, date_length) == last;
        }
    return found;
}

} // namespace ebbmark
