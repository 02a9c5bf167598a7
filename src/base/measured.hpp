// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string_view>

namespace ebbmark {

/// Why a quantity is not given.
enum class Empty {
    noise,        ///< the decay meets the noise too early
    filter,       ///< shorter than the band filter can show
    source,       ///< the excitation has nothing there
    length,       ///< the recording is cut
    overlap,      ///< modes cannot be separated
    disturbed,    ///< another sound is in the recording
    one_position, ///< needs more than one position
    conditions,   ///< the conditions of two visits differ too much
    excluded      ///< left out by the user
};

/// The code as it stands in JSON, for example "one_position".
std::string_view code(Empty empty);

/// A measured quantity in the unit that its name says: a value with its 95 % interval, or the reason for
/// none. The interval is absent where it is not known; it need not be symmetric.
struct Measured {
    std::optional<double> value;
    std::optional<double> low;
    std::optional<double> high;
    std::optional<Empty> empty; ///< set exactly where there is no value

    static Measured of(double value) { return {value, {}, {}, {}}; }
    static Measured none(Empty why) { return {{}, {}, {}, why}; }
    explicit operator bool() const { return value.has_value(); }
    double operator*() const { return *value; }

    friend bool operator==(const Measured&, const Measured&) = default;
};

} // namespace ebbmark
