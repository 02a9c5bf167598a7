// SPDX-License-Identifier: GPL-3.0-or-later
#include "work/response_check.hpp"

#include "base/error.hpp"
#include "base/shell_word.hpp"
#include "signal/sweep_line.hpp"

#include <fmt/format.h>

namespace ebbmark {

void require_response(const Signal& sound, const std::string& name, const std::string& mend) {
    if (is_sweep_recording(sound))
        throw Error(
            ErrorKind::unusable,
            fmt::format("{}: is the recording of a sweep and no impulse response: its frequency rises "
                        "steadily; {}",
                        name, mend));
}

std::string deconvolve_mend(const std::string& path) {
    return fmt::format(
        "make the response first: ebbmark deconvolve {} --sweep SWEEP.toml --response RESPONSE.wav",
        shell_word(path));
}

} // namespace ebbmark
