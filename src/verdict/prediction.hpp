// SPDX-License-Identifier: GPL-3.0-or-later
// What was promised, and whether it came about.
#pragma once

#include "base/bands.hpp"
#include "base/measured.hpp"
#include "verdict/statistics.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace ebbmark {

/// Standard uncertainties of ln T after: of the decay before, of the materials, of the model.
struct PredictedParts {
    double before = 0, wool = 0, model = 0;
};

/// One band of a prediction: the decay time after, the absorption area to be added, or both.
struct PredictedBand {
    double nominal_hz = 0;
    Measured decay_s;
    Measured area_m2;
    std::optional<BandWidth> width;           ///< nothing: whatever was compared
    std::optional<double> before_s = {};      ///< that the decay was predicted from, where the table says
    std::optional<PredictedParts> parts = {}; ///< of its uncertainty, where the table says
};

/// One mode of a prediction, told by its frequency before.
struct PredictedMode {
    double before_hz = 0;
    Measured decay_s;
};

struct Prediction {
    std::vector<PredictedBand> bands;
    std::vector<PredictedMode> modes;
    bool stored_before = true; ///< before the second visit was measured; a later one is labelled so
    std::string places =
        {}; ///< that the bands are means over, "S1-M1 S2-M1"; empty where the table does not say

    const PredictedBand* at(const Band& band) const;
    /// The nearest within 0.2 %: the same measurement gives the same mode again.
    const PredictedMode* mode_at(double before_hz) const;
};

/// Reads a table in CSV: a heading, then one row per band; lines beginning with # are left out. Columns in
/// any order, others ignored: nominal_hz, and predicted_s or added_absorption_m2, each optionally with its 95
/// % interval in predicted_low_s, predicted_high_s, added_absorption_low_m2, added_absorption_high_m2. A row
/// with a frequency in mode_hz in place of nominal_hz is of that mode.
/// Columns u_before, u_wool and u_model, all or none, are standard uncertainties of ln T after, 0 to 2.
/// Column before_s is the decay before that the prediction starts from. Column places names the positions
/// that the bands are means over, with blanks between. Column width says octave or third; without it a table
/// that has only octave bands, at least two, is of octaves, any other of third octaves, and a single octave
/// band of either. Decimal point; comma or semicolon between fields. `source` is named in messages. Throws
/// Error(unusable) with line, column and mend.
Prediction parse_prediction(std::string_view text, std::string_view source);

enum class AgainstPrediction { as_predicted, less_than_predicted, more_than_predicted, cannot_tell };

/// "as predicted", "less than predicted", "more than predicted", "cannot tell".
std::string_view name(AgainstPrediction verdict);

/// A measured and a predicted change as ln(after/before), each with its expanded uncertainty U: coverage
/// factor 2, or what corresponds to it in Student's distribution.
struct AgainstInput {
    double measured = 0, measured_half = 0;
    double predicted = 0, predicted_half = 0;
};

/// From ln T measured after, ln T of "no change", and the decay time predicted with its 95 % interval in s; a
/// prediction without one is taken as exact.
AgainstInput against_input(const MeanEstimate& measured, double no_change_log, const Measured& predicted);

/// Normalised error E = (measured − predicted)/√(U² + U²) (ISO/IEC 17043:2010, B.3.1.3 e; from memory).
double normalised_error(const AgainstInput& input);

/// |E| ≤ 1 is as predicted, but cannot tell where the combined interval about the prediction also contains no
/// change. Else less where less of the predicted shortening came about, more where more did.
AgainstPrediction against_prediction(const AgainstInput& input);

/// The decay time after that goes with an absorption area added, or nothing where the area would end every
/// decay (removing more than there is).
std::optional<double> decay_with_area_s(double volume_m3, double before_s, double area_m2, double celsius);

/// The absorption area that a decay before and one after stand for, both in the same air of 20 °C, so that
/// its own part cancels (ISO 354:2003 clause 8); its interval is that of the decay after. Nothing without
/// one.
Measured area_of_decays_m2(double volume_m3, double before_s, const Measured& after_s);

} // namespace ebbmark
