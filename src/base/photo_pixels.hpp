// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

namespace ebbmark {

/// A picture in dots, coded as JPEG.
struct PhotoPixels {
    std::string jpeg;
    int width = 0, height = 0;
};

} // namespace ebbmark
