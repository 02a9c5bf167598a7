// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/measured.hpp"

namespace ebbmark {

std::string_view code(Empty empty) {
    switch (empty) {
    case Empty::noise:
        return "noise";
    case Empty::filter:
        return "filter";
    case Empty::source:
        return "source";
    case Empty::length:
        return "length";
    case Empty::overlap:
        return "overlap";
    case Empty::disturbed:
        return "disturbed";
    case Empty::one_position:
        return "one_position";
    case Empty::conditions:
        return "conditions";
    case Empty::excluded:
        return "excluded";
    }
    return "";
}

} // namespace ebbmark
