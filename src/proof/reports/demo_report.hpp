// SPDX-License-Identifier: GPL-3.0-or-later
// What the demo found, with the virtual room's own decay beside it. Pure.
#pragma once

#include "results/demo_result.hpp"

#include <string>

namespace ebbmark {

std::string to_json(const DemoReport& report);
std::string to_csv(const DemoReport& report);
std::string to_text(const DemoReport& report);

} // namespace ebbmark
