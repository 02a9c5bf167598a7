// SPDX-License-Identifier: GPL-3.0-or-later
// The chart of a result as the bytes of a picture file.
#pragma once

#include "proof/reports/compare_report.hpp"
#include "proof/reports/decay_report.hpp"
#include "proof/reports/forecast_report.hpp"
#include "proof/reports/ringing_report.hpp"
#include "proof/reports/waterfall_report.hpp"

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
