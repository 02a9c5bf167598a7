// SPDX-License-Identifier: GPL-3.0-or-later
// A job on the disk. README.md of this folder shows what lies where.
#pragma once

#include "job/day_digits.hpp"
#include "job/description.hpp"
#include "job/evidence_store.hpp"
#include "job/fixed_question.hpp"
#include "job/kept_texts.hpp"
#include "job/lock.hpp"
#include "job/new_sound.hpp"
#include "job/stored_prediction.hpp"
#include "job/stored_promise.hpp"
#include "job/take.hpp"
#include "job/visit.hpp"
#include "job/visits_before.hpp"

#include <filesystem>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace ebbmark {

enum class Access {
    read,             ///< needs no writable disk and no lock
    write,            ///< takes the lock, and first cleans up what a killed program left
    write_if_possible ///< as write, but as read where the folder may not be written
};

class JobFolder {
  public:
    /// Starts a job in a folder that does not exist or is empty. Throws Error(unusable).
    static JobFolder create(const std::filesystem::path& path);
    /// Throws Error(unusable) where it is no job, is in use by another program (write), its job.toml or a
    /// visit.toml is wrong, or a take's file is missing or, unless `trust` is `blind`, changed.
    JobFolder(const std::filesystem::path& path, Access access, Trust trust = Trust::checked);

    const std::filesystem::path& path() const { return path_; }
    const JobDescription& description() const { return description_; }
    const std::map<std::string, VisitProtocol>& visits() const { return visits_; } ///< by name
    const Manifest& evidence() const { return store_->manifest(); }                ///< path to hash
    const EvidenceLines& evidence_lines() const { return store_->lines(); } ///< in the order of keeping
    const std::vector<Take>& takes() const { return takes_; }               ///< sorted by id
    /// What a comparison answers, whatever job.toml says later; nothing before the first take after the
    /// build.
    const std::optional<FixedQuestion>& fixed_question() const { return fixed_question_; }
    /// In the order in which they were stored.
    const std::vector<StoredPrediction>& predictions() const { return predictions_; }
    /// In the order in which they were made; the last one counts.
    const std::vector<StoredPromise>& promises() const { return promises_; }
    /// In the order in which they were shown.
    const std::vector<DayDigits>& days() const { return days_; }
    /// What of job.toml and the protocols is no more as it stood when the first `count` lines of the list
    /// were kept; of texts that were kept by then.
    std::vector<ChangedText> changed_since(std::size_t count) const;
    bool simulated() const;
    bool writable() const { return lock_.has_value(); }
    /// Whether results may be kept in the job: it was opened for writing, and what they are made from was
    /// checked.
    bool keeps_results() const { return writable() && store_->trust() == Trust::checked; }
    /// Throws Error(bug) unless the job was opened for writing.
    void require_writable() const;
    /// What was cleaned up on opening.
    const std::vector<RepairNote>& notes() const { return notes_; }
    /// SHA-256 over the list of evidence and over what results depend on in job.toml and the visits'
    /// protocols. The client's name and address and the invoice do not enter.
    std::string digest() const { return digest(store_->lines().size()); }
    /// The same with the first `count` lines of the list.
    std::string digest(std::size_t count) const;

    /// The take with this id ("before/S1-M1-01"). Throws Error(unusable) where there is none.
    const Take& take(std::string_view id) const;
    /// All takes of a visit that are accepted and not excluded, by position; returns apart.
    std::map<Position, std::vector<Take>> takes_in_use(std::string_view visit,
                                                       TakeSet set = TakeSet::positions) const;
    /// The sound, the excitation's file and a calibration of a take, after their hashes were checked; throws
    /// Error(unusable).
    std::filesystem::path sound_file(const Take& take) const { return store_->checked(take.sound); }
    std::string sound_bytes(const Take& take) const { return store_->read(take.sound); }
    std::filesystem::path excitation_file(const Take& take) const { return store_->checked(take.excitation); }
    std::filesystem::path calibration_file(const TakeCalibration& calibration) const {
        return store_->checked(calibration.file);
    }

    /// Keeps a sound and its takes, and gives the takes' ids. Starts the visit where there is none yet.
    /// Throws Error(unusable) where a position is unknown, the same sound was kept for the same channel
    /// before, real and simulated would mix, or the disk refuses; then nothing is kept.
    std::vector<std::string> keep(std::string_view visit, const NewSound& sound, const Occasion& occasion);
    /// The digits of what was measured by now, to be shown. Notes them where something of a visit was kept or
    /// changed since the last ones and the job may be written; first keeps job.toml and protocols as they
    /// are. Nothing where no take was kept. Throws Error(unusable) where the disk refuses.
    std::optional<DayDigits> show_digits(const Occasion& occasion);
    /// Leaves a take out of all results. Throws Error(unusable) where there is no such take, it is left out
    /// already, or no reason is given.
    void exclude(std::string_view id, std::string_view because, const Occasion& occasion);
    /// Keeps a prediction's table as it is, with the time and the visits measured by then. Throws
    /// Error(unusable) where the table is wrong (`name` stands for it in messages) or was stored before.
    const StoredPrediction& store_prediction(const std::string& table, const std::string& name,
                                             const Occasion& occasion);
    /// Makes a promise of the traps, the question and the prediction that would count now; gives the last one
    /// where that promises the same. Throws Error(unusable) where no trap is planned, or a visit after the
    /// build was measured already and no promise came before it.
    const StoredPromise& promise(const Occasion& occasion);

  private:
    void load_visits();
    void load_takes();
    void load_predictions();
    void load_promises();
    void load_days();
    std::vector<TakeCalibration> stored_calibrations(const NewSound& sound,
                                                     std::map<std::string, std::string>& files) const;
    void add_with_folders(const std::map<std::string, std::string>& files);
    void keep_texts();
    EvidenceLine as_stood(const std::string& folder, const std::string& text,
                          std::map<std::string, std::string>& files) const;
    std::string protocol_text(const std::string& visit) const;
    FixedQuestion question_to_fix(const Occasion& occasion) const;
    void check_new(const std::string& visit, const NewSound& sound, const std::string& hash) const;
    void start_visit(const std::string& visit, const Occasion& occasion);
    std::string sound_path(const std::string& visit, const NewSound& sound, const std::string& hash) const;
    Take take_of(const std::string& visit, const NewSound& sound, const NewTake& asked,
                 const Occasion& occasion) const;

    std::filesystem::path path_;
    std::optional<JobLock> lock_;
    std::optional<EvidenceStore> store_;
    JobDescription description_;
    std::map<std::string, VisitProtocol> visits_;
    std::vector<Take> takes_;
    std::optional<FixedQuestion> fixed_question_;
    std::vector<StoredPrediction> predictions_;
    std::vector<StoredPromise> promises_;
    std::vector<DayDigits> days_;
    std::vector<RepairNote> notes_;
};

} // namespace ebbmark
