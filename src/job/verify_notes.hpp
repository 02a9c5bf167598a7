// SPDX-License-Identifier: GPL-3.0-or-later
// What may be remarked where a job, or a bundle around it, is held against its own hashes: kinds, names and
// numbers. Their words stand in proof/words.
#pragma once

#include "job/notes.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace ebbmark {

// --- on the evidence

struct ListGone {
    bool operator==(const ListGone&) const = default;
};

struct FolderIsLink {
    std::string folder; ///< in the job
    bool operator==(const FolderIsLink&) const = default;
};

/// Listed files that have not got their names yet.
struct KeepingUnfinished {
    bool operator==(const KeepingUnfinished&) const = default;
};

/// A file of the evidence says of others what the list does not.
struct HashesDiffer {
    std::string file;
    std::vector<std::string> of;
    bool operator==(const HashesDiffer&) const = default;
};

/// A file that only this program writes, and lists first.
struct NotListed {
    std::string path;
    bool operator==(const NotListed&) const = default;
};

/// The first lines of the list are not those whose digits were shown.
struct DayDiffers {
    std::size_t lines = 0;
    std::string shown_on, file; ///< "2026-11-25", "days/001.toml"
    bool operator==(const DayDiffers&) const = default;
};

/// Question or acceptance are not those of the promise that fixed them.
struct QuestionDiffers {
    std::string promise; ///< its file
    bool operator==(const QuestionDiffers&) const = default;
};

// --- on the digest that was given

struct DigestOfPromise {
    std::string made_at, file;
    std::size_t held = 0, listed = 0;
    bool operator==(const DigestOfPromise&) const = default;
};

struct DigestOfRecord {
    bool as_it_is_now = true; ///< else before more was kept
    bool operator==(const DigestOfRecord&) const = default;
};

/// Digits shown after a visit.
struct DayShown {
    std::string on, visit, file; ///< "2026-11-25", "before", "days/001.toml"
    bool operator==(const DayShown&) const = default;
};

struct DigestOfDay {
    std::size_t lines = 0;         ///< of the list, the first ones
    std::optional<DayShown> shown; ///< as the job notes it
    bool operator==(const DigestOfDay&) const = default;
};

struct DigestOfFile {
    std::string path;
    bool operator==(const DigestOfFile&) const = default;
};

struct SixteenDigits {
    bool operator==(const SixteenDigits&) const = default;
};

struct DigitsMiscounted {
    std::size_t digits = 0;
    bool operator==(const DigitsMiscounted&) const = default;
};

struct DigestUnknown {
    std::string given;
    bool intact = true; ///< whether the evidence is
    bool operator==(const DigestUnknown&) const = default;
};

// --- on a bundle

enum class BundlePart { findings, readme, list };

struct BundleLacks {
    BundlePart part = BundlePart::list;
    bool operator==(const BundleLacks&) const = default;
};

/// They are not what this program finds in the recordings.
struct FindingsDiffer {
    std::string version; ///< of this program
    bool operator==(const FindingsDiffer&) const = default;
};

struct FindingsNotMade {
    Said because;
    bool operator==(const FindingsNotMade&) const = default;
};

/// It names another digest, or none.
struct ReadmeOfAnother {
    bool operator==(const ReadmeOfAnother&) const = default;
};

struct NotAsListed {
    std::string path; ///< in the bundle
    bool missing = false;
    bool operator==(const NotAsListed&) const = default;
};

struct PackedBeside {
    std::string path;
    bool operator==(const PackedBeside&) const = default;
};

struct JobIsLink {
    bool operator==(const JobIsLink&) const = default;
};

/// A folder or a link beside the job's.
struct SecondRoot {
    std::string name;
    bool operator==(const SecondRoot&) const = default;
};

/// Not byte for byte as this program packs these files.
struct PackedOtherwise {
    std::string archive;
    bool operator==(const PackedOtherwise&) const = default;
};

// --- what a given digest stands for

/// Parts of a job that are hashed by what they say.
enum class CoveredPart { planned_traps, question, acceptance, places, room_size, description, protocols };

struct CoveredPrediction {
    std::string file;
    bool operator==(const CoveredPrediction&) const = default;
};

struct CoveredFile {
    std::string path;
    bool operator==(const CoveredFile&) const = default;
};

/// The first lines of the list of evidence.
struct CoveredLines {
    std::size_t lines = 0, of = 0;
    bool operator==(const CoveredLines&) const = default;
};

/// The same, at the end of a visit's day.
struct CoveredDay {
    std::size_t lines = 0, of = 0;
    std::string last; ///< path in the last of these lines
    bool operator==(const CoveredDay&) const = default;
};

using Covered = std::variant<CoveredPart, CoveredPrediction, CoveredFile, CoveredLines, CoveredDay>;

// --- all of them

using VerifyNote =
    std::variant<Said, ListGone, FolderIsLink, KeepingUnfinished, HashesDiffer, NotListed, DayDiffers,
                 QuestionDiffers, DigestOfPromise, DigestOfRecord, DigestOfDay, DigestOfFile, SixteenDigits,
                 DigitsMiscounted, DigestUnknown, BundleLacks, FindingsDiffer, FindingsNotMade,
                 ReadmeOfAnother, NotAsListed, PackedBeside, JobIsLink, SecondRoot, PackedOtherwise>;

} // namespace ebbmark
