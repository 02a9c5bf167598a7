// SPDX-License-Identifier: GPL-3.0-or-later
// Words of the job: `next`, `exclude`, `verify`, the demo.
#pragma once

#include "proof/text/common_texts.hpp"

namespace ebbmark::texts {

// ---- job

inline constexpr Text safe_to_leave = "Safe to leave: everything that this visit needs is measured.";
inline constexpr Text not_safe_to_leave = "Not safe to leave yet.";
inline constexpr Text next_missing = "Missing:";
inline constexpr Text next_now = "Now:";
inline constexpr Text next_notes = "Notes:";
inline constexpr Text day_digits_head =
    "Digits of the day, up to visit {} ({} files of the evidence kept by now):";
inline constexpr Text day_digits_use =
    "Let the client photograph them or write them down today. With them anybody can check later, with verify "
    "--digest, what was changed, added or left out since; without them nobody outside can.";
inline constexpr Text day_digits_not_noted =
    "The job is open for reading only: they are shown and not noted in it. Run next where it may be written, "
    "then let the client photograph them or write them down.";
inline constexpr Text excluded =
    "Take {} is left out of the results. The recording stays; the proof shows the reason: {}";
inline constexpr Text predict_counts =
    "The prediction was stored on {}, before any visit after the build ({}, "
    "SHA-256 {}). Compare holds those visits against it.";
inline constexpr Text predict_too_late =
    "The prediction was stored on {} ({}, SHA-256 {}), when a visit after the build had been measured "
    "already. "
    "Against such a visit it is no proof of a promise, and compare says so.";
inline constexpr Text predict_as_built =
    "The forecast of the traps as they were built was stored on {} ({}, SHA-256 {}). It explains; what was "
    "promised is held against the plan, and the record shows both.";
inline constexpr Text kept_take = "Kept as take {} of position {}, visit {}.";
inline constexpr Text verified_changed = "NOT INTACT. Of {} files of the evidence:";
inline constexpr Text verified_digest = "Digest:";
inline constexpr Text verified_changed_head = "Changed:";
inline constexpr Text verified_missing_head = "Missing:";
inline constexpr Text verified_added_head = "Added, no part of the evidence:";

// ---- demo

inline constexpr Text demo_room =
    "A rehearsal room of 4.1 × 3.3 × 2.6 m, invented, and three invented bass traps: measured "
    "at six positions and a return, before and after.";
inline constexpr Text demo_truth =
    "Measured T20 against the virtual room's own, means over the positions; inside: positions "
    "whose 95 % interval holds the room's own value.";
inline constexpr Text inside_of = "{} of {}";
inline constexpr Text demo_inside =
    "In all {} of {} intervals hold the room's own value; {} values are empty.";
inline constexpr Text demo_pages =
    "The job is {0}. The page for the offer: {0}/results/promise.pdf; the record for the invoice: "
    "{0}/results/proof.pdf; each also as .html beside it.";

// ---- verify

inline constexpr Text verify_intact =
    "Intact: all {} files of the evidence agree with the job's list, and the list with the hashes that the "
    "takes and promises themselves bear.";
inline constexpr Text verify_outside =
    "That the list itself is the old one shows only a digest kept outside the job: --digest, with the "
    "client's copy of the promise, the digits of a day, or a record.";
inline constexpr Text verify_matches = "THE DIGEST GIVEN IS THAT OF THIS JOB ({}).";
inline constexpr Text verify_other = "THE DIGEST GIVEN IS NOT ONE OF THIS JOB AS IT IS NOW.";
inline constexpr Text verify_unreadable_head = "Cannot be read:";
inline constexpr Text verify_covers_head = "What the digest given covers:";
inline constexpr Text verify_added_since_head = "Kept since:";
inline constexpr Text verify_changed_since_day = "No more as on that day:";
inline constexpr Text verify_changed_since_kept =
    "Evidence is as kept. What you write was changed since it was last kept with a take or shown digits:";
inline constexpr Text changed_text = "{} (as it stood: {}): {}";
inline constexpr Text spelling_only = "photos, distances, remarks or spelling";
inline constexpr Text verify_otherwise_head = "Otherwise in job.toml than what was promised, which counts:";
inline constexpr Text verify_stamps_head = "Time stamps, not checked by this program:";
inline constexpr Text time_stamp =
    "{0}: check it with: openssl ts -verify -data {1} -in {0} -CAfile YOUR-AUTHORITY.pem";
inline constexpr Text verify_left_out_head = "Takes left out since:";

} // namespace ebbmark::texts
