// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/draw/canvas.hpp"

#include "proof/draw/render.hpp"

namespace ebbmark {

namespace {

// The font's ascent as part of its size, and a comfortable distance of lines: measured on DejaVu Sans
// Condensed.
constexpr double ascent = 0.93;
constexpr double leading = 1.32;

struct Placed {
    Spot at;
    double scale;

    Spot operator()(Spot p) const { return {at.x + scale * p.x, at.y + scale * p.y}; }
    void resize(std::optional<Stroke>& stroke) const {
        if (!stroke)
            return;
        stroke->width *= scale;
        for (double& dash : stroke->dashes)
            dash *= scale;
    }
    Shape operator()(Path path) const {
        for (Spot& point : path.points)
            point = (*this)(point);
        resize(path.stroke);
        return path;
    }
    Shape operator()(Circle circle) const {
        circle.centre = (*this)(circle.centre);
        circle.radius *= scale;
        resize(circle.stroke);
        return circle;
    }
    Shape operator()(Label label) const {
        label.at = (*this)(label.at);
        label.style.size *= scale;
        return label;
    }
    Shape operator()(Photo photo) const {
        photo.corner = (*this)(photo.corner);
        photo.width *= scale;
        photo.height *= scale;
        return photo;
    }
    Shape operator()(const Mark& mark) const { return mark; }
};

} // namespace

void Canvas::box(Spot corner, double width, double height, const Colour& fill) {
    const double right = corner.x + width, bottom = corner.y + height;
    add(Path{{corner, {right, corner.y}, {right, bottom}, {corner.x, bottom}}, true, fill, {}, {}});
}

double Canvas::paragraph(Spot top_left, double width, const std::string& text, const TextStyle& style) {
    double y = top_left.y;
    for (const std::string& line : broken_lines(text, style, width)) {
        this->text({top_left.x, y + ascent * style.size}, line, style);
        y += line_height(style);
    }
    return y - top_left.y;
}

void Canvas::place(const Canvas& other, Spot at, double scale) {
    for (const Shape& shape : other.shapes())
        add(std::visit(Placed{at, scale}, shape));
}

double line_height(const TextStyle& style) {
    return leading * style.size;
}

double paragraph_height(double width, const std::string& text, const TextStyle& style) {
    return static_cast<double>(broken_lines(text, style, width).size()) * line_height(style);
}

} // namespace ebbmark
