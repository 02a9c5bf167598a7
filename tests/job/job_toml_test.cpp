// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/job_toml.hpp"
#include "relative.hpp"
#include "sample.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>

using namespace ebbmark;

namespace {

/// The sample with one piece of text replaced by another.
std::string with(const std::string& from, const std::string& to) {
    std::string text = sample::job_toml;
    const auto at = text.find(from);
    REQUIRE(at != text.npos);
    return text.replace(at, from.size(), to);
}

JobDescription read(std::string_view text) {
    return job_description(text, "job.toml");
}

} // namespace

TEST_CASE("a whole job is read, metric and imperial") {
    const JobDescription job = read(sample::job_toml);
    CHECK(job.title == "Rehearsal room, invented");
    CHECK(job.client == "A. Client");
    REQUIRE(job.acceptance);
    CHECK(job.acceptance->at_least_percent == 20);
    CHECK(job.question.kind == JobQuestion::Kind::bands);
    CHECK(job.question.from_hz == 40);
    CHECK(job.question.to_hz == 200);
    REQUIRE(job.room.box);
    CHECK(*job.room.volume_m3 == relative(4.1 * 3.3 * 2.6));
    CHECK(*job.room.surface_m2 == relative(2 * (4.1 * 3.3 + 4.1 * 2.6 + 3.3 * 2.6)));
    REQUIRE(job.sources.size() == 1);
    CHECK(job.sources[0].lowest_hz == 35);
    REQUIRE(job.microphones.size() == 3);
    CHECK(job.microphones[0].listening);
    CHECK_FALSE(job.microphones[1].listening);
    CHECK(job.microphones[1].at_m[1] == relative(2.4384));
    CHECK(job.microphones[1].at_m[2] == relative(1.20015));
    REQUIRE(job.microphones[1].distances.size() == 3);
    CHECK(job.microphones[1].distances[0].first == Wall::rear);
    CHECK(job.microphones[1].photo == "m2.jpg");
    REQUIRE(job.traps.size() == 1);
    CHECK(job.traps[0].place.wall == Wall::rear);
    CHECK(job.traps[0].place.face_m2() == relative(2.4));
    CHECK(job.traps[0].open_sides.all());
    REQUIRE(job.traps[0].layers.size() == 3);
    CHECK(job.traps[0].layers[1].thickness_m == relative(0.12));
    CHECK_FALSE(job.traps[0].layers[2].thickness_m);
    CHECK(job.traps[0].layers[2].flow_resistance == 150);
    CHECK_FALSE(job.traps[0].built);
    CHECK(job.source("S1")->at_m[0] == relative(0.6));
    CHECK(job.source("S2") == nullptr);
    CHECK(job.microphone("M3") != nullptr);
}

TEST_CASE("what was built is read beside the plan") {
    const JobDescription job = read(
        sample::job_toml + "[trap.built]\nwool_mass = \"19.8 lb\"\nalong = \"0.5 m\"\n"
                           "[[trap.built.layer]]\nmaterial = \"stone wool 45\"\nthickness = \"10 cm\"\n"
                           "free_thickness = \"12 cm\"\ndensity = \"54 kg/m3\"\nflow_resistivity = 14000\n");
    REQUIRE(job.traps[0].built);
    const BuiltTrap& built = *job.traps[0].built;
    CHECK(*built.wool_mass_kg == relative(19.8 * 0.45359237));
    REQUIRE(built.place);
    CHECK(built.place->along_m == 0.5);
    CHECK(built.place->up_m == 0.2);
    CHECK(built.place->wall == Wall::rear);
    CHECK(job.traps[0].place.along_m == 0.4);
    REQUIRE(built.layers.size() == 1);
    CHECK(built.layers[0].free_thickness_m == relative(0.12));
    CHECK(built.layers[0].flow_resistivity == 14000);
}

TEST_CASE("a trap in a corner, a question about modes, a room that is no box") {
    CHECK(read(with("wall = \"rear\"", "corner = [\"rear\", \"left\"]")).traps[0].place.corner_with ==
          Wall::left);
    const JobDescription modes = read(with("kind = \"bands\"\nfrom = \"40 Hz\"\nto = \"200 Hz\"",
                                           "kind = \"modes\"\nhz = [41.8, \"63 Hz\"]"));
    CHECK(modes.question.modes_hz == std::vector<double>{41.8, 63});
    const JobDescription hall = read(with("length = \"4.1 m\"\nwidth = \"3.3 m\"\nheight = \"2.6 m\"",
                                          "volume = \"35 m3\"\nsurface = \"66 m2\""));
    CHECK_FALSE(hall.room.box);
    CHECK(hall.room.volume_m3 == 35);
    CHECK(hall.room.surface_m2 == 66);
}

TEST_CASE("strips, a box across a corner, open sides and further places are read and written back the same") {
    const std::string text =
        with("thickness = \"12 cm\"", "thickness = \"18 cm\"\ndividers = { spacing = \"15 cm\", thickness = "
                                      "\"18 mm\", path = \"20 cm\", "
                                      "ends = \"beside\", run = \"width\" }") +
        "[[trap.at]]\nname = \"rear wall, right\"\nalong = \"1.9 m\"\n"
        "[trap.at.built]\nalong = \"1.95 m\"\n"
        "[[trap.at]]\nname = \"corner\"\ncorner = [\"front\", \"left\"]\nframe = \"straight\"\n";
    const JobDescription job = read(text);
    REQUIRE(job.traps.size() == 3);
    const Dividers& strips = *job.traps[0].layers[1].dividers;
    CHECK(strips.spacing_m == relative(0.15));
    CHECK(strips.thickness_m == relative(0.018));
    CHECK(*strips.path_m == relative(0.2));
    CHECK(strips.ends == Dividers::Ends::beside);
    CHECK(strips.run == Dividers::Run::width);
    CHECK(job.traps[1].name == "rear wall, right");
    CHECK(job.traps[1].place.along_m == 1.9);
    CHECK(job.traps[1].place.up_m == 0.2);
    CHECK(job.traps[1].layers == job.traps[0].layers);
    CHECK(job.traps[1].built->place->along_m == 1.95);
    CHECK_FALSE(job.traps[0].built);
    CHECK(job.traps[2].place.box_across);
    CHECK(job.traps[2].place.corner_with == Wall::left);
    CHECK_FALSE(job.traps[2].built);
    const std::string once = canonical_toml(job);
    CHECK(canonical_toml(read(once)) == once);
    const OpenSides open =
        read(with("open_sides = true", "open_sides = [\"left\", \"top\"]")).traps[0].open_sides;
    CHECK(open.left);
    CHECK(open.top);
    CHECK_FALSE(open.right);
    CHECK_FALSE(open.bottom);
    const std::string some =
        canonical_toml(read(with("open_sides = true", "open_sides = [\"top\", \"left\"]")));
    CHECK(contains(some, "open_sides = [\"left\", \"top\"]"));
    CHECK(canonical_toml(read(some)) == some);
    // A straight strip is as long as the layer is deep, within what a tape shows.
    CHECK_FALSE(read(with("thickness = \"12 cm\"", "thickness = \"12 cm\"\ndividers = { spacing = \"15 cm\", "
                                                   "thickness = \"18 mm\", path = \"12.1 cm\" }"))
                    .traps[0]
                    .layers[1]
                    .dividers->path_m);
    CHECK(contains(refusal([&] { read(text + "[[trap.at]]\nname = \"corner\"\n"); }), "is there twice"));
}

TEST_CASE("parts and patches of a room are read, counted in its volume and written back") {
    const std::string parts = R"([[room.part]]
name = "chimney breast"
kind = "solid"
from = ["0 m", "1 m", "0 m"]
to = ["40 cm", "2.2 m", "2.6 m"]
[[room.part]]
name = "niche"
kind = "recess"
from = ["0.5 m", "-0.15 m", "0 m"]
to = ["1.4 m", "0 m", "2 m"]
[[room.patch]]
name = "door"
kind = "door"
wall = "left"
from = ["3 m", "0 m"]
to = ["3.9 m", "2 m"]
[[source]]
)";
    const JobDescription job = read(with("[[source]]\n", parts));
    REQUIRE(job.room.parts.size() == 2);
    CHECK(job.room.parts[0].kind == RoomPart::Kind::solid);
    CHECK(job.room.parts[0].to_m[0] == relative(0.4));
    CHECK(job.room.parts[1].from_m[1] == relative(-0.15));
    CHECK(*job.room.volume_m3 == relative(4.1 * 3.3 * 2.6 - 0.4 * 1.2 * 2.6 + 0.9 * 0.15 * 2));
    REQUIRE(job.room.patches.size() == 1);
    CHECK(job.room.patches[0].kind == RoomPatch::Kind::door);
    CHECK(job.room.patches[0].rectangle.to_m[0] == relative(3.9));
    const JobDescription again = read(canonical_toml(job));
    CHECK(again.room.parts == job.room.parts);
    CHECK(again.room.patches == job.room.patches);
    CHECK(canonical_toml(again) == canonical_toml(job));
    CHECK(read(with("target =", "exact_box = true\ntarget =")).room.exact_box);
}

TEST_CASE("a box across a corner that does not fit is refused with the largest face that does") {
    // Source: closed form: 3.3 m x sqrt 2 less the depth of 15 cm.
    std::string box = with("face_width = \"1.2 m\"", "face_width = \"4.6 m\"");
    box.replace(box.find("wall = \"rear\""), 13, "corner = [\"rear\", \"left\"]\nframe = \"straight\"");
    CHECK(contains(refusal([&] { read(box); }), "the largest width of its face that fits is 4.517 m"));
}

TEST_CASE("the template of a new job is valid and invents nothing") {
    const JobDescription job = read(job_template());
    CHECK(job.title.empty());
    CHECK_FALSE(job.room.volume_m3);
    CHECK(job.sources.empty());
    CHECK(job.microphones.empty());
    CHECK(job.traps.empty());
}

TEST_CASE("every example line of the template works when its mark is taken away") {
    std::string text, line;
    std::istringstream lines(job_template());
    bool room_is_no_box = false;
    while (std::getline(lines, line)) {
        room_is_no_box = room_is_no_box || line.starts_with("# A room that is no box");
        const bool other = line.starts_with("# volume") || line.starts_with("# surface") ||
                           line.starts_with("# kind = \"modes\"") || line.starts_with("# hz") ||
                           line.starts_with("# exact_box");
        const auto equals = line.find(" = ");
        const bool example = line.starts_with("# [") ||
                             (line.starts_with("# ") && equals != line.npos && line.find(' ', 2) == equals);
        text += (example && !other ? line.substr(2) : line) + "\n";
    }
    CHECK(room_is_no_box);
    const JobDescription job = read(text);
    CHECK(job.room.box);
    CHECK(job.sources.size() == 1);
    CHECK(job.microphones.size() == 1);
    CHECK(job.acceptance);
    CHECK(job.room.parts.size() == 1);
    CHECK(job.room.patches.size() == 1);
    CHECK(job.doubts.empty());
    REQUIRE(job.traps.size() == 2);
    CHECK(job.traps[0].layers[1].dividers->spacing_m == relative(0.15));
    CHECK(job.traps[0].built->wool_mass_kg == 9.5);
    CHECK(job.traps[1].place.along_m == 2);
}

TEST_CASE("the fixed spelling reads back the same and leaves client, address and invoice out") {
    const std::string more = "[trap.built]\nwool_mass = 9\nup = 0.3\n[[trap.built.layer]]\nmaterial = \"x\"\n"
                             "thickness = 0.1\n";
    const std::string once = canonical_toml(read(sample::job_toml + more));
    CHECK(canonical_toml(read(once)) == once);
    for (const char* word : {"A. Client", "Invented Street", "2026-17"})
        CHECK_FALSE(contains(once, word));
    CHECK(contains(once, "B. Builder"));
    CHECK(canonical_toml(read(with("A. Client", "Somebody else") + more)) == once);
    CHECK(canonical_toml(read(with("4.1 m", "410 cm") + more)) == once);
    CHECK(canonical_toml(read(with("4.1 m", "4.2 m") + more)) != once);
}

#define STRIPS(keys) "thickness = \"12 cm\"\ndividers = { " keys " }"

TEST_CASE("forty wrong job files are refused with file, line, key and mend") {
    struct Row {
        const char* from;
        const char* to;
        int line;
        const char* key;
        const char* mend;
    };
    const Row rows[] = {
        {"title = \"Rehearsal room, invented\"", "", 1, "job.title", "is missing; add it"},
        {"title =", "titel =", 2, "job.titel", "did you mean title?"},
        {"title = \"Rehearsal room, invented\"", "title = 7", 2, "job.title", "a text in double quotes"},
        {"client = ", "customer = ", 3, "job.customer", "known here: "},
        {"[job]", "[jbo]", 1, "jbo", "did you mean job?"},
        {"at_least_percent = 20, ", "", 7, "job.acceptance.at_least_percent", "is missing; add it"},
        {"at_least_percent = 20", "at_least_percent = -20", 7, "job.acceptance.at_least_percent",
         "from 0.1 to 99 %"},
        {"of = \"question\"", "of = \"questoin\"", 7, "job.acceptance.of", "did you mean \"question\"?"},
        {"kind = \"bands\"", "kind = \"band\"", 9, "question.kind", "did you mean \"bands\"?"},
        {"from = \"40 Hz\"", "from = \"40 m\"", 10, "question.from", "one of these units: Hz, kHz"},
        {"to = \"200 Hz\"", "to = \"20 Hz\"", 11, "question.to", "must not be below `from`"},
        {"to = \"200 Hz\"", "", 8, "question.to", "is missing; add it"},
        {"kind = \"bands\"", "kind = \"modes\"", 8, "question.hz", "is missing; add it"},
        {"kind = \"bands\"\nfrom = \"40 Hz\"\nto = \"200 Hz\"", "kind = \"modes\"\nhz = []", 10,
         "question.hz", "at least one frequency"},
        {"kind = \"bands\"\nfrom = \"40 Hz\"\nto = \"200 Hz\"", "kind = \"modes\"\nhz = 41.8", 10,
         "question.hz", "a list in square brackets"},
        {"length = \"4.1 m\"", "lenght = \"4.1 m\"", 13, "room.lenght", "did you mean length?"},
        {"length = \"4.1 m\"", "length = \"-4.1 m\"", 13, "room.length", "from 0.5 to 100 m"},
        {"length = \"4.1 m\"", "length = \"4.1 kg\"", 13, "room.length", "one of these units: m, cm"},
        {"length = \"4.1 m\"", "length = 4.1 m", 13, "", "stand in double quotes"},
        {"length = \"4.1 m\"", "length = true", 13, "room.length", "a number with its unit in double quotes"},
        {"width = \"3.3 m\"\n", "", 12, "room.width", "is missing; add it"},
        {"target = \"ITU-R BS.1116-3\"", "target = \"a studio\"", 16, "room.target",
         "is no target that is known; write \"ITU-R BS.1116-3\" or \"EBU Tech 3276\""},
        {"target =", "volume = 35\ntarget =", 16, "room.volume", "follows from length, width and height"},
        {"length = \"4.1 m\"\nwidth = \"3.3 m\"\nheight = \"2.6 m\"", "volume = \"35 m3\"", 12,
         "room.surface", "is missing; add it"},
        {"length = \"4.1 m\"\nwidth = \"3.3 m\"\nheight = \"2.6 m\"", "volume = 35\nsurface = 40", 14,
         "room.surface", "is too small for the volume"},
        {"id = \"S1\"", "id = \"L1\"", 18, "source[1].id", "must be S1 to S99"},
        {"id = \"S1\"", "id = \"../S1\"", 18, "source[1].id", "must be S1 to S99"},
        {"[[source]]", "[source]", 17, "source", "write [[source]]"},
        {"at = [\"0.6 m\", \"1.1 m\", \"1.2 m\"]", "at = [\"0.6 m\", \"1.1 m\"]", 19, "source[1].at",
         "needs three lengths"},
        {"at = [\"0.6 m\"", "at = [\"6 m\"", 19, "source[1].at[1]",
         "lies outside the room; write 0 to 4.1 m"},
        {"lowest = \"35 Hz\"", "lowest = \"35 kHz\"", 20, "source[1].lowest", "from 5 to 20000 Hz"},
        {"listening = true", "listening = \"yes\"", 24, "microphone[1].listening",
         "true or false, without quotes"},
        {"id = \"M2\"", "id = \"M1\"", 26, "microphone[2].id", "is there twice"},
        {"rear = \"0.9 m\"", "rear = \"1.9 m\"", 28, "microphone[2].distances.rear",
         "lies 0.90 m from there"},
        {"rear = \"0.9 m\"", "back = \"0.9 m\"", 28, "microphone[2].distances.back",
         "known here: ceiling, floor"},
        {"photo = \"m2.jpg\"", "photo = \"../../m2.jpg\"", 29, "microphone[2].photo",
         "the plain name of a file"},
        {"wall = \"rear\"", "wall = \"raer\"", 37, "trap[1].wall", "did you mean \"rear\"?"},
        {"wall = \"rear\"", "corner = [\"rear\", \"front\"]", 37, "trap[1].corner",
         "two walls that do not meet"},
        {"wall = \"rear\"\n", "", 33, "trap[1].wall", "is missing; add it"},
        {"wall = \"rear\"", "wall = \"rear\"\ncorner = [\"rear\", \"left\"]", 38, "trap[1].corner",
         "keep one of the two"},
        {"along = \"0.4 m\"", "along = \"3 m\"", 33, "trap[1]", "make it smaller or move it"},
        {"face_width = \"1.2 m\"", "face_width = 0", 35, "trap[1].face_width", "from 0.01 to 100 m"},
        {"thickness = \"12 cm\"", "thicknes = \"12 cm\"", 46, "trap[1].layer[2].thicknes",
         "did you mean thickness?"},
        {"thickness = \"12 cm\"", "thickness = \"12 cm\"\nfree_thickness = \"10 cm\"", 47,
         "trap[1].layer[2].free_thickness", "compressed, never stretched"},
        {"material = \"stone wool 45\"\n", "", 44, "trap[1].layer[2].material", "is missing; add it"},
        {"thickness = \"12 cm\"", "thickness = nan", 46, "trap[1].layer[2].thickness", "a finite number"},
        {"[[trap]]", "[[trap]]\nname = \"a\"\n[[trap]]", 33, "trap[1].face_width", "is missing; add it"},
        {"wall = \"rear\"", "wall = \"rear\"\nframe = \"straight\"", 38, "trap[1].frame", "give `corner`"},
        {"open_sides = true", "open_sides = [\"lefft\"]", 40, "trap[1].open_sides[1]",
         "did you mean \"left\"?"},
        {"open_sides = true", "open_sides = \"left\"", 40, "trap[1].open_sides", "true or false"},
        {"thickness = \"12 cm\"", STRIPS("spacing = \"1 cm\", thickness = \"18 mm\""), 47,
         "trap[1].layer[2].dividers.thickness", "must be less than `spacing`"},
        {"thickness = \"12 cm\"", STRIPS("spacing = \"130 cm\", thickness = \"18 mm\""), 47,
         "trap[1].layer[2].dividers.spacing", "is more than the frame is wide, 1.200 m"},
        {"thickness = \"12 cm\"", STRIPS("spacing = \"15 cm\", thickness = \"18 mm\", path = \"11 cm\""), 47,
         "trap[1].layer[2].dividers.path", "0.120 m to 0.240 m"},
        {"thickness = \"12 cm\"", STRIPS("spacing = \"15 cm\", thickness = \"18 mm\", path = \"25 cm\""), 47,
         "trap[1].layer[2].dividers.path", "0.120 m to 0.240 m"},
        {"thickness = \"12 cm\"", STRIPS("spacing = \"15 cm\", thickness = \"18 mm\", ends = \"besides\""),
         47, "trap[1].layer[2].dividers.ends", "did you mean \"beside\"?"},
        {"thickness = \"3 cm\"",
         "thickness = \"3 cm\"\ndividers = { spacing = \"15 cm\", thickness = \"18 mm\" }", 44,
         "trap[1].layer[1].dividers", "write them on a layer of wool"},
    };
    CHECK(std::size(rows) >= 40);
    for (const Row& row : rows) {
        const std::string text = refusal([&] { read(with(row.from, row.to)); });
        CAPTURE(row.to);
        CAPTURE(text);
        CHECK(contains(text, "job.toml, line " + std::to_string(row.line) + ", column "));
        CHECK(contains(text, row.key));
        CHECK(contains(text, row.mend));
    }
}

namespace {

std::string part(const char* name, const char* kind, const char* from, const char* to) {
    return fmt::format("[[room.part]]\nname = \"{}\"\nkind = \"{}\"\nfrom = [{}]\nto = [{}]\n", name, kind,
                       from, to);
}

std::string patch(const char* name, const char* kind, const char* wall, const char* from, const char* to) {
    return fmt::format(
        "[[room.patch]]\nname = \"{}\"\nkind = \"{}\"\nwall = \"{}\"\nfrom = [{}]\nto = [{}]\n", name, kind,
        wall, from, to);
}

/// `where` is `wall = …` or `corner = …`, with more of the place.
std::string trap(const char* name, const char* where, double width, double height, double depth_m = 0.15) {
    return fmt::format(
        "[[trap]]\nname = \"{}\"\n{}\nface_width = {}\nface_height = {}\n[[trap.layer]]\nmaterial "
        "= \"stone wool 45\"\nthickness = {}\n",
        name, where, width, height, depth_m);
}

std::string place(const char* kind, const char* id, const char* at) {
    return fmt::format("[[{}]]\nid = \"{}\"\nat = [{}]\n", kind, id, at);
}

long lines_of(const std::string& text) {
    return std::count(text.begin(), text.end(), '\n');
}

} // namespace

TEST_CASE("thirty wrong plans are each refused or warned with their line") {
    // What the reader refuses at once; what the plan check refuses, or notes where something was measured;
    // what is suspicious alone.
    enum class Is { unreadable, wrong, odd };
    struct Row {
        std::string before, wrong; ///< added to the sample: what is sound, and what is wrong with it
        int line;                  ///< in `wrong`
        Is is;
        const char* key;
        const char* mend;
    };
    const std::string breast = part("chimney breast", "solid", "0, 1, 0", "0.4, 2.2, 2.6");
    const std::string niche = part("niche", "recess", "1, -0.3, 0", "2, 0, 2");
    const std::string door = patch("door", "door", "left", "2.2, 0", "3.1, 2");
    const Row rows[] = {
        {"", trap("b", "wall = \"rear\"\nalong = 1\nup = 0.5", 1, 1), 1, Is::wrong, "trap[2]",
         "runs into the trap \"rear wall\" by 15.0 cm; move one"},
        {"", trap("b", "wall = \"left\"\nalong = 3.5", 0.6, 1, 0.5), 1, Is::wrong, "trap[2]", "by 10.0 cm"},
        {"", trap("b", "wall = \"floor\"\nalong = 3\nup = 0.5", 1.1, 1, 0.3), 1, Is::wrong, "trap[2]",
         "by 10.0 cm"},
        {"", trap("b", "corner = [\"rear\", \"left\"]", 1, 2), 1, Is::wrong, "trap[2]",
         "runs into the trap \"rear wall\""},
        {trap("b", "corner = [\"front\", \"right\"]\nup = 1", 0.6, 1.6),
         trap("c", "corner = [\"front\", \"ceiling\"]\nalong = 2", 1.3, 0.6), 1, Is::wrong, "trap[3]",
         "runs into the trap \"b\""},
        {"", trap("b", "corner = [\"rear\", \"left\"]\nframe = \"straight\"", 0.5, 2, 0.2), 1, Is::wrong,
         "trap[2]", "runs into the trap \"rear wall\""},
        {"", "[[trap.at]]\nname = \"b\"\nalong = 1.5\n", 1, Is::wrong, "trap[1].at[1]", "by 10.0 cm"},
        {trap("b", "wall = \"rear\"\nalong = 2", 1, 1), "[trap.built]\nalong = 1.2\n", 1, Is::wrong,
         "trap[2].built", "runs into the trap \"rear wall\""},
        {"", "[trap.built]\nalong = 1.6\n" + trap("b", "wall = \"rear\"\nalong = 2", 1, 1), 1, Is::wrong,
         "trap[1].built", "runs into the trap \"b\" by 15.0 cm"},
        {part("column", "solid", "3.6, 0.8, 0", "3.9, 1.1, 2.6"),
         "[[trap.built.layer]]\nmaterial = \"stone wool 45\"\nthickness = 0.3\n", 1, Is::wrong,
         "trap[1].built", "runs into the solid part \"column\" by 10.0 cm"},
        {"", trap("b", "wall = \"left\"\nalong = 0.5", 1, 1, 3.4), 1, Is::wrong, "trap[2]",
         "is 3.40 m deep in a room of 3.30 m"},
        {breast, trap("b", "wall = \"front\"\nalong = 0.5", 1, 1), 1, Is::wrong, "trap[2]",
         "runs into the solid part \"chimney breast\""},
        {part("column", "solid", "0.1, 0.1, 0", "0.3, 0.3, 2.6"),
         trap("b", "corner = [\"front\", \"left\"]", 0.8, 2), 1, Is::wrong, "trap[2]",
         "runs into the solid part \"column\""},
        {"", trap("b", "wall = \"left\"\nalong = 3.5", 1, 1), 1, Is::unreadable, "trap[2]",
         "make it smaller or move it"},
        {niche, trap("b", "wall = \"left\"\nalong = 0.5", 1, 1), 1, Is::odd, "trap[2]",
         "before the mouth of the recess \"niche\""},
        {door, trap("b", "wall = \"left\"\nalong = 2", 1, 1), 1, Is::odd, "trap[2]",
         "before the door \"door\""},
        {"", place("microphone", "M4", "4.0, 1, 1"), 3, Is::wrong, "microphone[4].at",
         "lies inside the trap \"rear wall\":"},
        {"", place("source", "S2", "4.0, 1, 1"), 3, Is::wrong, "source[2].at",
         "give a place in the open room"},
        {"[trap.built]\nalong = 1\n", place("microphone", "M4", "4.0, 2, 1"), 3, Is::wrong,
         "microphone[4].at", "lies inside the trap \"rear wall\" as it was built"},
        {breast, place("microphone", "M4", "0.2, 1.5, 1"), 3, Is::wrong, "microphone[4].at",
         "lies in the solid part \"chimney breast\""},
        {breast, place("source", "S2", "0.405, 1.5, 1"), 3, Is::odd, "source[2].at",
         "lies 0.5 cm from the surface towards the front wall"},
        {"", place("microphone", "M4", "2, 0, 1"), 3, Is::wrong, "microphone[4].at",
         "lies in the surface towards the left wall"},
        {"", place("microphone", "M4", "2, 1, 2.595"), 3, Is::odd, "microphone[4].at",
         "lies 0.5 cm from the surface towards the ceiling"},
        {"", place("microphone", "M4", "1.5, -0.1, 1"), 3, Is::unreadable, "microphone[4].at[2]",
         "lies outside the room"},
        {niche, place("microphone", "M4", "1.5, -0.4, 1"), 3, Is::unreadable, "microphone[4].at[2]",
         "lies outside the room"},
        {niche, place("source", "S2", "1.5, -0.3, 1"), 3, Is::wrong, "source[2].at",
         "lies in the surface towards the left wall"},
        {"", place("microphone", "M4", "2.405, 1.65, 1.2"), 3, Is::wrong, "microphone[4].at",
         "is the spot of M1, 0.5 cm from it"},
        {"", place("microphone", "M4", "0.6, 1.1, 1.2"), 3, Is::wrong, "microphone[4].at",
         "is the spot of S1"},
        {"", place("source", "S2", "0.6, 1.1, 1.2"), 3, Is::wrong, "source[2].at", "is the spot of S1"},
        {breast, part("mantelpiece", "solid", "0.3, 1.2, 1", "0.6, 2, 1.2"), 1, Is::wrong, "room.part[2]",
         "overlaps the part \"chimney breast\" by 10.0 cm"},
        {niche, part("cupboard", "recess", "1.9, -0.5, 0", "3, 0, 2"), 1, Is::wrong, "room.part[2]",
         "overlaps the part \"niche\" by 10.0 cm"},
        {niche, part("board", "solid", "0.9, 0, 0", "2.1, 0.1, 2.2"), 1, Is::wrong, "room.part[2]",
         "leaves the recess \"niche\" no way into the room"},
        {breast, part("chimney breast", "solid", "3, 3, 0", "3.2, 3.3, 2.6"), 2, Is::unreadable,
         "room.part[2].name", "is there twice"},
        {"", part("beam", "solid", "0, 1, 2.4", "4.2, 1.2, 2.6"), 5, Is::unreadable, "room.part[1].to",
         "must lie in the room"},
        {"", part("niche", "recess", "1, -0.3, 0", "2, -0.1, 2"), 1, Is::unreadable, "room.part[1]",
         "touches no wall from outside"},
        {"", part("beam", "solid", "0, 1.2, 2.4", "4.1, 1.2, 2.6"), 5, Is::unreadable, "room.part[1].to",
         "must be more than `from`"},
        {door, patch("window", "window", "left", "3, 1", "3.6, 1.8"), 1, Is::wrong, "room.patch[2]",
         "overlaps the patch \"door\" on the left wall"},
        {breast, patch("window", "window", "front", "2, 1", "2.8, 1.8"), 1, Is::wrong, "room.patch[1]",
         "lies behind the solid part \"chimney breast\""},
        {niche, patch("window", "window", "left", "1.2, 1", "1.8, 1.8"), 1, Is::wrong, "room.patch[1]",
         "lies at the mouth of the recess \"niche\""},
        {"", patch("window", "window", "left", "3.5, 1", "4.3, 1.8"), 6, Is::unreadable, "room.patch[1].to",
         "lies outside the left wall"},
    };
    CHECK(std::size(rows) >= 30);
    for (const Row& row : rows) {
        const std::string sound = sample::job_toml + row.before, text = sound + row.wrong;
        CAPTURE(row.wrong);
        CHECK(read(sound).doubts.empty());
        std::string said;
        if (row.is != Is::odd)
            said = refusal([&] { read(text); });
        if (row.is != Is::unreadable) {
            const auto doubts = job_description(text, "job.toml", WrongPlan::noted).doubts;
            REQUIRE(!doubts.empty());
            CHECK((row.is == Is::odd || doubts.front() == said));
            said = doubts.front();
        }
        CAPTURE(said);
        // What was built of the sample's trap may come before further tables.
        CHECK(contains(said, fmt::format("job.toml, line {}, column ", lines_of(sound) + row.line)));
        CHECK(contains(said, row.key));
        CHECK(contains(said, row.mend));
    }
}

TEST_CASE("what can be meant is no wrong plan") {
    const std::string niche = part("niche", "recess", "1, -0.3, 0", "2, 0, 2");
    const std::string sound[] = {
        niche + place("microphone", "M4", "1.5, -0.1, 1") + "distances = { left = 0.2, ceiling = 1 }\n",
        // Side by side, and corner beside corner; a box across a corner has room behind it.
        trap("b", "wall = \"rear\"\nalong = 1.6\nup = 0.2", 1, 2),
        trap("b", "wall = \"rear\"\nalong = 1.595\nup = 0.2", 1, 2),
        trap("b", "corner = [\"rear\", \"left\"]", 0.5, 2),
        part("pipe", "solid", "0, 0, 0", "0.1, 0.1, 2.6") +
            trap("b", "corner = [\"front\", \"left\"]\nframe = \"straight\"", 0.8, 2),
        // A curtain before a window, or across a niche.
        patch("window", "window", "front", "1, 1", "2, 2") +
            patch("curtain", "curtain", "front", "0.8, 0", "2.2, 2.4"),
        niche + patch("curtain", "curtain", "left", "1, 0", "2, 2"),
    };
    for (const std::string& more : sound) {
        CAPTURE(more);
        CHECK(read(sample::job_toml + more).doubts.empty());
    }
}

TEST_CASE("more layers than a trap has, and more traps than a room holds, are refused with the limit") {
    const std::string layer = "[[trap.layer]]\nmaterial = \"stone wool 45\"\nthickness = \"1 cm\"\n";
    std::string many = sample::job_toml;
    for (int i = 0; i < 50; ++i)
        many += layer;
    CHECK(contains(refusal([&] { job_description(many, "job.toml"); }), "has 53 layers; write at most 50"));
    for (int i = 53; i < 1000; ++i)
        many += layer;
    CHECK(contains(refusal([&] { job_description(many, "job.toml"); }), "has 1000 layers; write at most 50"));
    std::string traps = sample::job_toml.substr(0, sample::job_toml.find("[[trap]]"));
    for (int i = 0; i <= 100; ++i)
        traps += "[[trap]]\nname = \"" + std::to_string(i) +
                 "\"\nface_width = \"0.6 m\"\nface_height = \"1 m\"\nwall = \"rear\"\nalong = \"0.4 m\"\n" +
                 layer;
    CHECK(contains(refusal([&] { job_description(traps, "job.toml"); }),
                   "is one of 101 [[trap]]; write at most 100"));
}
