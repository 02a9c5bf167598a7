// SPDX-License-Identifier: GPL-3.0-or-later
// A drawing as a value: a list of shapes that is written as SVG, PNG or PDF afterwards. Lengths are points
// (1/72 inch) from the top left corner, y downwards.
#pragma once

#include "base/photo_pixels.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace ebbmark {

/// A place on a canvas.
struct Spot {
    double x = 0, y = 0;
};

/// sRGB with opacity 0 to 1.
struct Colour {
    std::uint8_t red = 0, green = 0, blue = 0;
    double opacity = 1;
};

struct Stroke {
    Colour colour;
    double width = 0.7;
    std::vector<double> dashes; ///< lengths drawn and left out in turn; empty: solid
};

/// Straight segments; with `closed`, an area. At least one of fill and stroke shows.
struct Path {
    std::vector<Spot> points;
    bool closed = false;
    std::optional<Colour> fill;
    std::optional<Stroke> stroke;
    std::string hover; ///< shown by viewers of SVG under the pointer; empty: nothing
};

struct Circle {
    Spot centre;
    double radius = 1;
    std::optional<Colour> fill;
    std::optional<Stroke> stroke;
    std::string hover;
};

enum class Anchor { start, middle, end };

struct TextStyle {
    double size = 8;
    Colour colour;
    bool bold = false;
    bool fixed_pitch = false;
    Anchor anchor = Anchor::start;
    double turn_degrees = 0; ///< clockwise around the anchor point
};

/// One line of text; `at` lies on the baseline.
struct Label {
    Spot at;
    std::string text;
    TextStyle style;
};

struct Photo {
    Spot corner;
    double width = 0, height = 0;
    PhotoPixels pixels;
};

/// Begins (or ends) a part of the text's structure, for readers that follow it in a PDF: "H1", "P", "Table".
struct Mark {
    std::string role;
    bool begins = true;
};

using Shape = std::variant<Path, Circle, Label, Photo, Mark>;

class Canvas {
  public:
    Canvas(double width, double height) : width_(width), height_(height) {}

    double width() const { return width_; }
    double height() const { return height_; }
    const std::vector<Shape>& shapes() const { return shapes_; }

    void add(Shape shape) { shapes_.push_back(std::move(shape)); }
    void line(Spot from, Spot to, const Stroke& stroke) { add(Path{{from, to}, false, {}, stroke, {}}); }
    void box(Spot corner, double width, double height, const Colour& fill);
    void text(Spot at, std::string text, const TextStyle& style) { add(Label{at, std::move(text), style}); }

    /// Text broken into lines no wider than `width`, the first one's top at `top_left`; returns its height.
    double paragraph(Spot top_left, double width, const std::string& text, const TextStyle& style);

    /// Every shape of `other`, `scale` times as large, its top left corner at `at`.
    void place(const Canvas& other, Spot at, double scale = 1);

  private:
    double width_, height_;
    std::vector<Shape> shapes_;
};

/// Distance between baselines of a paragraph in this style.
double line_height(const TextStyle& style);

/// Height that `paragraph` would take.
double paragraph_height(double width, const std::string& text, const TextStyle& style);

} // namespace ebbmark
