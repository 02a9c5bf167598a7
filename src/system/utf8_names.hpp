// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <memory>

namespace ebbmark {

/// libarchive translates file names by the locale of the thread; while one of these lives, that knows UTF-8,
/// where the system has such a locale. Another system: nothing, where its names are Unicode anyway.
class Utf8Names {
  public:
    Utf8Names();
    ~Utf8Names();
    Utf8Names(const Utf8Names&) = delete;
    Utf8Names& operator=(const Utf8Names&) = delete;

  private:
    struct Locales;
    std::unique_ptr<Locales> locales_;
};

} // namespace ebbmark
