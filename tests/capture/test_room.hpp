// SPDX-License-Identifier: GPL-3.0-or-later
// A small room for tests, invented.
#pragma once

#include "capture/room_description.hpp"

namespace ebbmark {

inline RoomDescription test_room() {
    RoomDescription room;
    room.title = "test room";
    room.seed = 5;
    room.room.box = Box{{3.1, 2.4, 2.2}};
    room.walls.fill({0.22, 0.22, 0.22, 0.22, 0.22, 0.22});
    room.visits = {{"before", false, 20, 50, 0}, {"after", true, 20, 50, 0}};
    room.noise.level_db = -100; // as good as none
    room.loudspeaker.lowest_hz = 20;
    return room;
}

inline JobTrap test_trap(double thickness_m) {
    JobTrap trap;
    trap.name = "rear wall";
    trap.place = {1.5, 1.6, Wall::rear, {}, 0.4, 0.3};
    trap.layers = {{"wool", thickness_m, {}, {}, 9000.0, {}}};
    return trap;
}

} // namespace ebbmark
