// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/wording.hpp"

#include "proof/numbers.hpp"
#include "proof/texts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace ebbmark {

namespace {

/// The bands with one finding, and what their figures span.
struct Group {
    std::vector<Band> bands;
    std::string where;                        ///< "50 to 80 Hz and 125 Hz"
    std::string changes;                      ///< "27 to 55": sizes of the changes in per cent
    std::optional<double> could_show_percent; ///< the largest over the bands; absent where one band has none
};

Group group_of(const Comparison& comparison, Finding finding) {
    Group group;
    std::vector<Band> all;
    double least = INFINITY, most = 0, could_show = 0;
    bool known = true;
    for (const BandFinding& band : comparison.bands) {
        all.push_back(band.band);
        if (band.finding != finding)
            continue;
        group.bands.push_back(band.band);
        if (band.change_percent) {
            least = std::min(least, std::abs(*band.change_percent));
            most = std::max(most, std::abs(*band.change_percent));
        }
        known = known && band.could_show_percent.has_value();
        could_show = std::max(could_show, band.could_show_percent.value_or(0));
    }
    group.where = bands_text(group.bands, all);
    const std::string from = percent_text(least), to = percent_text(most);
    group.changes = from == to ? from : fmt::format(fmt::runtime(texts::range), from, to);
    if (known && !group.bands.empty())
        group.could_show_percent = could_show;
    return group;
}

std::string changed_sentence(const Group& group, std::size_t of, texts::Text one, texts::Text several) {
    return group.bands.size() == 1
               ? fmt::format(fmt::runtime(one), group.where, group.changes)
               : fmt::format(fmt::runtime(several), group.bands.size(), of, group.where, group.changes);
}

} // namespace

std::string headline(const Comparison& comparison) {
    const std::size_t all = comparison.bands.size();
    const Group shorter = group_of(comparison, Finding::shorter);
    const Group longer = group_of(comparison, Finding::longer);
    if (group_of(comparison, Finding::not_measurable).bands.size() == all)
        return std::string(texts::headline_unmeasurable);
    if (shorter.bands.empty() && longer.bands.empty())
        return std::string(texts::headline_none);
    if (shorter.bands.empty())
        return changed_sentence(longer, all, texts::headline_only_longer_one, texts::headline_only_longer);
    std::string text = changed_sentence(shorter, all, texts::headline_shorter_one, texts::headline_shorter);
    if (!longer.bands.empty())
        text += ' ' + changed_sentence(longer, all, texts::headline_longer_one, texts::headline_longer);
    return text;
}

std::vector<std::string> remaining_findings(const Comparison& comparison) {
    const std::size_t all = comparison.bands.size();
    std::vector<std::string> sentences;
    if (const Group group = group_of(comparison, Finding::shown_unchanged); !group.bands.empty())
        sentences.push_back(fmt::format(fmt::runtime(texts::rest_unchanged), group.where));
    if (const Group group = group_of(comparison, Finding::no_change_shown); !group.bands.empty()) {
        const std::size_t count = group.bands.size();
        sentences.push_back(
            group.could_show_percent
                ? fmt::format(fmt::runtime(texts::rest_not_shown), count, all, group.where,
                              percent_text(*group.could_show_percent))
                : fmt::format(fmt::runtime(texts::rest_not_shown_unknown), count, all, group.where));
    }
    if (const Group group = group_of(comparison, Finding::not_measurable); !group.bands.empty())
        sentences.push_back(
            fmt::format(fmt::runtime(texts::rest_not_measurable), group.bands.size(), all, group.where));
    return sentences;
}

std::string compared_positions(const Comparison& comparison) {
    if (!comparison.paired)
        return fmt::format(fmt::runtime(texts::compare_title_unpaired), comparison.pairs);
    return comparison.pairs == 1 ? std::string(texts::compare_title_one)
                                 : fmt::format(fmt::runtime(texts::compare_title_paired), comparison.pairs);
}

std::string reasons_sentence(const std::set<Empty>& reasons) {
    if (reasons.empty())
        return "";
    std::string text(texts::reasons_head);
    for (const Empty why : reasons)
        text += (why == *reasons.begin() ? "" : "; ") +
                fmt::format(fmt::runtime(texts::reason_entry), code(why), texts::reason(why));
    return text + '.';
}

std::set<Empty> reasons_in(const Comparison& comparison) {
    std::set<Empty> reasons;
    for (const BandFinding& band : comparison.bands)
        if (band.change_percent.empty)
            reasons.insert(*band.change_percent.empty);
    return reasons;
}

} // namespace ebbmark
