// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/job_comparison.hpp"

#include "base/error.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace ebbmark {

namespace {

std::vector<std::string> visits_with_takes(const JobFolder& job, bool before) {
    std::vector<std::string> names;
    for (const auto& [name, protocol] : job.visits())
        if (is_before(name) == before && !job.takes_in_use(name).empty())
            names.push_back(name);
    return names;
}

[[noreturn]] void refuse(const JobFolder& job, const std::string& what) {
    throw Error(ErrorKind::unusable, fmt::format("{}: {}", job.path().string(), what));
}

/// Every recording that a position's result rests on, as evidence.
void add_evidence(std::vector<EvidenceFile>& files, const JobFolder& job, const std::string& visit,
                  const Position& position) {
    const auto positions = job.takes_in_use(visit);
    for (const Take& take : positions.at(position))
        files.push_back({take.sound, take.sound_sha256});
}

const PositionDecay* at(const std::vector<PositionDecay>& list, const Position& position) {
    const auto it =
        std::find_if(list.begin(), list.end(), [&](const auto& entry) { return entry.position == position; });
    return it == list.end() ? nullptr : &*it;
}

void note_single(std::vector<std::string>& notes, const std::vector<PositionDecay>& list,
                 const std::vector<PositionDecay>& other, const std::string& visit) {
    for (const PositionDecay& entry : list)
        if (!at(other, entry.position))
            notes.push_back(fmt::format("Position {} was measured in visit {} only and is left out.",
                                        entry.position.name(), visit));
}

} // namespace

std::string first_before(const JobFolder& job) {
    const auto names = visits_with_takes(job, true);
    if (names.empty())
        refuse(job,
               "there is no visit before the build with a usable take; name two visits with --from-visit and "
               "--to-visit");
    return names.front();
}

std::string latest_other(const JobFolder& job, const std::string& before) {
    std::string latest, made_at;
    for (const Take& take : job.takes())
        if (take.in_use() && take.visit != before && !is_before(take.visit) && take.made_at >= made_at) {
            latest = take.visit;
            made_at = take.made_at;
        }
    if (latest.empty())
        refuse(job,
               "there is no visit after the build with a usable take; measure it, or name two visits with "
               "--from-visit and --to-visit");
    return latest;
}

CompareReport compare_visits(const JobFolder& job, const std::string& from_visit, const std::string& to_visit,
                             const DecayOptions& options, Progress& progress) {
    const auto before = analyse_visit(job, from_visit, options, false, progress);
    const auto after = analyse_visit(job, to_visit, options, false, progress);
    CompareReport report;
    report.simulated = job.simulated();
    report.before = from_visit;
    report.after = to_visit;
    CompareOptions compared;
    compared.volume_m3 = report.volume_m3 = job.description().room.volume_m3;
    std::vector<ResponseDecay> first, second;
    for (const PositionDecay& entry : before) {
        const PositionDecay* other = at(after, entry.position);
        if (!other)
            continue;
        first.push_back(entry.decay);
        second.push_back(other->decay);
        add_evidence(report.before_files, job, from_visit, entry.position);
        add_evidence(report.after_files, job, to_visit, entry.position);
    }
    if (first.empty())
        refuse(job,
               fmt::format("visits {} and {} have no position in common; measure the same positions again",
                           from_visit, to_visit));
    report.comparison = compare(first, second, compared);
    note_single(report.comparison.notes, before, after, from_visit);
    note_single(report.comparison.notes, after, before, to_visit);
    return report;
}

} // namespace ebbmark
