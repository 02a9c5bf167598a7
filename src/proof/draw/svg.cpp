// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/draw/render.hpp"
#include "proof/text/guarded.hpp"

#include <fmt/format.h>

#include <cmath>

namespace ebbmark {

namespace {

/// Hundredths of a point are finer than any screen or printer shows.
std::string number(double value) {
    const double hundredths = std::round(value * 100) / 100;
    return fmt::format("{}", hundredths == 0 ? 0.0 : hundredths);
}

std::string colour(const char* attribute, const Colour& c) {
    std::string text = fmt::format(" {}=\"#{:02x}{:02x}{:02x}\"", attribute, c.red, c.green, c.blue);
    if (c.opacity < 1)
        text += fmt::format(" {}-opacity=\"{}\"", attribute, number(c.opacity));
    return text;
}

std::string paint(const std::optional<Colour>& fill, const std::optional<Stroke>& stroke) {
    std::string text = fill ? colour("fill", *fill) : " fill=\"none\"";
    if (!stroke)
        return text;
    text += colour("stroke", stroke->colour) + fmt::format(" stroke-width=\"{}\"", number(stroke->width));
    for (std::size_t i = 0; i < stroke->dashes.size(); ++i)
        text += (i == 0 ? " stroke-dasharray=\"" : " ") + number(stroke->dashes[i]);
    return stroke->dashes.empty() ? text : text + '"';
}

std::string ended(const char* element, const std::string& hover) {
    return hover.empty() ? "/>\n" : fmt::format("><title>{}</title></{}>\n", markup_text(hover), element);
}

struct Writer {
    std::string operator()(const Path& path) const {
        std::string points;
        for (const Spot& p : path.points)
            points += fmt::format("{}{},{}", points.empty() ? "" : " ", number(p.x), number(p.y));
        const char* element = path.closed ? "polygon" : "polyline";
        return fmt::format("<{} points=\"{}\"{}{}", element, points, paint(path.fill, path.stroke),
                           ended(element, path.hover));
    }
    std::string operator()(const Circle& circle) const {
        return fmt::format("<circle cx=\"{}\" cy=\"{}\" r=\"{}\"{}{}", number(circle.centre.x),
                           number(circle.centre.y), number(circle.radius), paint(circle.fill, circle.stroke),
                           ended("circle", circle.hover));
    }
    // Photos and marks stand in documents alone, whose HTML has elements of its own for them.
    std::string operator()(const Photo&) const { return ""; }
    std::string operator()(const Mark&) const { return ""; }
    std::string operator()(const Label& label) const {
        const TextStyle& style = label.style;
        std::string attributes = fmt::format(" x=\"{}\" y=\"{}\" font-size=\"{}\"", number(label.at.x),
                                             number(label.at.y), number(style.size));
        if (style.bold)
            attributes += " font-weight=\"bold\"";
        if (style.fixed_pitch)
            attributes += fmt::format(" font-family=\"{}, monospace\"", fixed_pitch_family);
        if (style.anchor != Anchor::start)
            attributes +=
                fmt::format(" text-anchor=\"{}\"", style.anchor == Anchor::middle ? "middle" : "end");
        if (style.turn_degrees != 0)
            attributes += fmt::format(" transform=\"rotate({} {} {})\"", number(style.turn_degrees),
                                      number(label.at.x), number(label.at.y));
        return fmt::format("<text{}{}>{}</text>\n", attributes, colour("fill", style.colour),
                           markup_text(label.text));
    }
};

} // namespace

std::string to_svg(const Canvas& canvas, const std::string& description, bool inside_page) {
    const std::string width = number(canvas.width()), height = number(canvas.height());
    const std::string size = inside_page ? "" : fmt::format(" width=\"{}pt\" height=\"{}pt\"", width, height);
    std::string svg = fmt::format(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {} {}\"{} role=\"img\" aria-label=\"{}\" "
        "font-family=\"{}, Arial, sans-serif\" stroke-linejoin=\"round\">\n",
        width, height, size, markup_text(description), font_family);
    for (const Shape& shape : canvas.shapes())
        svg += std::visit(Writer{}, shape);
    return (inside_page ? "" : "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n") + svg + "</svg>\n";
}

} // namespace ebbmark
