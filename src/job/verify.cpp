// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/verify.hpp"

#include "files/hash.hpp"
#include "files/whole_file.hpp"
#include "job/fixed_plan.hpp"
#include "job/job_folder.hpp"
#include "job/job_toml.hpp"
#include "job/layout.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <functional>
#include <set>

namespace ebbmark {

namespace fs = std::filesystem;

namespace {

// Digits that were shown of a hash beside all 64: 32 on paper, and 16 of the job's in older invoice lines and
// of the prediction's on the promise.
constexpr std::size_t whole_digits = 64, older_digits = 16;

/// Files that are no evidence: what the user writes, and what can be made again.
bool is_expected(const std::string& path) {
    const auto in = [&](const char* folder) { return path.starts_with(std::string(folder) + "/"); };
    const bool protocol = in(layout::visits) && path.ends_with(std::string("/") + layout::visit_file);
    return path == layout::job_file || path == layout::level_file || path == manifest_name ||
           path == lock_name || path == waiting_name || protocol || in(layout::results) ||
           in(layout::photos) || layout::is_time_stamp(path);
}

template <class Entry>
void add_once(std::vector<Entry>& list, const Entry& entry) {
    if (std::find(list.begin(), list.end(), entry) == list.end())
        list.push_back(entry);
}

bool is_found(const std::string& path, const Verification& result) {
    const auto in = [&](const std::vector<std::string>& list) {
        return std::find(list.begin(), list.end(), path) != list.end();
    };
    return in(result.changed) || in(result.missing);
}

/// The list, or nothing with its name among the changed or missing.
std::optional<EvidenceLines> listed(const fs::path& job, Verification& result) {
    const fs::path list = job / manifest_name;
    if (!fs::exists(list)) {
        result.missing.emplace_back(manifest_name);
        result.notes.emplace_back(ListGone{});
        return {};
    }
    try {
        return evidence_lines(read_whole(list), list.string());
    } catch (const Error& error) {
        result.changed.emplace_back(manifest_name);
        result.notes.emplace_back(Said{error.what()});
        return {};
    }
}

/// Folders of evidence that are links: what lies behind one is not in the job.
std::set<std::string> linked_folders(const fs::path& job, const Manifest& manifest) {
    std::set<std::string> folders = {layout::visits,       layout::predictions,  layout::promises,
                                     layout::calibrations, layout::descriptions, layout::days};
    for (const auto& [path, hash] : manifest)
        for (fs::path folder = fs::path(path).parent_path(); !folder.empty(); folder = folder.parent_path())
            folders.insert(folder.generic_string());
    std::erase_if(folders, [&](const std::string& folder) { return !fs::is_symlink(job / folder); });
    return folders;
}

void check_links(const fs::path& job, const Manifest& manifest, Verification& result) {
    for (const std::string& folder : linked_folders(job, manifest)) {
        result.changed.push_back(folder);
        result.notes.emplace_back(FolderIsLink{folder});
    }
}

void check_files(const fs::path& job, const Manifest& manifest, Verification& result) {
    std::set<std::string> waiting;
    for (const auto& [path, hash] : manifest) {
        ++result.files;
        const fs::path place = job / path;
        const fs::path aside = waiting_place(place);
        const bool only_aside = !fs::exists(place) && fs::exists(aside);
        if (only_aside)
            waiting.insert(aside.lexically_relative(job).generic_string());
        if (!only_aside && !fs::is_regular_file(fs::symlink_status(place)))
            (fs::exists(fs::symlink_status(place)) ? result.changed : result.missing).push_back(path);
        else if (sha256_of_file(only_aside ? aside : place) != hash)
            result.changed.push_back(path);
    }
    if (!waiting.empty())
        result.notes.emplace_back(KeepingUnfinished{});
    for (const std::string& path : files_under(job))
        if (!manifest.contains(path) && !waiting.contains(path) && !is_expected(path) &&
            !is_found(path, result))
            result.added.push_back(path);
}

// --- what the user writes

void check_text(const fs::path& job, const std::string& path, Verification& result,
                const std::function<void(const std::string&, const std::string&)>& read) {
    const fs::path file = job / path;
    if (!fs::exists(file)) {
        add_once(result.missing, path);
        return;
    }
    try {
        read(read_whole(file), file.string());
    } catch (const Error& error) {
        add_once(result.unreadable, path);
        result.notes.emplace_back(Said{error.what()});
    }
}

/// job.toml, and the protocol of every visit that has a take or a folder.
void check_texts(const fs::path& job, const Manifest& manifest, Verification& result) {
    check_text(job, layout::job_file, result, [](const std::string& text, const std::string& name) {
        job_description(text, name, WrongPlan::noted);
    });
    std::set<std::string> protocols;
    for (const auto& [path, hash] : manifest)
        if (layout::is_take(path))
            protocols.insert(
                (fs::path(path).parent_path().parent_path() / layout::visit_file).generic_string());
    std::error_code none;
    for (const auto& entry : fs::directory_iterator(job / layout::visits, none))
        if (const fs::path file = entry.path() / layout::visit_file; fs::exists(file, none))
            protocols.insert(file.lexically_relative(job).generic_string());
    for (const std::string& path : protocols)
        check_text(job, path, result,
                   [](const std::string& text, const std::string& name) { visit_protocol(text, name); });
}

// --- what files of the evidence say of each other

/// The text of a listed file that is as the list says; nothing where it is not, which is found elsewhere.
std::optional<std::string> whole_text(const fs::path& job, const std::string& path,
                                      const Manifest& manifest) {
    const auto at = manifest.find(path);
    if (at == manifest.end())
        return {};
    try {
        const fs::path place = job / path;
        std::string text = read_whole(fs::exists(place) ? place : waiting_place(place));
        return sha256(text) == at->second ? std::optional(std::move(text)) : std::nullopt;
    } catch (const Error&) {
        return {};
    }
}

/// Holds one file's hashes of others against the list.
class HashesIn {
  public:
    HashesIn(std::string file, const Manifest& manifest, Verification& result)
        : file_(std::move(file)), manifest_(manifest), result_(result) {}

    bool holds(const std::string& path, const std::string& hash) {
        const auto now = manifest_.find(path);
        if (now != manifest_.end() && now->second == hash)
            return true;
        add_once(now == manifest_.end() ? result_.missing : result_.changed, path);
        differing_.push_back(path);
        return false;
    }

    void say() const {
        if (!differing_.empty())
            result_.notes.emplace_back(HashesDiffer{file_, differing_});
    }

  private:
    std::string file_;
    const Manifest& manifest_;
    Verification& result_;
    std::vector<std::string> differing_;
};

/// What `read` makes of a file of the evidence that is whole; nothing, and the file among the unreadable,
/// where this program cannot read it.
template <class Read>
auto read_whole_file(const fs::path& job, const std::string& path, const Manifest& manifest,
                     Verification& result, const Read& read)
    -> std::optional<decltype(read(std::string(), path))> {
    const auto text = whole_text(job, path, manifest);
    if (!text)
        return {};
    try {
        return read(*text, path);
    } catch (const Error& error) {
        add_once(result.unreadable, path);
        result.notes.emplace_back(Said{error.what()});
        return {};
    }
}

std::vector<StoredPromise> whole_promises(const fs::path& job, const Manifest& manifest,
                                          Verification& result) {
    std::vector<StoredPromise> promises;
    for (const auto& [path, hash] : manifest) {
        if (fs::path(path).parent_path() != layout::promises)
            continue;
        if (auto promise = read_whole_file(job, path, manifest, result, stored_promise_from)) {
            promises.push_back(std::move(*promise));
            promises.back().file = path;
            promises.back().sha256 = hash;
        }
    }
    return promises;
}

void check_promises(const std::vector<StoredPromise>& promises, const Manifest& manifest,
                    Verification& result) {
    for (const StoredPromise& promise : promises) {
        PromiseCheck check{promise.file, promise.sha256, promise.made_at, promise.evidence.size(), 0};
        HashesIn hashes(promise.file, manifest, result);
        for (const auto& [path, hash] : promise.evidence)
            check.held += hashes.holds(path, hash) && !is_found(path, result) ? 1 : 0;
        if (!promise.prediction.empty())
            hashes.holds(promise.prediction, promise.prediction_sha256);
        hashes.say();
        result.promises.push_back(std::move(check));
    }
}

void check_takes(const fs::path& job, const Manifest& manifest, Verification& result) {
    for (const auto& [path, hash] : manifest) {
        if (!layout::is_take(path))
            continue;
        const auto take = read_whole_file(job, path, manifest, result, take_from_toml);
        if (!take)
            continue;
        HashesIn hashes(path, manifest, result);
        hashes.holds(take->sound, take->sound_sha256);
        if (!take->excitation.empty())
            hashes.holds(take->excitation, take->excitation_sha256);
        if (!take->protocol.empty()) {
            hashes.holds(take->protocol, take->protocol_sha256);
            hashes.holds(take->description, take->description_sha256);
        }
        for (const TakeCalibration& calibration : take->calibrations)
            hashes.holds(calibration.file, calibration.sha256);
        hashes.say();
    }
}

/// Whether a file is what only this program writes, and lists before it gives it its name.
bool reads_as_evidence(const fs::path& job, const std::string& path) {
    const std::string folder = fs::path(path).parent_path().generic_string();
    if (fs::path(path).filename().string().starts_with("."))
        return false; // a rest of a program that was ended
    try {
        const std::string text = read_whole(job / path);
        if (layout::is_take(path))
            take_from_toml(text, path);
        else if (path.ends_with(layout::exclusion_ending))
            exclusion_reason(text, path);
        else if (path == layout::question_file)
            fixed_question_from(text, path);
        else if (folder == layout::promises)
            stored_promise_from(text, path);
        else if (folder == layout::days)
            day_digits_from(text, path);
        else
            return false;
        return true;
    } catch (const Error&) {
        return false;
    }
}

/// Where such a file is not listed, the list was changed.
void check_added(const fs::path& job, Verification& result) {
    for (const std::string& path : result.added)
        if (reads_as_evidence(job, path)) {
            add_once(result.changed, std::string(manifest_name));
            result.notes.emplace_back(NotListed{path});
        }
}

/// Whether the list's first lines are those whose digits were shown.
void check_days(const fs::path& job, const EvidenceLines& lines, const Manifest& manifest,
                Verification& result) {
    for (const auto& [path, hash] : manifest) {
        if (layout::is_time_stamp(path) || fs::path(path).parent_path() != layout::days)
            continue;
        const auto day = read_whole_file(job, path, manifest, result, day_digits_from);
        if (!day || (day->lines <= lines.size() && digest_of_first(lines, day->lines) == day->sha256))
            continue;
        add_once(result.changed, std::string(manifest_name));
        result.notes.emplace_back(DayDiffers{day->lines, day->shown_at.substr(0, 10), path});
    }
}

/// The question that a promise fixed is that of the promise.
void check_question(const fs::path& job, const std::vector<StoredPromise>& promises, const Manifest& manifest,
                    Verification& result) {
    const auto fixed = read_whole_file(job, layout::question_file, manifest, result, fixed_question_from);
    if (!fixed || fixed->promise.empty())
        return;
    const auto promise = std::find_if(promises.begin(), promises.end(),
                                      [&](const StoredPromise& one) { return one.file == fixed->promise; });
    if (promise == promises.end()) {
        if (!manifest.contains(fixed->promise))
            add_once(result.missing, fixed->promise);
        return;
    }
    const auto& agreed = promise->job.acceptance;
    const bool same_rule = agreed.has_value() == fixed->acceptance.has_value() &&
                           (!agreed || agreed->at_least_percent == fixed->acceptance->at_least_percent);
    if (same_rule && to_toml(promise->job.question) == to_toml(fixed->question))
        return;
    add_once(result.changed, std::string(layout::question_file));
    result.notes.emplace_back(QuestionDiffers{fixed->promise});
}

// --- the digest that was given

bool is_shown(const std::string& typed, std::string_view sha256, bool older) {
    return is_digest_of(typed, sha256) ||
           (older && typed.size() == older_digits && sha256.starts_with(typed));
}

/// What came into the list that `then` did not hold.
template <class Held>
void tell_since(const EvidenceLines& lines, const Held& held, Verification& result) {
    for (const EvidenceLine& line : lines)
        if (!held(line))
            (line.path.ends_with(layout::exclusion_ending) ? result.left_out_since : result.added_since)
                .push_back(line.path);
}

/// The client's copy names this promise.
void match_promise(const StoredPromise& promise, const EvidenceLines& lines, Verification& result) {
    result.kind = DigestKind::promise;
    result.promise = promise.file;
    result.covers = {CoveredPart::planned_traps, CoveredPart::question, CoveredPart::acceptance,
                     CoveredPart::places, CoveredPart::room_size};
    if (!promise.prediction.empty())
        result.covers.emplace_back(CoveredPrediction{promise.prediction});
    for (const auto& [path, hash] : promise.evidence)
        if (path != promise.prediction)
            result.covers.emplace_back(CoveredFile{path});
    std::size_t held = 0;
    for (const PromiseCheck& check : result.promises)
        if (check.file == promise.file)
            held = check.held;
    tell_since(
        lines,
        [&](const EvidenceLine& line) {
            return promise.evidence.contains(line.path) || line.path == promise.file;
        },
        result);
    result.notes.emplace_back(DigestOfPromise{promise.made_at, promise.file, held, promise.evidence.size()});
}

void tell_since(const EvidenceLines& lines, std::size_t count, Verification& result) {
    const EvidenceLines later(lines.begin() + static_cast<std::ptrdiff_t>(count), lines.end());
    tell_since(
        later, [](const EvidenceLine&) { return false; }, result);
}

void match_record(const EvidenceLines& lines, std::size_t count, Verification& result) {
    result.kind = DigestKind::record;
    result.covers = {CoveredPart::description, CoveredPart::protocols, CoveredLines{count, lines.size()}};
    tell_since(lines, count, result);
    result.notes.emplace_back(DigestOfRecord{count == lines.size()});
}

/// Digits of the end of a visit's day: of so many first lines of the list.
void match_day(const JobFolder* job, const EvidenceLines& lines, std::size_t count, Verification& result) {
    result.kind = DigestKind::day;
    result.covers = {CoveredDay{count, lines.size(), lines[count - 1].path}};
    tell_since(lines, count, result);
    if (job)
        result.changed_since = job->changed_since(count);
    DigestOfDay note{count, {}};
    for (const DayDigits& day : job ? job->days() : std::vector<DayDigits>{})
        if (day.lines == count)
            note.shown = DayShown{day.shown_at.substr(0, 10), day.visit, day.file};
    result.notes.emplace_back(std::move(note));
}

void match_file(const std::string& path, Verification& result) {
    result.kind = DigestKind::file;
    result.covers = {CoveredFile{path}};
    result.notes.emplace_back(DigestOfFile{path});
}

/// What the digits given are of; `job` where it can be opened.
void match_digest(const std::string& typed, const std::vector<StoredPromise>& promises, const JobFolder* job,
                  const EvidenceLines& lines, Verification& result) {
    for (const StoredPromise& promise : promises)
        if (is_digest_of(typed, promise.sha256))
            return match_promise(promise, lines, result);
    for (std::size_t count = lines.size(); job && count > 0; --count)
        if (is_shown(typed, job->digest(count), true))
            return match_record(lines, count, result);
    for (std::size_t count = lines.size(); count > 0; --count)
        if (is_digest_of(typed, digest_of_first(lines, count)))
            return match_day(job, lines, count, result);
    for (const EvidenceLine& line : lines)
        if (is_shown(typed, line.sha256, line.path.starts_with(layout::predictions)))
            return match_file(line.path, result);
}

void check_digest(std::string_view expected, const std::vector<StoredPromise>& promises, const JobFolder* job,
                  const EvidenceLines& lines, Verification& result) {
    const std::string typed = typed_digest(expected);
    if (typed.empty())
        return;
    match_digest(typed, promises, job, lines, result);
    result.matches = result.kind.has_value();
    if (*result.matches && typed.size() == older_digits)
        result.notes.emplace_back(SixteenDigits{});
    if (*result.matches)
        return;
    if (typed.size() != whole_digits && typed.size() != short_digest_digits && typed.size() != older_digits)
        result.notes.emplace_back(DigitsMiscounted{typed.size()});
    else
        result.notes.emplace_back(DigestUnknown{std::string(expected), result.intact});
}

/// The job where it can be opened; else why not, where no note says so yet.
std::optional<JobFolder> opened(const fs::path& job, Verification& result) {
    try {
        return JobFolder(job, Access::read);
    } catch (const Error& error) {
        result.intact = false;
        add_once(result.notes, VerifyNote(Said{error.what()}));
        return {};
    }
}

/// What is as the list says, and yet otherwise than when it was kept or promised.
void tell_of(const JobFolder& job, Verification& result) {
    result.digest = job.digest();
    result.simulated = job.simulated();
    result.changed_since = job.changed_since(job.evidence_lines().size());
    if (const StoredPromise* promise = promise_that_counts(job.fixed_question(), job.promises()))
        result.otherwise_than_promised = plan_differences(promise->job, job.description());
    for (const std::string& path : files_under(job.path()))
        if (layout::is_time_stamp(path))
            result.time_stamps.push_back(path);
}

} // namespace

std::string_view name(DigestKind kind) {
    switch (kind) {
    case DigestKind::promise:
        return "promise";
    case DigestKind::record:
        return "record";
    case DigestKind::day:
        return "day";
    case DigestKind::file:
        break;
    }
    return "file";
}

EvidenceFaults faults_in(const Verification& verification) {
    EvidenceFaults faults{verification.changed, verification.missing, verification.unreadable, {}};
    if (faults.empty() && !verification.intact) // the job cannot be opened
        for (const VerifyNote& note : verification.notes)
            if (const Said* why = std::get_if<Said>(&note))
                faults.said.push_back(why->text);
    return faults;
}

std::optional<EvidenceFaults> evidence_faults(const Verification& verification) {
    return verification.intact ? std::nullopt : std::optional(faults_in(verification));
}

Verification verify(const fs::path& job, std::string_view expected_digest) {
    if (!fs::is_directory(job))
        throw Error(ErrorKind::unusable, job.string() + ": is no job folder; correct the path");
    if (!fs::exists(job / layout::job_file) && !fs::exists(job / manifest_name))
        throw Error(ErrorKind::unusable,
                    job.string() + ": is no job: there is no job.toml in it; correct the path");
    Verification result;
    const auto list = listed(job, result);
    const EvidenceLines lines = list.value_or(EvidenceLines{});
    const Manifest manifest = by_path(lines);
    check_links(job, manifest, result);
    std::vector<StoredPromise> promises;
    if (list) {
        check_files(job, manifest, result);
        check_added(job, result);
        promises = whole_promises(job, manifest, result);
        check_promises(promises, manifest, result);
        check_takes(job, manifest, result);
        check_days(job, lines, manifest, result);
        check_question(job, promises, manifest, result);
    }
    check_texts(job, manifest, result);
    for (auto* paths : {&result.changed, &result.missing, &result.unreadable})
        std::sort(paths->begin(), paths->end());
    result.intact = result.changed.empty() && result.missing.empty() && result.unreadable.empty();
    const std::optional<JobFolder> folder = opened(job, result);
    if (folder)
        tell_of(*folder, result);
    check_digest(expected_digest, promises, folder ? &*folder : nullptr, lines, result);
    return result;
}

} // namespace ebbmark
