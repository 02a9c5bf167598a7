// SPDX-License-Identifier: GPL-3.0-or-later
// Photos made small enough for a document. The only place that knows gdk-pixbuf.
#pragma once

#include <filesystem>
#include <string>

namespace ebbmark {

/// A photo coded as JPEG, without whatever the camera wrote into the file (place, owner).
struct SmallPhoto {
    std::string jpeg;
    int width = 0, height = 0;
};

/// Reads JPEG, PNG and what else the library knows, turns it upright as the camera says, and shrinks it to at
/// most `most_pixels` on its longer side. Throws Error(unusable) naming the file where it is no picture.
SmallPhoto read_photo(const std::filesystem::path& path, int most_pixels);

} // namespace ebbmark
