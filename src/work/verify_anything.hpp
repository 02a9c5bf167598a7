// SPDX-License-Identifier: GPL-3.0-or-later
// A job, a bundle's folder or a packed bundle, held against its own hashes and its findings against its
// recordings.
#pragma once

#include "job/verify.hpp"
#include "results/compared.hpp"
#include "work/progress.hpp"

#include <filesystem>
#include <functional>
#include <string>

namespace ebbmark {

/// How findings stand in a bundle, byte for byte.
using FindingsWriter = std::function<std::string(const CompareReport&)>;

/// `digest` may be empty. An archive is unpacked into a temporary folder, which goes away. Throws
/// Error(unusable) where it is neither.
Verification verify_anything(const std::filesystem::path& path, const std::string& digest,
                             const FindingsWriter& written, Progress& progress);

} // namespace ebbmark
