// SPDX-License-Identifier: GPL-3.0-or-later
#include "decay/takes.hpp"

#include <algorithm>
#include <cassert>

namespace ebbmark {

namespace {

using Takes = std::vector<ResponseDecay>;

/// Mean over the takes for which `value` gives something.
template <class Value>
std::optional<double> mean(const Takes& takes, std::size_t band, Value value) {
    double sum = 0;
    int count = 0;
    for (const ResponseDecay& take : takes)
        if (const std::optional<double> found = value(take.bands[band])) {
            sum += *found;
            ++count;
        }
    if (count == 0)
        return {};
    return sum / count;
}

Measured mean(const Takes& takes, std::size_t band, Measured BandDecay::*quantity) {
    Measured result = takes.front().bands[band].*quantity;
    result.value = mean(takes, band, [&](const BandDecay& b) { return (b.*quantity).value; });
    result.low = mean(takes, band, [&](const BandDecay& b) { return (b.*quantity).low; });
    result.high = mean(takes, band, [&](const BandDecay& b) { return (b.*quantity).high; });
    if (result.value)
        result.empty.reset();
    return result;
}

void add_missing(std::vector<DecayNote>& to, const std::vector<DecayNote>& from) {
    for (const DecayNote& note : from)
        if (std::find(to.begin(), to.end(), note) == to.end())
            to.push_back(note);
}

} // namespace

ResponseDecay mean_of_takes(const Takes& takes) {
    assert(!takes.empty());
    ResponseDecay result = takes.front();
    if (takes.size() == 1)
        return result;
    for (std::size_t i = 0; i < result.bands.size(); ++i) {
        BandDecay& band = result.bands[i];
        for (const auto quantity :
             {&BandDecay::edt_s, &BandDecay::t20_s, &BandDecay::t30_s, &BandDecay::nonlinearity_permille,
              &BandDecay::curvature_percent, &BandDecay::c50_db, &BandDecay::c80_db, &BandDecay::d50_percent,
              &BandDecay::ts_ms, &BandDecay::decay_range_db})
            band.*quantity = mean(takes, i, quantity);
        band.bandwidth_time = mean(takes, i, [](const BandDecay& b) { return b.bandwidth_time; });
        for (const ResponseDecay& take : takes) {
            const auto bound = take.bands[i].at_most_s;
            band.at_most_s = band.at_most_s && bound ? std::max(band.at_most_s, bound)
                             : bound                 ? bound
                                                     : band.at_most_s;
            add_missing(band.notes, take.bands[i].notes);
        }
        if (band.t20_s)
            band.at_most_s.reset();
    }
    return result;
}

} // namespace ebbmark
