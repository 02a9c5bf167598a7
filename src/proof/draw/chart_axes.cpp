// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/draw/chart_axes.hpp"

#include "proof/draw/palette.hpp"
#include "proof/draw/render.hpp"
#include "proof/text/common_texts.hpp"
#include "proof/text/numbers.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace ebbmark {

namespace {

TextStyle axis_style(double font, Anchor anchor) {
    return {font, palette::quiet, false, false, anchor};
}

/// Neighbouring bands with the same reason.
struct Run {
    std::size_t first, last;
    std::string text;
};

std::vector<Run> runs_of(const std::vector<std::optional<Empty>>& reasons) {
    std::vector<Run> runs;
    for (std::size_t i = 0; i < reasons.size(); ++i) {
        if (!reasons[i])
            continue;
        if (!runs.empty() && runs.back().last + 1 == i && reasons[i - 1] == reasons[i])
            runs.back().last = i;
        else
            runs.push_back({i, i, std::string(code(*reasons[i]))});
    }
    for (Run& run : runs)
        std::replace(run.text.begin(), run.text.end(), '_', ' ');
    return runs;
}

double run_width(const Run& run, double step) {
    return static_cast<double>(run.last - run.first + 1) * step;
}

bool fits_across(const Run& run, double step, const TextStyle& style) {
    return text_width(run.text, style) + 0.2 * style.size <= run_width(run, step);
}

/// The coarsest thinning that is needed: every band, one per octave, one in two octaves, ...
bool is_labelled(const Band& band, int thinning) {
    const int per_octave = band.width == BandWidth::third ? 3 : 1;
    return thinning == 0 || band.index % (per_octave * thinning) == 0;
}

double round_step(double span, int ticks) {
    const double raw = span / ticks, decade = std::pow(10, std::floor(std::log10(raw)));
    for (const double factor : {1.0, 2.0, 5.0})
        if (factor * decade >= raw * (1 - 1e-9))
            return factor * decade;
    return 10 * decade;
}

} // namespace

BandAxis::BandAxis(std::vector<Band> bands, double left, double right)
    : bands_(std::move(bands)), left_(left),
      step_((right - left) / std::max<double>(1, static_cast<double>(bands_.size()))) {}

double BandAxis::draw_labels(Canvas& canvas, double y, double font) const {
    const TextStyle style = axis_style(font, Anchor::middle);
    int thinning = 0;
    const auto too_dense = [&] {
        double last_end = -INFINITY;
        for (std::size_t i = 0; i < bands_.size(); ++i) {
            if (!is_labelled(bands_[i], thinning))
                continue;
            const double half = text_width(label(bands_[i]), style) / 2;
            if (x(i) - half < last_end + 0.35 * font)
                return true;
            last_end = x(i) + half;
        }
        return false;
    };
    while (thinning < 8 && too_dense())
        ++thinning;
    const double baseline = y + 1.25 * font;
    for (std::size_t i = 0; i < bands_.size(); ++i) {
        const bool labelled = is_labelled(bands_[i], thinning);
        canvas.line({x(i), y}, {x(i), y + (labelled ? 0.35 : 0.2) * font}, {palette::rule, 0.6, {}});
        if (labelled)
            canvas.text({x(i), baseline}, label(bands_[i]), style);
    }
    canvas.text({left_ + step_ * static_cast<double>(bands_.size()) + 0.4 * font, baseline},
                std::string(texts::hertz), axis_style(font, Anchor::start));
    return 1.6 * font;
}

double BandAxis::draw_reasons(Canvas& canvas, double y, double font,
                              const std::vector<std::optional<Empty>>& reasons) const {
    double height = 0;
    TextStyle style = axis_style(font * 0.92, Anchor::middle);
    for (const Run& run : runs_of(reasons)) {
        const double middle = (x(run.first) + x(run.last)) / 2;
        const double inset = std::min(0.25 * step_, 0.3 * font), half = run_width(run, step_) / 2 - inset;
        canvas.line({middle - half, y}, {middle + half, y}, {palette::quiet, 0.6, {}});
        if (fits_across(run, step_, style)) {
            canvas.text({middle, y + 1.15 * font}, run.text, style);
            height = std::max(height, 1.5 * font);
        } else {
            TextStyle turned = style;
            turned.anchor = Anchor::end;
            turned.turn_degrees = -90;
            canvas.text({middle + 0.33 * font, y + 0.35 * font}, run.text, turned);
            height = std::max(height, text_width(run.text, style) + 0.6 * font);
        }
    }
    return height;
}

double BandAxis::height_below(double font, const std::vector<std::optional<Empty>>& reasons) const {
    Canvas scratch(0, 0);
    return draw_labels(scratch, 0, font) + 0.3 * font + draw_reasons(scratch, 0, font, reasons);
}

void BandAxis::draw_absent(Canvas& canvas, const Area& area,
                           const std::vector<std::optional<Empty>>& reasons) const {
    for (const Run& run : runs_of(reasons))
        canvas.box({x(run.first) - step_ / 2, area.top}, run_width(run, step_), area.height(),
                   palette::absent);
}

ValueAxis::ValueAxis(double low, double high, int ticks, double top, double bottom)
    : low_(low), high_(std::max(high, low + 1e-9)), step_(round_step(high_ - low_, std::max(ticks, 2))),
      top_(top), bottom_(bottom) {}

double ValueAxis::y(double value) const {
    const double held = std::clamp(value, low_, high_);
    return bottom_ - (held - low_) / (high_ - low_) * (bottom_ - top_);
}

std::vector<double> ValueAxis::marks() const {
    std::vector<double> values;
    const auto first = std::lround(std::ceil(low_ / step_ - 1e-9)),
               last = std::lround(std::floor(high_ / step_ + 1e-9));
    for (long i = first; i <= last; ++i)
        values.push_back(static_cast<double>(i) * step_);
    return values;
}

namespace {

/// As many decimals as the step between marks needs.
std::string mark_text(double value, double step, NumberSigns signs) {
    const int decimals = std::max(0, static_cast<int>(-std::floor(std::log10(step) + 1e-9)));
    const std::string text = value == 0 ? "0" : fmt::format("{:.{}f}", value, decimals);
    return with_minus_sign(signs == NumberSigns::plus_and_minus && value > 0 ? "+" + text : text);
}

} // namespace

void ValueAxis::draw(Canvas& canvas, const Area& area, double font, NumberSigns signs) const {
    canvas.line({area.left, area.bottom}, {area.right, area.bottom}, {palette::rule, 0.8, {}});
    for (const double value : marks()) {
        const bool zero = value == 0;
        canvas.line({area.left, y(value)}, {area.right, y(value)},
                    {zero ? palette::rule : palette::grid, zero ? 0.8 : 0.6, {}});
        canvas.text({area.left - 0.5 * font, y(value) + 0.35 * font}, mark_text(value, step_, signs),
                    axis_style(font, Anchor::end));
    }
}

double ValueAxis::label_width(double font, NumberSigns signs) const {
    double width = 0;
    for (const double value : marks())
        width = std::max(width, text_width(mark_text(value, step_, signs), axis_style(font, Anchor::end)));
    return width;
}

void draw_side_labels(Canvas& canvas, double x, double top, double bottom, double font,
                      std::vector<SideLabel> labels) {
    std::stable_sort(labels.begin(), labels.end(),
                     [](const SideLabel& a, const SideLabel& b) { return a.y < b.y; });
    const double apart = 1.2 * font;
    double least = top + font;
    for (SideLabel& text : labels) {
        text.y = std::max(text.y + 0.35 * font, least);
        least = text.y + apart;
    }
    double most = bottom;
    for (auto text = labels.rbegin(); text != labels.rend(); ++text) {
        text->y = std::min(text->y, most);
        most = text->y - apart;
        canvas.text({x, text->y}, text->text, {font, text->colour, true});
    }
}

void draw_marker(Canvas& canvas, Spot at, MarkerShape shape, double size, const Colour& colour,
                 MarkerInside inside, const std::string& hover) {
    const Colour fill = inside == MarkerInside::colour ? colour : palette::paper;
    const Stroke edge{colour, 0.32 * size, {}};
    const auto area = [&](std::vector<Spot> corners) {
        for (Spot& corner : corners)
            corner = {at.x + corner.x * size, at.y + corner.y * size};
        canvas.add(Path{corners, true, fill, edge, hover});
    };
    switch (shape) {
    case MarkerShape::circle:
        canvas.add(Circle{at, size, fill, edge, hover});
        break;
    case MarkerShape::diamond:
        area({{0, -1.25}, {1.25, 0}, {0, 1.25}, {-1.25, 0}});
        break;
    case MarkerShape::square:
        area({{-0.9, -0.9}, {0.9, -0.9}, {0.9, 0.9}, {-0.9, 0.9}});
        break;
    case MarkerShape::triangle:
        area({{0, -1.2}, {1.15, 0.85}, {-1.15, 0.85}});
        break;
    case MarkerShape::bar:
        area({{-1.6, -0.3}, {1.6, -0.3}, {1.6, 0.3}, {-1.6, 0.3}});
        break;
    }
}

void draw_bound(Canvas& canvas, Spot at, double size, const Colour& colour, const std::string& hover) {
    canvas.line({at.x - 1.5 * size, at.y}, {at.x + 1.5 * size, at.y}, {colour, 0.5 * size, {}});
    canvas.line(at, {at.x, at.y + 2.2 * size}, {colour, 0.35 * size, {}});
    const double tip = at.y + 3.4 * size;
    canvas.add(
        Path{{{at.x - 0.9 * size, tip - 1.4 * size}, {at.x + 0.9 * size, tip - 1.4 * size}, {at.x, tip}},
             true,
             colour,
             {},
             hover});
}

} // namespace ebbmark
