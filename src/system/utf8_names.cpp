// SPDX-License-Identifier: GPL-3.0-or-later
#include "system/utf8_names.hpp"

#include <locale.h>

namespace ebbmark {

struct Utf8Names::Locales {
    locale_t own = nullptr, before = nullptr;
};

Utf8Names::Utf8Names() : locales_(std::make_unique<Locales>()) {
    for (const char* name : {"C.UTF-8", "en_US.UTF-8"})
        if (!locales_->own)
            locales_->own = newlocale(LC_CTYPE_MASK, name, nullptr);
    if (locales_->own)
        locales_->before = uselocale(locales_->own);
}

Utf8Names::~Utf8Names() {
    if (!locales_->own)
        return;
    uselocale(locales_->before);
    freelocale(locales_->own);
}

} // namespace ebbmark
