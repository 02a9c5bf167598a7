// SPDX-License-Identifier: GPL-3.0-or-later
// Words of `ringing` and `waterfall`.
#pragma once

#include "proof/text/common_texts.hpp"

namespace ebbmark::texts {

// ---- ringing

inline constexpr Text position_word = "position";
inline constexpr Text positions_word = "positions";
inline constexpr Text ringing_title = "{} modes that can be told apart, from {} {}";
inline constexpr Text ringing_unresolved = "{} to {}\u00a0Hz: something rings that cannot be told ({})";
inline constexpr Text ringing_not_reached = "{} to {}\u00a0Hz: the test signal has nothing there ({})";
inline constexpr Text ringing_key = "mode: frequency of a free vibration of the room. T60: time in which it "
                                    "falls by 60\u00a0dB, with its 95\u00a0% "
                                    "interval. Q: frequency over the width of its resonance. level: at the "
                                    "onset, at the position where the mode is "
                                    "strongest, against the strongest mode of all.";
inline constexpr Text ringing_method =
    "Method: damped sinusoids, one frequency and one damping per mode for all positions together, one "
    "amplitude per "
    "position; first guess by ESPRIT, then nonlinear least squares (variable projection) in the frequency "
    "domain. The intervals allow for noise, neighbours and modes hidden behind others; those of changes also "
    "for what leaving out one position after the other does.";

inline constexpr Text ringing_after = "AFTER";
inline constexpr Text ringing_pairs = "WHAT BECAME OF EACH MODE";
inline constexpr Text mode_new = "new";
inline constexpr Text mode_vanished = "not found after";
inline constexpr Text modes_together = "{} modes together";
inline constexpr Text longest_head = "RINGS LONGEST";
inline constexpr Text not_heard_below = "not heard below";
inline constexpr Text energy_left_one =
    "Energy left in 20 to 200\u00a0Hz after 100, 200 and 300\u00a0ms, mean over the positions: {}.";
inline constexpr Text energy_left_two = "Energy left in 20 to 200\u00a0Hz after 100, 200 and 300\u00a0ms, "
                                        "mean over the positions: before {}; after {}.";
inline constexpr Text threshold_sources = "not heard below: decay time of a single mode that listeners no "
                                          "longer heard ring. (a) M. Stephenson, thesis, "
                                          "Salford 2012; (b) Q of 16, B. Avis, B. Fazenda, W. Davies 2007. "
                                          "Both second-hand, from abstracts and quotations: "
                                          "a guide, no limit.";
inline constexpr Text chart_ringing = "T60 of each mode, s";
inline constexpr Text chart_before = "before";
inline constexpr Text chart_after = "after";
inline constexpr Text chart_threshold = "not heard below (Stephenson 2012, second-hand)";
inline constexpr Text chart_describes_ringing = "Decay times of {} room modes from {} to {} Hz";

// ---- waterfall

inline constexpr Text waterfall_title = "Waterfall of {}: {} slices over {}\u00a0s";
inline constexpr Text waterfall_method =
    "ridge: frequency that rings on longer than its neighbours. level: at the onset, against the strongest "
    "frequency. 60\u00a0dB: time of a fall by 60\u00a0dB, read from the slices between 5 and 25\u00a0dB "
    "down. "
    "The window resolves {}\u00a0Hz and {}\u00a0s: what is closer together is one ridge here; the command "
    "ringing tells modes apart.";
inline constexpr Text waterfall_ridge = "{}\u00a0Hz {}\u00a0s";
inline constexpr Text waterfall_resolution = "the box is what can be resolved: {}\u00a0Hz × {}\u00a0s";
inline constexpr Text waterfall_scale_top = "0\u00a0dB";
inline constexpr Text waterfall_time = "s after the onset";
inline constexpr Text chart_describes_waterfall = "Level left over time for {} responses, {} to {} Hz, in "
                                                  "layers of 6 dB from the strongest level at the onset";

} // namespace ebbmark::texts
