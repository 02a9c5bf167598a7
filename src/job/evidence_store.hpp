// SPDX-License-Identifier: GPL-3.0-or-later
// Evidence on the disk: files that are added all together or not at all, and never changed.
//
// What is to be added is first listed in ".waiting"; then the new files are written beside their places under
// the name ".unfinished-NAME"; then the manifest lists them; then they get their names, and ".waiting" goes.
// What the manifest lists is kept, however the program ends: repair() completes it.
#pragma once

#include "job/manifest.hpp"
#include "job/repair_notes.hpp"

#include <filesystem>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace ebbmark {

/// Whether evidence that is read must be as the list says.
enum class Trust {
    checked, ///< what was changed is refused
    blind    ///< for documents that say on their first page that it was changed
};

class EvidenceStore {
  public:
    /// Reads the manifest. Throws Error(unusable) where it is missing or damaged.
    explicit EvidenceStore(std::filesystem::path job, Trust trust = Trust::checked);

    const Manifest& manifest() const { return manifest_; }
    /// The same in the order of keeping.
    const EvidenceLines& lines() const { return lines_; }
    Trust trust() const { return trust_; }

    /// The bytes of a listed file, checked against its hash unless trusted blindly. Throws Error(unusable)
    /// where the file is missing, changed or not listed.
    std::string read(const std::string& path) const;
    /// The place of a listed file after its hash was checked. Throws as read does.
    std::filesystem::path checked(const std::string& path) const;

    /// Adds files, path to bytes, at the end of the list; the folders must be there. Throws Error(unusable),
    /// then nothing was added.
    void add(const std::map<std::string, std::string>& files);

    /// Completes or removes what a killed program left: the files that ".waiting" names, with the content
    /// that it names, and temporary files whose names begin with one of the stems. Any other file is left
    /// alone. A note on each thing done.
    std::vector<RepairNote> repair(const std::vector<std::string>& left_stems);

  private:
    std::optional<RepairNote> settle(const std::string& path, const std::string& hash);
    std::filesystem::path place_of(const std::string& path) const;

    std::filesystem::path job_;
    Trust trust_;
    EvidenceLines lines_;
    Manifest manifest_; ///< of the lines
};

/// Where a file waits before it is listed: ".unfinished-NAME" beside its place.
std::filesystem::path waiting_place(const std::filesystem::path& place);

/// In the job folder while files are added: what they are to be, in the lines of the manifest.
inline constexpr const char* waiting_name = ".waiting";

/// The paths of all files under a folder, with / between folders, sorted; links are named, not followed.
/// Throws Error(unusable) where a folder cannot be read.
std::vector<std::string> files_under(const std::filesystem::path& folder);

} // namespace ebbmark
