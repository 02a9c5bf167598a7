// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/words/cells.hpp"

#include "proof/text/common_texts.hpp"
#include "proof/text/numbers.hpp"

namespace ebbmark {

namespace {

std::string none() {
    return std::string(texts::none);
}

std::string signed_text(double percent) {
    return with_minus_sign(signed_percent_text(percent));
}

} // namespace

std::string seconds_cell(const std::optional<double>& value) {
    return value ? seconds_text(*value) : none();
}

std::string seconds_cell(const Measured& value) {
    return seconds_cell(value.value);
}

std::string interval_cell(const Measured& value, const std::function<std::string(double)>& text) {
    return value.low && value.high ? filled(texts::range, text(*value.low), text(*value.high)) : none();
}

std::string percent_cell(const Measured& value) {
    return value ? signed_text(*value) : none();
}

std::string percent_interval_cell(const Measured& value) {
    return interval_cell(value, signed_text);
}

std::string area_text(const Measured& area_m2) {
    if (!area_m2)
        return std::string(texts::none);
    const std::string area = fmt::format("{:.1f}", *area_m2);
    return area_m2.low && area_m2.high
               ? fmt::format("{} ({:.1f} to {:.1f})", area, *area_m2.low, *area_m2.high)
               : area;
}

std::string area_cell(const Measured& area_m2, Units units) {
    Measured area = area_m2;
    for (auto* part : {&area.value, &area.low, &area.high})
        if (*part)
            **part = area_in(**part, units);
    return with_minus_sign(area_text(area));
}

std::string band_cell(const Band& band) {
    return label(band);
}

bool opens_octave(const Band& band) {
    return band.width == BandWidth::third && (band.index + 60) % 3 == 2;
}

} // namespace ebbmark
