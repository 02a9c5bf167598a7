// SPDX-License-Identifier: GPL-3.0-or-later
// The result of `bundle`, and what its README says. Pure.
#pragma once

#include "results/bundle_result.hpp"

#include <string>

namespace ebbmark {

/// For the client's engineer; says nothing that depends on where the archive lies.
std::string bundle_readme(const BundleReport& report);

std::string to_json(const BundleReport& report);
std::string to_csv(const BundleReport& report);
std::string to_text(const BundleReport& report);

} // namespace ebbmark
