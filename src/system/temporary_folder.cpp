// SPDX-License-Identifier: GPL-3.0-or-later
#include "system/temporary_folder.hpp"

#include "base/error.hpp"

#include <stdlib.h>

#include <string>
#include <system_error>

namespace ebbmark {

namespace fs = std::filesystem;

TemporaryFolder::TemporaryFolder() {
    std::string name = (fs::temp_directory_path() / "ebbmark-XXXXXX").string();
    if (!::mkdtemp(name.data()))
        throw Error(ErrorKind::unusable, name + ": could not be made; free some space there, or set TMPDIR");
    path_ = name;
}

TemporaryFolder::~TemporaryFolder() {
    std::error_code ignored;
    fs::remove_all(path_, ignored);
}

} // namespace ebbmark
