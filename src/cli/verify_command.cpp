// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "cli/every_command.hpp"
#include "cli/output.hpp"
#include "files/archive.hpp"
#include "job/layout.hpp"
#include "job/verify.hpp"
#include "proof/job_reports.hpp"

#include <cstdlib>
#include <filesystem>

namespace ebbmark {

namespace {

namespace fs = std::filesystem;

/// A folder that goes away with everything in it.
class TemporaryFolder {
  public:
    TemporaryFolder() {
        std::string name = (fs::temp_directory_path() / "ebbmark-XXXXXX").string();
        if (!mkdtemp(name.data()))
            throw Error(ErrorKind::unusable,
                        name + ": could not be made; free some space there, or set TMPDIR");
        path_ = name;
    }
    ~TemporaryFolder() {
        std::error_code ignored;
        fs::remove_all(path_, ignored);
    }
    TemporaryFolder(const TemporaryFolder&) = delete;
    TemporaryFolder& operator=(const TemporaryFolder&) = delete;
    const fs::path& path() const { return path_; }

  private:
    fs::path path_;
};

/// The job itself, or the one in an unpacked bundle.
fs::path job_in(const fs::path& folder) {
    const fs::path inside = folder / "job";
    return !fs::exists(folder / layout::job_file) && fs::exists(inside / layout::job_file) ? inside : folder;
}

Verification verify_anything(const fs::path& path, const std::string& digest) {
    if (!fs::is_regular_file(path))
        return verify(job_in(path), digest);
    const TemporaryFolder folder;
    unpack_archive(path, folder.path());
    return verify(job_in(folder.path()), digest);
}

} // namespace

void declare_verify(Options& options) {
    add_option(options, "digest", "D",
               "the digest that the job had, or that of the promise on the client's copy");
    declare_output(options);
}

int run_verify(const Arguments& arguments, Console& console) {
    const Verification found = verify_anything(arguments.words().at(0), arguments.text("digest"));
    emit_report(arguments, console, found);
    return found.intact ? 0 : static_cast<int>(ErrorKind::changed);
}

} // namespace ebbmark
