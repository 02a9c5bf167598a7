// SPDX-License-Identifier: GPL-3.0-or-later
// Notes in words, in their order.
#pragma once

#include <string>
#include <vector>

namespace ebbmark {

template <class Note>
std::vector<std::string> sentences(const std::vector<Note>& notes) {
    std::vector<std::string> all;
    for (const Note& note : notes)
        all.push_back(sentence(note));
    return all;
}

} // namespace ebbmark
