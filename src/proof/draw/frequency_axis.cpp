// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/draw/frequency_axis.hpp"

#include "proof/draw/palette.hpp"
#include "proof/draw/render.hpp"
#include "proof/text/common_texts.hpp"

#include <fmt/format.h>

#include <cmath>

namespace ebbmark {

FrequencyAxis::FrequencyAxis(double from_hz, double to_hz, FrequencyScale scale, const Area& area)
    : scale_(scale), low_(scaled(from_hz)), high_(scaled(to_hz)), area_(area) {}

double FrequencyAxis::scaled(double hz) const {
    return scale_ == FrequencyScale::linear ? hz : std::log(hz);
}

double FrequencyAxis::x(double hz) const {
    return area_.left + (scaled(hz) - low_) / (high_ - low_) * area_.width();
}

std::vector<double> FrequencyAxis::marks() const {
    if (scale_ == FrequencyScale::logarithmic)
        return {10, 15, 20, 30, 40, 50, 70, 100, 150, 200, 300, 500, 700, 1000, 1500, 2000};
    std::vector<double> even;
    const double step = high_ - low_ > 600 ? 200 : high_ - low_ > 200 ? 50 : 20;
    for (double hz = 0; hz <= 2000; hz += step)
        even.push_back(hz);
    return even;
}

void FrequencyAxis::draw(Canvas& canvas, double font) const {
    const TextStyle style{font, palette::quiet, false, false, Anchor::middle};
    const double baseline = area_.bottom + 1.25 * font;
    double free_from = area_.left - 2 * font;
    for (const double hz : marks()) {
        if (x(hz) < area_.left - 0.5 || x(hz) > area_.right + 0.5)
            continue;
        const std::string text = fmt::format("{:g}", hz);
        const double half = text_width(text, style) / 2;
        const bool shown = x(hz) - half > free_from;
        canvas.line({x(hz), area_.bottom}, {x(hz), area_.bottom + (shown ? 0.35 : 0.2) * font},
                    {palette::rule, 0.6, {}});
        if (!shown)
            continue;
        canvas.text({x(hz), baseline}, text, style);
        free_from = x(hz) + half + 0.5 * font;
    }
    canvas.text({area_.right + 1.2 * font, baseline}, std::string(texts::hertz),
                {font, palette::quiet, false, false, Anchor::start});
}

} // namespace ebbmark
