// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/job_toml.hpp"

namespace ebbmark {

std::string job_template() {
    return R"(# One job: a client's room, its planned traps and what is asked of them.
# Lines with # in front are examples: take the # away and write what is true here.
# Lengths: "4.1 m", "61 cm", "24 in", "5 5/8 in", "13 ft 5 in". Other quantities carry their unit likewise.
# Coordinates: origin in the floor corner of the front and left walls, seen from inside facing the front;
# x to the rear, y to the right, z up. The front is the wall that the listener faces.

[job]
title = ""
client = ""                # client, address and invoice may be corrected at any time: they are not evidence
address = ""
contractor = ""
invoice = ""
# What was agreed, if anything: by how much the decay of the question below is to become shorter.
# acceptance = { at_least_percent = 20, of = "question" }

[question]                 # what the comparison is to answer; fixed with the first recording after the build
kind = "bands"
from = "40 Hz"
to = "200 Hz"
# Or single room modes:
# kind = "modes"
# hz = [41.8]

[room]
# length = "4.1 m"         # front to rear
# width = "3.3 m"          # left to right
# height = "2.6 m"
# A room that is no box has these two instead:
# volume = "35 m3"
# surface = "66 m2"
# target = "ITU-R BS.1116-3"
# exact_box = true         # no part, slope or skew worth a centimetre; not together with parts
# What departs from the box: a column, a chimney breast, the missing corner of an L are solid; a niche outside it
# is a recess.
# [[room.part]]
# name = "chimney breast"
# kind = "solid"
# from = ["0 m", "1.5 m", "0 m"]      # x, y, z
# to = ["0.4 m", "2.5 m", "2.6 m"]
# What has a state, which each visit's protocol tells: door, window, curtain, plasterboard.
# [[room.patch]]
# name = "door"
# kind = "door"
# wall = "left"
# from = ["3.0 m", "0 m"]  # along, up
# to = ["3.9 m", "2.0 m"]

# Loudspeaker places S1, S2 and so on.
# [[source]]
# id = "S1"
# at = ["0.6 m", "1.1 m", "1.2 m"]
# lowest = "35 Hz"         # the loudspeaker's own lower limit
# distances = { front = "0.6 m", left = "1.1 m", floor = "1.2 m" }   # as measured with the tape
# photo = "s1.jpg"         # a file in the folder photos

# Microphone places M1, M2 and so on: six or more, at least 0.5 m from surfaces, one in a corner for the bass.
# [[microphone]]
# id = "M1"
# at = ["2.4 m", "1.65 m", "1.2 m"]
# listening = true         # a listening place is reported apart from the room

# Traps as planned, layers from the wall outwards.
# [[trap]]
# name = "rear wall"
# face_width = "1.2 m"
# face_height = "2.0 m"
# wall = "rear"            # front, rear, left, right, floor, ceiling; or corner = ["rear", "left"]:
#                            its layers fill the corner; with frame = "straight" it is a box across it, air behind
# along = "0.4 m"          # from the wall's end with the smaller coordinate
# up = "0.2 m"
# open_sides = true        # half open counts as open; or some of ["left", "right", "top", "bottom"], seen from the room
# [[trap.layer]]
# material = "air"
# thickness = "3 cm"
# [[trap.layer]]
# material = "stone wool 45"
# thickness = "12 cm"
# Strips on edge in it: clear spacing, thickness, length along one strip if it is bowed (it comes out "opposite"
# where it went in) or leans ("beside"); run: the direction of its long edge.
# dividers = { spacing = "15 cm", thickness = "18 mm", path = "13 cm", ends = "opposite", run = "height" }
# [[trap.layer]]
# material = "cloth"
# flow_resistance = "150 Pa.s/m"
# [[trap.at]]              # the same trap at a further place: a name, and what of the place is another
# name = "rear wall, right"
# along = "2.0 m"
# [trap.built]             # after the build: what really stands there, where it differs from the plan
# wool_mass = "9.5 kg"
)";
}

} // namespace ebbmark
