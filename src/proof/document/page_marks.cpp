// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/document/page_marks.hpp"

#include "proof/draw/palette.hpp"
#include "proof/text/common_texts.hpp"

#include <cmath>
#include <numbers>
#include <string>

namespace ebbmark {

void draw_watermark(Canvas& page) {
    const double turn = -std::atan2(page.height(), page.width());
    // Turned text stands on its baseline, so it is moved by a third of its size to lie in the middle.
    const TextStyle style{104,   palette::watermark, true,
                          false, Anchor::middle,     turn * 180 / std::numbers::pi};
    const double lift = 0.36 * style.size;
    page.text({page.width() / 2 - lift * std::sin(turn), page.height() / 2 + lift * std::cos(turn)},
              std::string(texts::simulated_mark), style);
}

} // namespace ebbmark
