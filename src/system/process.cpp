// SPDX-License-Identifier: GPL-3.0-or-later
#include "system/process.hpp"

#include <unistd.h>

#include <array>

namespace ebbmark {

long this_process() {
    return ::getpid();
}

std::string this_computer() {
    std::array<char, 256> name{};
    return ::gethostname(name.data(), name.size() - 1) == 0 ? name.data() : "unknown";
}

} // namespace ebbmark
