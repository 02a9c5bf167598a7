// SPDX-License-Identifier: GPL-3.0-or-later
// Words of the one page of `compare`.
#pragma once

#include "proof/text/common_texts.hpp"

namespace ebbmark::texts {

inline constexpr Text page_title = "Before-and-after measurement record";
inline constexpr Text in_octaves = " · octave bands";
inline constexpr Text in_third_octaves = " · one-third-octave bands";
inline constexpr Text page_footer = "Ebbmark {} · {}";
inline constexpr Text table_caption = "Decay time {}: geometric mean{}";
inline constexpr Text column_band = "band";
inline constexpr Text column_change = "change";
inline constexpr Text column_interval = "95\u00a0% interval";
inline constexpr Text column_could_show = "could show";
inline constexpr Text column_finding = "finding";
inline constexpr Text column_added = "added";
inline constexpr Text column_predicted = "predicted";
inline constexpr Text meaning_head = "What it means";
inline constexpr Text meaning_shorter =
    "Shorter: in these bands the sound dies away faster than before, by more than chance explains.";
inline constexpr Text meaning_longer =
    "Longer: in these bands the sound takes more time to die away than before, by more than chance explains.";
inline constexpr Text meaning_error = "The risk that even one “shorter” or “longer” among all bands and "
                                      "modes is a false alarm is held at 5\u00a0%. Each "
                                      "interval is for its band alone.";
inline constexpr Text meaning_unchanged =
    "Shown unchanged: whatever change there is, it is smaller than the margin named under the method.";
inline constexpr Text meaning_not_shown = "No change shown: the measurement cannot tell a change from chance "
                                          "there. It does not say that everything "
                                          "stayed as it was. “Could show” is the smallest shortening that it "
                                          "would have found in 80\u00a0% of cases.";
inline constexpr Text meaning_not_measurable =
    "Not measurable: no finding is possible; the table gives the reason.";
inline constexpr Text limits_head = "What it does not prove";
inline constexpr Text limits_cause = "What caused a change: doors, furniture, persons, air, and the places "
                                     "of loudspeaker and microphone must have "
                                     "been the same both times.";
inline constexpr Text limits_places =
    "How the room sounds where nobody measured, or in bands without a value.";
inline constexpr Text limits_rules = "Sound insulation, loudness, or that any rule or standard is met: this "
                                     "is the measuring party's own record, "
                                     "not an accredited test.";
inline constexpr Text method_head = "How it was evaluated";
inline constexpr Text caution_head = "Caution when repeating it";
inline constexpr Text caution_loud = "Test signals can hurt ears and loudspeakers: start quietly, wear "
                                     "hearing protection, warn everybody nearby.";
inline constexpr Text remarks_head = "Remarks";
inline constexpr Text remarks_left_out = "Further remarks without room here: {}. All are in the JSON result.";
inline constexpr Text evidence_head = "Responses compared, with their SHA-256";
inline constexpr Text evidence_head_cut =
    "Responses compared, with the first half of their SHA-256 (whole in the JSON result)";
inline constexpr Text evidence_left_out = "{} more, listed in the JSON result";

} // namespace ebbmark::texts
