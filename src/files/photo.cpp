// SPDX-License-Identifier: GPL-3.0-or-later
#include "files/photo.hpp"

#include "base/error.hpp"
#include "files/whole_file.hpp"

#include <fmt/format.h>
#include <gdk-pixbuf/gdk-pixbuf.h>

#include <algorithm>
#include <cmath>
#include <memory>

namespace ebbmark {

namespace {

struct Unref {
    void operator()(GdkPixbuf* pixels) const { g_object_unref(pixels); }
};
using Pixels = std::unique_ptr<GdkPixbuf, Unref>;

constexpr std::size_t most_bytes = std::size_t{64} << 20;
constexpr int most_side = 20000; ///< a picture that unfolds beyond this is no photo
constexpr const char* jpeg_quality =
    "78"; // of 100: no visible loss at the size of a page, about 0.1 MB a photo

[[noreturn]] void refuse(const std::filesystem::path& path, const char* what) {
    throw Error(ErrorKind::unusable,
                fmt::format("{}: {}; save it again as JPEG or PNG", path.filename().string(), what));
}

Pixels read_pixels(const std::filesystem::path& path, int most_pixels) {
    read_whole(path, most_bytes); // the messages of a file that is missing or can't be read
    int width = 0, height = 0;
    if (!gdk_pixbuf_get_file_info(path.c_str(), &width, &height))
        refuse(path, "is no picture of a known kind");
    if (width < 1 || height < 1 || width > most_side || height > most_side)
        refuse(path, "is too large a picture");
    const int side = std::min(most_pixels, std::max(width, height));
    Pixels raw(gdk_pixbuf_new_from_file_at_size(path.c_str(), side, side, nullptr));
    if (!raw)
        refuse(path, "is damaged");
    return Pixels(gdk_pixbuf_apply_embedded_orientation(raw.get()));
}

} // namespace

SmallPhoto read_photo(const std::filesystem::path& path, int most_pixels) {
    const Pixels pixels = read_pixels(path, most_pixels);
    gchar* bytes = nullptr;
    gsize size = 0;
    if (!gdk_pixbuf_save_to_buffer(pixels.get(), &bytes, &size, "jpeg", nullptr, "quality", jpeg_quality,
                                   nullptr))
        refuse(path, "cannot be coded");
    SmallPhoto photo{std::string(bytes, size), gdk_pixbuf_get_width(pixels.get()),
                     gdk_pixbuf_get_height(pixels.get())};
    g_free(bytes);
    return photo;
}

} // namespace ebbmark
