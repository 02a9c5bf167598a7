// SPDX-License-Identifier: GPL-3.0-or-later
// Octave and one-third-octave bands: IEC 61260-1:2014, base-10 system, clause 5 and Annex E labels (ISO 266).
#pragma once

#include <string>
#include <vector>

namespace ebbmark {

enum class BandWidth { octave, third };

/// One band. Exact frequencies; the nominal one is only its label.
struct Band {
    BandWidth width = BandWidth::third;
    int index = 0; ///< x of fm = 1000 Hz · G^(x/b), G = 10^(3/10), b = 1 or 3
    double nominal_hz = 0;
    double exact_hz = 0;
    double lower_hz = 0;
    double upper_hz = 0;

    double bandwidth_hz() const { return upper_hz - lower_hz; }
    friend bool operator==(const Band&, const Band&) = default;
};

/// The band of index x, −20 ≤ x ≤ 13 for thirds (10 Hz to 20 kHz), −6 ≤ x ≤ 4 for octaves (16 Hz to 16 kHz).
/// Throws std::out_of_range outside.
Band band_at(BandWidth width, int index);

/// All bands whose nominal frequency lies in [from_hz, to_hz], lowest first.
std::vector<Band> bands_between(BandWidth width, double from_hz, double to_hz);

/// "octave" or "third".
std::string name(BandWidth width);

/// The label of a band as the trade writes it: "31.5", "125", "1k", "12.5k".
std::string label(const Band& band);

} // namespace ebbmark
