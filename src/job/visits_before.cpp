// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/visits_before.hpp"

#include <algorithm>
#include <map>
#include <set>
#include <utility>

namespace ebbmark {

bool is_before(std::string_view visit) {
    return visit.starts_with("before");
}

std::vector<std::string> visits_before(const std::vector<Take>& takes) {
    std::map<std::string, std::string> last_take; // of each visit
    for (const Take& take : takes)
        if (is_before(take.visit) && take.in_use() && !take.is_return)
            last_take[take.visit] = std::max(last_take[take.visit], take.made_at);
    std::vector<std::pair<std::string, std::string>> in_order;
    for (const auto& [visit, made_at] : last_take)
        in_order.emplace_back(made_at, visit);
    std::sort(in_order.begin(), in_order.end());
    std::vector<std::string> visits;
    for (const auto& [made_at, visit] : in_order)
        visits.push_back(visit);
    return visits;
}

std::string visit_before(const std::vector<Take>& takes) {
    std::string chosen;
    std::size_t most = 0;
    for (const std::string& visit : visits_before(takes)) {
        std::set<Position> positions;
        for (const Take& take : takes)
            if (take.visit == visit && take.in_use() && !take.is_return)
                positions.insert(take.position);
        if (positions.size() >= most) {
            most = positions.size();
            chosen = visit;
        }
    }
    return chosen;
}

} // namespace ebbmark
