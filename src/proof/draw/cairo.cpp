// SPDX-License-Identifier: GPL-3.0-or-later
// The only file that knows Cairo and Pango.
#include "base/error.hpp"
#include "proof/draw/render.hpp"
#include "proof/text/guarded.hpp"

#include <cairo-pdf.h>
#include <fmt/format.h>
#include <pango/pangocairo.h>

#include <cmath>
#include <memory>
#include <numbers>

namespace ebbmark {

namespace {

struct Unref {
    void operator()(cairo_surface_t* surface) const { cairo_surface_destroy(surface); }
    void operator()(cairo_t* context) const { cairo_destroy(context); }
    void operator()(PangoContext* context) const { g_object_unref(context); }
    void operator()(PangoLayout* layout) const { g_object_unref(layout); }
    void operator()(PangoFontDescription* font) const { pango_font_description_free(font); }
};
template <typename T>
using Owned = std::unique_ptr<T, Unref>;

/// A context whose text has the same widths on every device: no hinting, one point per unit.
Owned<PangoContext> text_context() {
    Owned<PangoContext> context(pango_font_map_create_context(pango_cairo_font_map_get_default()));
    pango_cairo_context_set_resolution(context.get(), 72);
    cairo_font_options_t* options = cairo_font_options_create();
    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
    pango_cairo_context_set_font_options(context.get(), options);
    cairo_font_options_destroy(options);
    pango_context_set_round_glyph_positions(context.get(), FALSE);
    return context;
}

Owned<PangoLayout> layout_of(PangoContext* context, const std::string& text, const TextStyle& style) {
    Owned<PangoLayout> layout(pango_layout_new(context));
    Owned<PangoFontDescription> font(pango_font_description_new());
    pango_font_description_set_family_static(font.get(),
                                             style.fixed_pitch ? fixed_pitch_family : font_family);
    pango_font_description_set_weight(font.get(), style.bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
    pango_font_description_set_size(font.get(), static_cast<int>(std::lround(style.size * PANGO_SCALE)));
    pango_layout_set_font_description(layout.get(), font.get());
    pango_layout_set_auto_dir(layout.get(), FALSE);
    const std::string safe = plain_text(text);
    pango_layout_set_text(layout.get(), safe.data(), static_cast<int>(safe.size()));
    return layout;
}

double width_of(PangoLayout* layout) {
    PangoRectangle logical;
    pango_layout_get_extents(layout, nullptr, &logical);
    return static_cast<double>(logical.width) / PANGO_SCALE;
}

void set_colour(cairo_t* cairo, const Colour& c) {
    cairo_set_source_rgba(cairo, c.red / 255.0, c.green / 255.0, c.blue / 255.0, c.opacity);
}

void paint(cairo_t* cairo, const std::optional<Colour>& fill, const std::optional<Stroke>& stroke) {
    if (fill) {
        set_colour(cairo, *fill);
        cairo_fill_preserve(cairo);
    }
    if (stroke) {
        set_colour(cairo, stroke->colour);
        cairo_set_line_width(cairo, stroke->width);
        cairo_set_dash(cairo, stroke->dashes.data(), static_cast<int>(stroke->dashes.size()), 0);
        cairo_stroke_preserve(cairo);
    }
    cairo_new_path(cairo);
}

/// The coded picture goes into a PDF as it is; the surface beside it only tells its size.
void paint(cairo_t* cairo, const Photo& photo) {
    const PhotoPixels& pixels = photo.pixels;
    Owned<cairo_surface_t> surface(
        cairo_image_surface_create(CAIRO_FORMAT_RGB24, pixels.width, pixels.height));
    auto* copy = new std::string(pixels.jpeg);
    const auto release = [](void* data) { delete static_cast<std::string*>(data); };
    if (cairo_surface_set_mime_data(surface.get(), CAIRO_MIME_TYPE_JPEG,
                                    reinterpret_cast<const unsigned char*>(copy->data()), copy->size(),
                                    release, copy) != CAIRO_STATUS_SUCCESS)
        release(copy);
    cairo_save(cairo);
    cairo_translate(cairo, photo.corner.x, photo.corner.y);
    cairo_scale(cairo, photo.width / pixels.width, photo.height / pixels.height);
    cairo_set_source_surface(cairo, surface.get(), 0, 0);
    cairo_paint(cairo);
    cairo_restore(cairo);
}

struct Painter {
    cairo_t* cairo;
    PangoContext* fonts;
    bool tagged; ///< whether the surface knows the text's structure

    void operator()(const Photo& photo) const { paint(cairo, photo); }
    void operator()(const Mark& mark) const {
        if (!tagged)
            return;
        if (mark.begins)
            cairo_tag_begin(cairo, mark.role.c_str(), nullptr);
        else
            cairo_tag_end(cairo, mark.role.c_str());
    }

    void operator()(const Path& path) const {
        for (const Spot& point : path.points)
            cairo_line_to(cairo, point.x, point.y);
        if (path.closed)
            cairo_close_path(cairo);
        paint(cairo, path.fill, path.stroke);
    }
    void operator()(const Circle& circle) const {
        cairo_arc(cairo, circle.centre.x, circle.centre.y, circle.radius, 0, 2 * std::numbers::pi);
        paint(cairo, circle.fill, circle.stroke);
    }
    void operator()(const Label& label) const {
        const auto layout = layout_of(fonts, label.text, label.style);
        const double width = width_of(layout.get());
        const double shift = label.style.anchor == Anchor::start    ? 0
                             : label.style.anchor == Anchor::middle ? width / 2
                                                                    : width;
        cairo_save(cairo);
        cairo_translate(cairo, label.at.x, label.at.y);
        cairo_rotate(cairo, label.style.turn_degrees * std::numbers::pi / 180);
        cairo_move_to(cairo, -shift, 0);
        set_colour(cairo, label.style.colour);
        pango_cairo_show_layout_line(cairo, pango_layout_get_line_readonly(layout.get(), 0));
        cairo_restore(cairo);
        cairo_new_path(cairo); // showing text leaves a current point behind
    }
};

void draw(cairo_t* cairo, const Canvas& canvas, bool tagged = false) {
    const auto fonts = text_context();
    cairo_set_line_join(cairo, CAIRO_LINE_JOIN_ROUND);
    for (const Shape& shape : canvas.shapes())
        std::visit(Painter{cairo, fonts.get(), tagged}, shape);
}

cairo_status_t append(void* bytes, const unsigned char* data, unsigned int length) {
    static_cast<std::string*>(bytes)->append(reinterpret_cast<const char*>(data), length);
    return CAIRO_STATUS_SUCCESS;
}

void require(cairo_status_t status) {
    if (status != CAIRO_STATUS_SUCCESS)
        throw Error(ErrorKind::bug, fmt::format("drawing failed: {}", cairo_status_to_string(status)));
}

} // namespace

double text_width(const std::string& text, const TextStyle& style) {
    const auto context = text_context();
    return width_of(layout_of(context.get(), text, style).get());
}

std::vector<std::string> broken_lines(const std::string& text, const TextStyle& style, double width) {
    const auto context = text_context();
    const auto layout = layout_of(context.get(), text, style);
    pango_layout_set_width(layout.get(), static_cast<int>(std::lround(width * PANGO_SCALE)));
    pango_layout_set_wrap(layout.get(), PANGO_WRAP_WORD_CHAR);
    const std::string whole = pango_layout_get_text(layout.get());
    std::vector<std::string> lines;
    for (int i = 0; i < pango_layout_get_line_count(layout.get()); ++i) {
        const PangoLayoutLine* line = pango_layout_get_line_readonly(layout.get(), i);
        std::string part =
            whole.substr(static_cast<std::size_t>(line->start_index), static_cast<std::size_t>(line->length));
        part.erase(part.find_last_not_of(' ') + 1);
        lines.push_back(part);
    }
    return lines;
}

std::string to_png(const Canvas& canvas, double pixels_per_point) {
    const auto pixels = [&](double points) { return static_cast<int>(std::ceil(points * pixels_per_point)); };
    Owned<cairo_surface_t> surface(
        cairo_image_surface_create(CAIRO_FORMAT_RGB24, pixels(canvas.width()), pixels(canvas.height())));
    Owned<cairo_t> cairo(cairo_create(surface.get()));
    cairo_set_source_rgb(cairo.get(), 1, 1, 1);
    cairo_paint(cairo.get());
    cairo_scale(cairo.get(), pixels_per_point, pixels_per_point);
    draw(cairo.get(), canvas);
    require(cairo_status(cairo.get()));
    std::string bytes;
    require(cairo_surface_write_to_png_stream(surface.get(), append, &bytes));
    return bytes;
}

std::string to_pdf(const std::vector<Canvas>& pages, const PdfFacts& facts) {
    std::string bytes;
    Owned<cairo_surface_t> surface(cairo_pdf_surface_create_for_stream(append, &bytes, 1, 1));
    const auto tell = [&](cairo_pdf_metadata_t what, const std::string& text) {
        cairo_pdf_surface_set_metadata(surface.get(), what, plain_text(text).c_str());
    };
    tell(CAIRO_PDF_METADATA_TITLE, facts.title);
    if (!facts.author.empty())
        tell(CAIRO_PDF_METADATA_AUTHOR, facts.author);
    if (!facts.subject.empty())
        tell(CAIRO_PDF_METADATA_SUBJECT, facts.subject);
    // Without this call the library would write the clock's time.
    tell(CAIRO_PDF_METADATA_CREATE_DATE, facts.date);
    for (std::size_t i = 0; i < pages.size(); ++i) {
        cairo_pdf_surface_set_size(surface.get(), pages[i].width(), pages[i].height());
        Owned<cairo_t> cairo(cairo_create(surface.get()));
        draw(cairo.get(), pages[i], true);
        cairo_show_page(cairo.get());
        require(cairo_status(cairo.get()));
    }
    for (const OutlineEntry& entry : facts.outline)
        cairo_pdf_surface_add_outline(surface.get(), CAIRO_PDF_OUTLINE_ROOT,
                                      plain_text(entry.heading).c_str(),
                                      fmt::format("page={} pos=[0 {:.1f}]", entry.page + 1, entry.y).c_str(),
                                      static_cast<cairo_pdf_outline_flags_t>(0));
    cairo_surface_finish(surface.get());
    require(cairo_surface_status(surface.get()));
    return bytes;
}

} // namespace ebbmark
