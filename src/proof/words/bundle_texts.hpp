// SPDX-License-Identifier: GPL-3.0-or-later
// Words of the bundle.
#pragma once

#include "proof/text/common_texts.hpp"

namespace ebbmark::texts {

inline constexpr Text bundle_written =
    "{}: {} files, {} MB. Whoever has it and the program can repeat the whole evaluation; it holds client, "
    "address and invoice as job.toml has them.";
inline constexpr Text bundle_readme = R"(EVERYTHING TO REPEAT AN EVALUATION

job/            the whole job: raw recordings as they were brought in, their sweeps and settings, the
                protocols of the visits, predictions, promises, and evidence.sha256, the list of hashes
findings.json   what the comparison gave
check.py        the evaluation once more in 200 lines of Python, with none of the program's code
bundle.sha256   the hashes of all files but itself

Made with Ebbmark {0}. Digest of the job: {1}

1. Without any program of ours, in this folder (Python 3.11 or newer with numpy and scipy):
       python3 check.py
   It looks at the hashes, divides the recordings by their sweeps, measures the decay times, and says
   whether their change agrees with findings.json within a tenth of the interval. Read it first.
   The hashes alone, here and in the folder job:
       sha256sum -c bundle.sha256
       sha256sum -c evidence.sha256
   The digits on the client's copy of the promise are the first 32 of one file's hash in job/promises:
       sha256sum promises/*.toml
   Each promise lists the hashes of the files kept by then.
2. With Ebbmark {0}, in this folder:
       ebbmark verify job --digest {1}
       ebbmark compare job --format json --out ../again.json
       cmp findings.json ../again.json
   The two must not differ in a single byte. Another version may give other last digits. Both steps in
   one, on the packed archive or in this folder: ebbmark verify ARCHIVE.zip, ebbmark verify .
3. Single steps, to look closer:
       ebbmark decay job --visit before
       ebbmark ringing job --visit before --after after
       ebbmark proof job --into .. --data ../data
   Any other program can be held against it: the recordings are plain audio files, each take's .toml says
   which part and channel is which position, and how the sweep was made.

Test signals can be loud: nobody repeats the measurement itself without hearing protection.
)";

inline constexpr Text redacted_mark =
    "Redacted copy: who, where, traps' names, makes, devices, notes and photos left out";
inline constexpr Text redacted_word = "redacted";
inline constexpr Text redacted_trap = "trap no. {}";
inline constexpr Text redacted_patch = "{} no. {}"; ///< "door no. 1"
inline constexpr Text redacted_part = "part no. {}";

} // namespace ebbmark::texts
