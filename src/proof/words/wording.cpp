// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/words/wording.hpp"

#include "proof/text/guarded.hpp"
#include "proof/text/numbers.hpp"
#include "proof/words/comparison_texts.hpp"
#include "proof/words/decay_texts.hpp"
#include "proof/words/result_notes.hpp"
#include "proof/words/verdict_notes.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

namespace ebbmark {

namespace {

/// The bands with one finding, and what their figures span.
struct Group {
    std::vector<Band> bands;
    std::string where;   ///< "50 to 80 Hz and 125 Hz"
    std::string changes; ///< "27 to 55": sizes of the changes in per cent
    std::string
        could_show; ///< "9.9 to 45": smallest showable changes in per cent; empty where one is unknown
};

/// Smallest and largest of some percentages.
struct Span {
    double least = INFINITY, most = 0;

    void include(double value) {
        least = std::min(least, value);
        most = std::max(most, value);
    }
    std::string text() const {
        const std::string from = percent_text(least), to = percent_text(most);
        return from == to ? from : fmt::format(fmt::runtime(texts::range), from, to);
    }
};

template <typename Belongs>
Group group_where(const Comparison& comparison, const Belongs& belongs) {
    Group group;
    std::vector<Band> all;
    Span changes, could_show;
    bool known = true;
    for (const BandFinding& band : comparison.bands) {
        all.push_back(band.band);
        if (!belongs(band))
            continue;
        group.bands.push_back(band.band);
        if (band.change_percent)
            changes.include(std::abs(*band.change_percent));
        known = known && band.could_show_percent.has_value();
        could_show.include(band.could_show_percent.value_or(0));
    }
    group.where = bands_text(group.bands, all);
    group.changes = changes.text();
    if (known && !group.bands.empty())
        group.could_show = could_show.text();
    return group;
}

Group group_of(const Comparison& comparison, Finding finding) {
    return group_where(comparison, [&](const BandFinding& band) { return band.finding == finding; });
}

/// Bands without a finding: those with values from a single position, or those without any.
Group without_finding(const Comparison& comparison, bool with_change) {
    return group_where(comparison, [&](const BandFinding& band) {
        return band.finding == Finding::not_measurable && bool(band.change_percent) == with_change;
    });
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
        return std::string(without_finding(comparison, true).bands.empty() ? texts::headline_unmeasurable
                                                                           : texts::headline_single);
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
        const auto sentence =
            group.could_show.empty() ? texts::rest_not_shown_unknown : texts::rest_not_shown;
        sentences.push_back(
            fmt::format(fmt::runtime(sentence), group.bands.size(), all, group.where, group.could_show));
    }
    const auto add_counted = [&](const Group& group, texts::Text sentence) {
        if (!group.bands.empty())
            sentences.push_back(fmt::format(fmt::runtime(sentence), group.bands.size(), all, group.where));
    };
    add_counted(without_finding(comparison, true), texts::rest_single);
    add_counted(without_finding(comparison, false), texts::rest_not_measurable);
    return sentences;
}

std::vector<std::string> grouped_notes(const std::vector<BandNotes>& all) {
    std::vector<Band> bands;
    std::vector<std::pair<std::string, std::vector<Band>>> groups;
    for (const BandNotes& band : all) {
        bands.push_back(band.band);
        for (const std::string& note : band.notes) {
            auto group =
                std::find_if(groups.begin(), groups.end(), [&](const auto& g) { return g.first == note; });
            if (group == groups.end())
                group = groups.insert(groups.end(), {note, {}});
            group->second.push_back(band.band);
        }
    }
    std::vector<std::string> notes;
    for (const auto& [note, with_it] : groups)
        notes.push_back(
            fmt::format(fmt::runtime(texts::band_note), bands_text(with_it, bands), plain_text(note)));
    return notes;
}

std::vector<std::string> notes_on_whole(const CompareReport& report) {
    std::vector<std::string> notes = sentences(report.comparison.notes);
    for (const Note& note : report.notes)
        notes.push_back(sentence(note));
    return notes;
}

std::vector<std::string> all_notes(const CompareReport& report) {
    std::vector<std::string> notes;
    for (const std::string& note : notes_on_whole(report))
        notes.push_back(plain_text(note));
    std::vector<BandNotes> of_bands;
    for (const BandFinding& band : report.comparison.bands)
        of_bands.push_back({band.band, sentences(band.notes)});
    for (std::string& note : grouped_notes(of_bands))
        notes.push_back(std::move(note));
    return notes;
}

std::string target_source_note() {
    return "The limits are given from memory of the document; check them against a copy before relying on "
           "them.";
}

std::string setup_source_note() {
    return "Numbers, distances and accuracies of ISO 3382-2 (table 1, clause 4.3) are given from memory; "
           "check them against a copy before relying on them.";
}

std::string compared_positions(const Comparison& comparison) {
    if (!comparison.paired)
        return fmt::format(fmt::runtime(texts::compare_title_unpaired), comparison.pairs);
    if (comparison.pairs == 1)
        return std::string(texts::compare_title_one);
    const std::string all = fmt::format(fmt::runtime(texts::compare_title_paired), comparison.pairs);
    return comparison.question && comparison.listening_places > 0
               ? all + fmt::format(fmt::runtime(texts::compare_title_listening), comparison.listening_places)
               : all;
}

std::string comparison_method(const Comparison& comparison) {
    return std::string(comparison.question ? texts::question_method : "") +
           std::string(comparison.paired ? texts::compare_method_paired : texts::compare_method_unpaired) +
           std::string(texts::compare_method_common);
}

std::string metric_text(Metric metric) {
    return metric == Metric::t20 ? "T20" : "T30";
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
