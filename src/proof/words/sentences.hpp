// SPDX-License-Identifier: GPL-3.0-or-later
// Notes in words, in their order.
#pragma once

#include <string>
#include <vector>

namespace ebbmark {

template <class AnyNote>
std::vector<std::string> sentences(const std::vector<AnyNote>& notes) {
    std::vector<std::string> all;
    for (const AnyNote& note : notes)
        all.push_back(sentence(note));
    return all;
}

} // namespace ebbmark
