// SPDX-License-Identifier: GPL-3.0-or-later
// The colours of every picture and page. Before is lighter and warm, after darker and cold: told apart by
// colour-blind readers and in grey print, besides by shape and dash. All text colours have a contrast of at
// least 4.5 on white (WCAG 2.1, 1.4.3; checked by a test).
#pragma once

#include "proof/draw/canvas.hpp"

namespace ebbmark::palette {

inline constexpr Colour ink{0x1e, 0x29, 0x30};
inline constexpr Colour quiet{0x56, 0x62, 0x6b}; ///< secondary text
inline constexpr Colour before{0xa3, 0x5a, 0x12};
inline constexpr Colour after{0x0c, 0x4a, 0x66};
inline constexpr Colour third{0x5f, 0x6f, 0x52}; ///< a further series
inline constexpr Colour rule{0xb9, 0xc1, 0xc6};  ///< axes and table lines
inline constexpr Colour grid{0xe3, 0xe7, 0xe9};
inline constexpr Colour shade{0xee, 0xf1, 0xf3};          ///< areas that mean something
inline constexpr Colour promised{0x5f, 0x6f, 0x52, 0.26}; ///< the range predicted
inline constexpr Colour absent{0xf6, 0xf3, 0xee};         ///< columns without a value
inline constexpr Colour paper{0xff, 0xff, 0xff};
inline constexpr Colour alarm{0xa1, 0x1d, 0x21};           ///< SIMULATED
inline constexpr Colour watermark{0xa1, 0x1d, 0x21, 0.10}; ///< the same across the page

} // namespace ebbmark::palette
