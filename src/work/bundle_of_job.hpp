// SPDX-License-Identifier: GPL-3.0-or-later
// A job's evidence and its findings in one archive, for the client's engineer.
#pragma once

#include "files/archive.hpp"
#include "results/bundle_result.hpp"
#include "work/compared_visits.hpp"

#include <filesystem>
#include <functional>
#include <string>
#include <vector>

namespace ebbmark {

/// How the pages of a bundle are written.
struct BundleWriters {
    std::function<std::string(const CompareReport&)> findings;
    std::function<std::string(const BundleReport&)> readme;
};

struct Bundle {
    BundleReport report; ///< without archive and bytes
    std::vector<ArchiveEntry> entries;
};

/// The evidence, what the user wrote, what `compare JOB` finds with responses made anew, check.py, and a list
/// with the hash of every file; results can be made again and stay out.
Bundle bundle_of_job(const AnalysedJob& job, const Verification& checked, const BundleWriters& write,
                     Progress& progress);

/// Throws Error(unusable) as write_archive.
BundleReport write_bundle(Bundle bundle, const std::filesystem::path& out, Overwrite overwrite);

} // namespace ebbmark
