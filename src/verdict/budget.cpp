// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/budget.hpp"

#include "verdict/drift.hpp"

#include <algorithm>
#include <cmath>

namespace ebbmark {

std::string_view name(UncertaintySource source) {
    switch (source) {
    case UncertaintySource::fits:
        return "fits";
    case UncertaintySource::places:
        return "places";
    case UncertaintySource::returns:
        return "returns";
    case UncertaintySource::hidden:
        return "hidden values";
    case UncertaintySource::air:
        return "air";
    case UncertaintySource::neighbours:
        return "neighbouring bands";
    case UncertaintySource::drift:
        return "drift";
    }
    return "";
}

double UncertaintyBudget::coverage_factor() const {
    return half_width(total, 0.95) / total.standard_error;
}

std::optional<UncertaintyBudget> budget_of(const std::vector<BandChange>& bands, const QuestionChange& of,
                                           ScatterFrom scatter, const Spread& drift) {
    if (!of.here || of.here->standard_error <= 0)
        return {};
    VarianceParts sum;
    for (std::size_t i = 0; i < of.bands.size(); ++i) {
        const VarianceParts& parts = bands[of.bands[i]].parts;
        const double square = of.weights[i] * of.weights[i];
        sum.fits += square * parts.fits;
        sum.scatter += square * parts.scatter;
        sum.hidden += square * parts.hidden;
        sum.common += square * parts.common;
    }
    const double whole = of.here->standard_error * of.here->standard_error;
    const double between_bands = whole - sum.fits - sum.scatter - sum.hidden - sum.common;
    UncertaintyBudget budget{{}, with_drift(*of.here, drift)};
    const auto add = [&](UncertaintySource source, double variance) {
        if (variance > 1e-9 * whole) // what rounding leaves is none
            budget.parts.push_back({source, std::sqrt(variance)});
    };
    add(UncertaintySource::fits, sum.fits);
    add(scatter == ScatterFrom::places ? UncertaintySource::places : UncertaintySource::returns, sum.scatter);
    add(UncertaintySource::hidden, sum.hidden);
    add(UncertaintySource::air, sum.common);
    add(UncertaintySource::neighbours, between_bands);
    add(UncertaintySource::drift, drift.variance);
    return budget;
}

} // namespace ebbmark
