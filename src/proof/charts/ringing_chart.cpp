// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/charts/ringing_chart.hpp"

#include "proof/draw/frequency_axis.hpp"
#include "proof/draw/palette.hpp"
#include "proof/draw/render.hpp"
#include "proof/draw/series.hpp"
#include "proof/words/ringing_texts.hpp"
#include "ringing/summary.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace ebbmark {

namespace {

double longest_s(const RingingReport& report) {
    double longest = 0.3;
    for (const RingingState* state : {&report.state, report.after ? &*report.after : nullptr})
        if (state)
            for (const MeasuredMode& mode : state->ringing.modes)
                longest = std::max(longest, std::min(*mode.t60_s.high, 1.3 * *mode.t60_s));
    return 1.08 * longest;
}

class Drawing {
  public:
    Drawing(Canvas& canvas, const RingingReport& report, const Area& area, double font)
        : canvas_(canvas), report_(report), area_(area), font_(font),
          across_(report.from_hz, report.to_hz, FrequencyScale::logarithmic, area),
          up_(0, longest_s(report), static_cast<int>(area.height() / (2.6 * font)), area.top, area.bottom) {}

    void draw() {
        ranges(report_.state.ringing.unresolved, report_.after ? 0.5 : 1);
        if (report_.after)
            ranges(report_.after->ringing.unresolved, 0);
        up_.draw(canvas_, area_, font_, NumberSigns::minus);
        across_.draw(canvas_, font_);
        threshold();
        if (report_.after)
            joins();
        state(report_.state, report_.after ? palette::before : palette::after, !report_.after);
        if (report_.after)
            state(*report_.after, palette::after, true);
        names();
    }

  private:
    /// With two states the upper half is before, the lower one after.
    void ranges(const std::vector<UnresolvedRange>& unresolved, double part) {
        const double top = part == 0 ? (area_.top + area_.bottom) / 2 : area_.top;
        const double bottom = part == 0.5 ? (area_.top + area_.bottom) / 2 : area_.bottom;
        const TextStyle style{0.85 * font_, palette::quiet, false, false, Anchor::middle};
        for (const UnresolvedRange& range : unresolved) {
            const double left = across_.x(std::max(range.from_hz, report_.from_hz));
            const double right = across_.x(std::min(range.to_hz, report_.to_hz));
            if (right <= left)
                continue;
            canvas_.box({left, top}, right - left, bottom - top, palette::absent);
            std::string text(code(range.why));
            std::replace(text.begin(), text.end(), '_', ' ');
            const double y = part == 0 ? bottom - 0.5 * font_ : top + 1.1 * font_;
            if (text_width(text, style) + 2 < right - left)
                canvas_.text({(left + right) / 2, y}, text, style);
        }
    }

    void threshold() {
        Path line{{}, false, {}, Stroke{palette::quiet, 0.8, {3, 2}}, {}};
        for (double hz = report_.from_hz; hz <= report_.to_hz * 1.0001; hz *= 1.02) {
            const double seconds = audibility_threshold(hz).stephenson_s;
            if (up_.holds(seconds))
                line.points.push_back({across_.x(hz), up_.y(seconds)});
        }
        if (line.points.size() < 2)
            return;
        canvas_.add(line);
        const TextStyle style{0.85 * font_, palette::quiet, false, false, Anchor::end};
        const std::string text(texts::chart_threshold);
        const double y = area_.top - 1.0 * font_, left = area_.right - text_width(text, style);
        canvas_.line({left - 3 * font_, y - 0.3 * font_}, {left - 0.5 * font_, y - 0.3 * font_},
                     {palette::quiet, 0.8, {3, 2}});
        canvas_.text({area_.right, y}, text, style);
    }

    Spot place(const MeasuredMode& mode) const { return {across_.x(*mode.hz), up_.y(*mode.t60_s)}; }

    void joins() {
        for (const PairedMode& pair : report_.pairs)
            for (std::size_t i = 0; i < std::min(pair.before.size(), pair.after.size()); ++i)
                canvas_.line(place(report_.state.ringing.modes[pair.before[i]]),
                             place(report_.after->ringing.modes[pair.after[i]]), {palette::rule, 1.2, {}});
        for (const ModePair& mode : report_.changes)
            if (mode.after_t60_at_most_s) {
                const Spot from{across_.x(mode.before_hz), up_.y(*mode.before_t60_s)};
                const Spot bound{from.x, up_.y(*mode.after_t60_at_most_s)};
                canvas_.line(from, bound, {palette::rule, 1.2, {2, 2}});
                draw_bound(canvas_, bound, 0.25 * font_, palette::after, "");
            }
    }

    void state(const RingingState& state, const Colour& colour, bool filled) {
        for (const MeasuredMode& mode : state.ringing.modes) {
            const Spot at = place(mode);
            if (!report_.after)
                canvas_.line({at.x, area_.bottom}, at, {colour, 1.1, {}});
            draw_interval(canvas_, at.x, up_, mode.t60_s, 0.22 * font_, {colour, 0.7, {}});
            draw_marker(canvas_, at, filled ? MarkerShape::diamond : MarkerShape::circle, 0.26 * font_,
                        colour, filled ? MarkerInside::colour : MarkerInside::paper,
                        fmt::format("{:.2f} Hz: {:.2f} s", *mode.hz, *mode.t60_s));
        }
    }

    void names() {
        const TextStyle style{0.95 * font_, palette::ink, true, false, Anchor::middle};
        double taken_from = 1e9, taken_to = -1e9, taken_y = 0;
        auto longest = longest_ringing(report_.state.ringing);
        std::sort(longest.begin(), longest.end());
        for (const std::size_t k : longest) {
            const MeasuredMode& mode = report_.state.ringing.modes[k];
            const std::string text = fmt::format("{:.1f}\u00a0Hz", *mode.hz);
            const double half = text_width(text, style) / 2 + 0.2 * font_;
            const double x = std::clamp(across_.x(*mode.hz), area_.left + half, area_.right - half);
            const double high = up_.y(std::min(*mode.t60_s.high, up_.high()));
            double y = std::max(high - 0.5 * font_, area_.top + font_);
            if (x - half < taken_to && x + half > taken_from && std::abs(y - taken_y) < 1.15 * font_)
                y = taken_y - 1.15 * font_;
            canvas_.box({x - half, y - 0.9 * font_}, 2 * half, 1.15 * font_, {255, 255, 255, 0.8});
            canvas_.text({x, y}, text, style);
            taken_from = x - half, taken_to = x + half, taken_y = y;
        }
    }

    Canvas& canvas_;
    const RingingReport& report_;
    Area area_;
    double font_;
    FrequencyAxis across_;
    ValueAxis up_;
};

} // namespace

Canvas ringing_chart(const RingingReport& report, const ChartSize& size) {
    const double font = size.font;
    Canvas canvas(size.width, size.height);
    const Area area{2.6 * font, 3.4 * font, size.width - 2.6 * font, size.height - 2.2 * font};
    draw_heading(canvas, {0, 1.1 * font}, texts::chart_ringing, font);
    if (report.after) {
        const double width = text_width(std::string(texts::chart_ringing), {font, {}, true});
        canvas.text({width + 1.5 * font, 1.1 * font}, std::string(texts::chart_before),
                    {font, palette::before, true});
        canvas.text({width + 5.5 * font, 1.1 * font}, std::string(texts::chart_after),
                    {font, palette::after, true});
    }
    Drawing(canvas, report, area, font).draw();
    if (report.simulated)
        draw_simulated_mark(canvas, area.right, font);
    return canvas;
}

std::string chart_description(const RingingReport& report) {
    return fmt::format(fmt::runtime(texts::chart_describes_ringing), report.state.ringing.modes.size(),
                       fmt::format("{:g}", report.from_hz), fmt::format("{:g}", report.to_hz));
}

} // namespace ebbmark
