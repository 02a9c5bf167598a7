// SPDX-License-Identifier: GPL-3.0-or-later
// The chart of a result as the bytes of a picture file.
#pragma once

#include "proof/compare_report.hpp"
#include "proof/decay_report.hpp"
#include "proof/forecast_report.hpp"
#include "proof/ringing_report.hpp"
#include "proof/waterfall_report.hpp"

#include <string>
#include <string_view>

namespace ebbmark {

/// `extension` is ".svg", ".png" or ".pdf"; anything else is Error(usage).
std::string picture_of(const DecayReport& report, std::string_view extension);
std::string picture_of(const CompareReport& report, std::string_view extension);
std::string picture_of(const RingingReport& report, std::string_view extension);
std::string picture_of(const WaterfallReport& report, std::string_view extension);
std::string picture_of(const ForecastReport& report, std::string_view extension);

} // namespace ebbmark
