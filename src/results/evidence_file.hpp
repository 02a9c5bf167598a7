// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

namespace ebbmark {

/// One input file as evidence.
struct EvidenceFile {
    std::string name;
    std::string sha256; ///< 64 hexadecimal digits, or empty where not computed
};

} // namespace ebbmark
