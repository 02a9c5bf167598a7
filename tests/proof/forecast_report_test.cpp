// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/forecast_report.hpp"

#include <doctest/doctest.h>

using namespace ebbmark;

TEST_CASE("a kept prediction holds statistical bands alone: nobody has judged the modal ones") {
    RoomForecast room;
    for (const Band& band : bands_between(BandWidth::third, 100, 125))
        room.bands.push_back({band, Measured::of(0.8), {0.4, 0.35, 0.45, {}}, {}});
    room.bands[0].modal = true;
    const std::string table = prediction_table(room);
    CHECK(table.find("\n100,third,modal,0.8,,,,") != std::string::npos);
    CHECK(table.find("\n125,third,statistical,0.8,0.4,0.35,0.45,") != std::string::npos);
}
