// SPDX-License-Identifier: GPL-3.0-or-later
// Opening and reading a job. Adding to it: job_keep.cpp.
#include "job/job_folder.hpp"

#include "base/error.hpp"
#include "files/hash.hpp"
#include "files/whole_file.hpp"
#include "job/job_toml.hpp"
#include "job/layout.hpp"
#include "system/file.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace ebbmark {

namespace fs = std::filesystem;

namespace {

[[noreturn]] void refuse(const fs::path& file, std::string_view what, std::string_view mend) {
    throw Error(ErrorKind::unusable, fmt::format("{}: {}; {}", file.string(), what, mend));
}

void require_job(const fs::path& path) {
    if (!fs::exists(path))
        refuse(path, "does not exist", "start a job with new, or correct the path");
    if (!fs::exists(path / layout::job_file))
        refuse(path, "is no job: there is no job.toml in it", "start a job with new, or correct the path");
}

/// What a killed `new` may have left; a second try goes on from there.
bool is_rest_of_creation(const std::string& file) {
    return file == lock_name || file == manifest_name || is_unfinished_write(file);
}

} // namespace

JobFolder JobFolder::create(const fs::path& path) {
    if (fs::exists(path / layout::job_file))
        refuse(path, "is a job already", "choose another name");
    make_folder(path);
    for (const std::string& file : files_under(path))
        if (!is_rest_of_creation(file))
            refuse(path, fmt::format("is not empty (it holds {})", file), "choose a new folder");
    {
        const JobLock lock(path);
        make_folder(path / layout::visits);
        write_whole(path / manifest_name, to_text({}), Overwrite::derived);
        // Comes last: a folder with job.toml is a whole job.
        write_whole(path / layout::job_file, job_template(), Overwrite::never);
    }
    return JobFolder(path, Access::write);
}

JobFolder::JobFolder(const fs::path& path, Access access, Trust trust) : path_(path) {
    require_job(path);
    const bool may_write = is_writable(path);
    if (access == Access::write || (access == Access::write_if_possible && may_write)) {
        lock_.emplace(path);
        if (lock_->cleared())
            notes_.push_back(*lock_->cleared());
    }
    store_.emplace(path, trust);
    if (writable()) {
        const auto repaired = store_->repair(lock_->left_stems());
        notes_.insert(notes_.end(), repaired.begin(), repaired.end());
        lock_->forget_left();
    }
    const fs::path file = path / layout::job_file;
    const auto& kept = store_->manifest();
    const bool measured =
        std::any_of(kept.begin(), kept.end(), [](const auto& one) { return layout::is_take(one.first); });
    description_ =
        job_description(read_whole(file), file.string(), measured ? WrongPlan::noted : WrongPlan::refused);
    load_visits();
    load_takes();
    load_predictions();
    load_promises();
    load_days();
    if (store_->manifest().contains(layout::question_file))
        fixed_question_ = fixed_question_from(store_->read(layout::question_file), layout::question_file);
}

void JobFolder::load_visits() {
    visits_.clear();
    if (!fs::exists(path_ / layout::visits))
        return;
    for (const auto& entry : fs::directory_iterator(path_ / layout::visits)) {
        const fs::path file = entry.path() / layout::visit_file;
        if (entry.is_directory() && fs::exists(file))
            visits_[entry.path().filename().string()] =
                visit_protocol(read_whole(file), file.string(), description_.room.patches);
    }
}

void JobFolder::load_takes() {
    takes_.clear();
    for (const auto& [path, hash] : store_->manifest()) {
        if (!layout::is_take(path))
            continue;
        Take take = take_from_toml(store_->read(path), path);
        if (layout::take_file(take.visit, take.name()) != path)
            refuse(path_ / path, "holds another take than its name says",
                   "restore it from the copy on your second disk");
        if (!visits_.contains(take.visit))
            refuse(path_ / layout::visit_folder(take.visit) / layout::visit_file, "is missing",
                   "restore it from the copy on your second disk");
        const std::string exclusion = layout::exclusion_file(take.visit, take.name());
        if (store_->manifest().contains(exclusion))
            take.excluded_because = exclusion_reason(store_->read(exclusion), exclusion);
        takes_.push_back(std::move(take));
    }
}

void JobFolder::load_predictions() {
    predictions_.clear();
    for (const auto& [path, hash] : store_->manifest()) {
        const fs::path file = path;
        if (file.parent_path() != layout::predictions || file.extension() != ".csv")
            continue;
        const std::string beside = fs::path(file).replace_extension(".toml").generic_string();
        StoredPrediction stored = stored_prediction_from(store_->read(beside), beside);
        stored.file = path;
        stored.sha256 = hash;
        stored.prediction = parse_prediction(store_->read(path), path);
        predictions_.push_back(std::move(stored));
    }
}

void JobFolder::load_promises() {
    promises_.clear();
    for (const auto& [path, hash] : store_->manifest()) {
        if (fs::path(path).parent_path() != layout::promises)
            continue;
        promises_.push_back(stored_promise_from(store_->read(path), path));
        promises_.back().file = path;
        promises_.back().sha256 = hash;
    }
}

bool JobFolder::simulated() const {
    return std::any_of(takes_.begin(), takes_.end(), [](const Take& take) { return take.simulated; });
}

void JobFolder::load_days() {
    days_.clear();
    for (const EvidenceLine& line : store_->lines())
        if (fs::path(line.path).parent_path() == layout::days) {
            days_.push_back(day_digits_from(store_->read(line.path), line.path));
            days_.back().file = line.path;
        }
}

std::string JobFolder::digest(std::size_t count) const {
    const EvidenceLines& all = store_->lines();
    const EvidenceLines first(all.begin(), all.begin() + static_cast<std::ptrdiff_t>(count));
    std::string text = to_text(first) + "\n" + canonical_toml(description_);
    for (const auto& [name, protocol] : visits_)
        text += fmt::format("\nvisit {}\n{}", name, canonical_toml(protocol));
    return sha256(text);
}

std::string JobFolder::protocol_text(const std::string& visit) const {
    return read_whole(path_ / layout::visit_folder(visit) / layout::visit_file);
}

std::vector<ChangedText> JobFolder::changed_since(std::size_t count) const {
    std::vector<ChangedText> all;
    // What stood there may itself be damaged: that is named elsewhere, and then nothing can be said of the
    // keys.
    const auto add = [&](ChangedText changed, const auto& tell) {
        try {
            tell(changed, store_->read(changed.kept));
        } catch (const Error&) {
        }
        all.push_back(std::move(changed));
    };
    if (const auto kept = last_in(store_->lines(), layout::descriptions, count);
        kept && sha256(canonical_toml(description_)) != kept->sha256)
        add({layout::job_file, kept->path, {}, {}}, [&](ChangedText& changed, const std::string& text) {
            const JobDescription then = job_description(text, changed.kept, WrongPlan::noted);
            changed.keys = differing_keys(then, description_);
            changed.plan = plan_differences(then, description_);
        });
    for (const auto& [visit, protocol] : visits_) {
        const auto kept = last_in(store_->lines(), layout::protocols_folder(visit), count);
        if (kept && sha256(protocol_text(visit)) != kept->sha256)
            add({layout::visit_folder(visit) + "/" + layout::visit_file, kept->path, {}, {}},
                [&now = protocol](ChangedText& changed, const std::string& text) {
                    changed.keys = differing_keys(visit_protocol(text, changed.kept), now);
                });
    }
    return all;
}

const Take& JobFolder::take(std::string_view id) const {
    const auto found =
        std::find_if(takes_.begin(), takes_.end(), [&](const Take& t) { return t.id() == id; });
    if (found != takes_.end())
        return *found;
    std::string known;
    for (const Take& take : takes_)
        known += (known.empty() ? "" : ", ") + take.id();
    refuse(path_, fmt::format("has no take \"{}\"", id),
           known.empty() ? "there are no takes yet" : "it has " + known);
}

std::map<Position, std::vector<Take>> JobFolder::takes_in_use(std::string_view visit, TakeSet set) const {
    std::map<Position, std::vector<Take>> in_use;
    for (const Take& take : takes_)
        if (take.visit == visit && take.is_return == (set == TakeSet::returns) && take.in_use())
            in_use[take.position].push_back(take);
    return in_use;
}

void JobFolder::require_writable() const {
    if (!lock_)
        throw Error(ErrorKind::bug, path_.string() + ": the job was opened for reading only");
}

} // namespace ebbmark
