// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/plan_doubts.hpp"

#include "base/error.hpp"
#include "job/job_toml.hpp"
#include "room/trap_body.hpp"

#include <fmt/format.h>

#include <utility>

namespace ebbmark {

namespace {

// What a tape on site leaves open: common practice, no source.
constexpr double tape_m = 0.01;

bool overlap_clearly(WallRectangle a, const WallRectangle& b) {
    for (std::size_t i = 0; i < 2; ++i)
        a.from_m[i] += touching_m, a.to_m[i] -= touching_m;
    return overlap(a, b);
}

ConvexBody body_of(const RoomPart& part) {
    return box_body(part.from_m, part.to_m);
}

/// A loudspeaker or microphone place.
struct Spot {
    std::string id;
    Point at_m;
    TomlValue value;
};

/// A trap as planned, or as built where it says so.
struct Stand {
    std::string name;
    TrapPlace place;
    double depth_m = 0;
    bool built = false;
    ConvexBody body = {};
};

class PlanCheck {
  public:
    PlanCheck(const TomlTable& root, const JobDescription& job, WrongPlan wrong)
        : root_(root), job_(job), wrong_(wrong), traps_(trap_tables(root)) {}

    std::vector<std::string> doubts() {
        if (job_.room.box) {
            const TomlTable room = root_.need("room").table();
            check_parts(room.tables("part"));
            check_patches(room.tables("patch"));
            const auto planned = stands(false), built = stands(true);
            check_traps(planned, false);
            check_traps(built, true);
            for (const Spot& spot : spots())
                check_spot(spot, planned, built);
        }
        check_same_spot();
        return std::move(doubts_);
    }

  private:
    /// At a value or a table of the file.
    template <class Place>
    void odd(const Place& place, const std::string& why) {
        try {
            place.refuse(why);
        } catch (const Error& error) {
            if (std::string what = error.what(); doubts_.empty() || doubts_.back() != what)
                doubts_.push_back(std::move(what));
        }
    }

    template <class Place>
    void wrong(const Place& place, const std::string& why) {
        if (wrong_ == WrongPlan::refused)
            place.refuse(why);
        odd(place, why);
    }

    const Box& box() const { return *job_.room.box; }

    void check_parts(const std::vector<TomlTable>& tables) {
        const auto& parts = job_.room.parts;
        for (std::size_t i = 0; i < parts.size(); ++i)
            for (std::size_t j = 0; j < i; ++j) {
                if (run_into(body_of(parts[i]), body_of(parts[j]), touching_m))
                    wrong(tables[i],
                          fmt::format("overlaps the part \"{}\" by {:.1f} cm; let one end where "
                                      "the other begins",
                                      parts[j].name, 100 * overlap_m(body_of(parts[i]), body_of(parts[j]))));
                for (const auto& [solid, recess] : {std::pair{i, j}, std::pair{j, i}})
                    if (closes(parts[solid], parts[recess]))
                        wrong(tables[i], fmt::format("leaves the recess \"{}\" no way into the room: \"{}\" "
                                                     "stands before all of its mouth; move one of them",
                                                     parts[recess].name, parts[solid].name));
            }
    }

    bool closes(const RoomPart& solid, const RoomPart& recess) const {
        if (solid.kind != RoomPart::Kind::solid || recess.kind != RoomPart::Kind::recess)
            return false;
        for (const Wall wall : all_walls) {
            const auto mouth = touched(box(), recess, wall), covered = touched(box(), solid, wall);
            if (!mouth || !covered)
                continue;
            bool all = true;
            for (std::size_t i = 0; i < 2; ++i)
                all = all && covered->from_m[i] <= mouth->from_m[i] + tape_m &&
                      covered->to_m[i] >= mouth->to_m[i] - tape_m;
            if (all)
                return true;
        }
        return false;
    }

    void check_patches(const std::vector<TomlTable>& tables) {
        const auto& patches = job_.room.patches;
        const auto curtain = [](const RoomPatch& patch) { return patch.kind == RoomPatch::Kind::curtain; };
        for (std::size_t i = 0; i < patches.size(); ++i) {
            const RoomPatch& patch = patches[i];
            for (std::size_t j = 0; j < i; ++j) // a curtain hangs before a window
                if (overlap_clearly(patch.rectangle, patches[j].rectangle) &&
                    curtain(patch) == curtain(patches[j]))
                    wrong(tables[i], fmt::format("overlaps the patch \"{}\" on the {} wall; let one end "
                                                 "where the other begins",
                                                 patches[j].name, name(patch.rectangle.wall)));
            for (const RoomPart& part : job_.room.parts) {
                const auto at = touched(box(), part, patch.rectangle.wall);
                if (!at || !overlap_clearly(patch.rectangle, *at))
                    continue;
                if (part.kind == RoomPart::Kind::solid)
                    wrong(tables[i],
                          fmt::format("lies behind the solid part \"{}\"; correct one of them", part.name));
                else if (!curtain(patch))
                    wrong(tables[i], fmt::format("lies at the mouth of the recess \"{}\", where there is "
                                                 "no wall; correct one of them",
                                                 part.name));
            }
        }
    }

    /// All traps as planned, or as built; fills in what they take up.
    std::vector<Stand> stands(bool built) const {
        std::vector<Stand> all;
        for (const JobTrap& trap : job_.traps) {
            Stand stand{trap.name, trap.place, depth_m(trap.layers)};
            if (built && trap.built) {
                stand.built = trap.built->place || !trap.built->layers.empty();
                stand.place = trap.built->place.value_or(trap.place);
                if (!trap.built->layers.empty())
                    stand.depth_m = depth_m(trap.built->layers);
            }
            stand.body = trap_body(box(), stand.place, stand.depth_m);
            all.push_back(std::move(stand));
        }
        return all;
    }

    /// At what the file says of the trap, or of what was built of it.
    void wrong_trap(const Stand& stand, std::size_t index, const std::string& why) {
        if (stand.built)
            wrong(traps_[index].need("built"), why);
        else
            wrong(traps_[index], why);
    }

    /// Of what was built, only what was recorded otherwise than planned.
    void check_traps(const std::vector<Stand>& all, bool built) {
        for (std::size_t i = 0; i < all.size(); ++i) {
            if (all[i].built == built)
                check_trap(all[i], i);
            for (std::size_t j = 0; j < i; ++j) {
                if (built && !all[i].built && !all[j].built)
                    continue;
                if (!run_into(all[i].body, all[j].body, tape_m))
                    continue;
                const auto& [at, other] = built && !all[i].built ? std::pair{j, i} : std::pair{i, j};
                wrong_trap(all[at], at,
                           fmt::format("runs into the trap \"{}\" by {:.1f} cm; move one of them or make it "
                                       "smaller",
                                       all[other].name, 100 * overlap_m(all[i].body, all[j].body)));
            }
        }
    }

    void check_trap(const Stand& trap, std::size_t index) {
        const std::size_t axis = axis_of(trap.place.wall);
        if (!trap.place.corner_with && trap.depth_m > box().edges_m[axis] - tape_m)
            wrong_trap(trap, index,
                       fmt::format("is {:.2f} m deep in a room of {:.2f} m from the {} wall to the wall "
                                   "opposite; correct its layers",
                                   trap.depth_m, box().edges_m[axis], name(trap.place.wall)));
        for (const RoomPart& part : job_.room.parts)
            if (part.kind == RoomPart::Kind::solid && run_into(trap.body, body_of(part), tape_m))
                wrong_trap(trap, index,
                           fmt::format("runs into the solid part \"{}\" by {:.1f} cm; `along` and `up` count "
                                       "on the walls of the box: move it beside the part",
                                       part.name, 100 * overlap_m(trap.body, body_of(part))));
        for (const CoveredWall& covered : covered_walls(box(), trap.place, trap.depth_m))
            check_covered(trap, index, covered.rectangle);
    }

    void check_covered(const Stand& trap, std::size_t index, const WallRectangle& covered) {
        const auto say = [&](const std::string& why) {
            if (trap.built)
                odd(traps_[index].need("built"), why);
            else
                odd(traps_[index], why);
        };
        for (const RoomPart& part : job_.room.parts) {
            const auto mouth = touched(box(), part, covered.wall);
            if (part.kind == RoomPart::Kind::recess && mouth && overlap_clearly(covered, *mouth))
                say(fmt::format("stands before the mouth of the recess \"{}\", where it has no wall behind "
                                "it; see whether both are meant to be there",
                                part.name));
        }
        for (const RoomPatch& patch : job_.room.patches)
            if (patch.kind == RoomPatch::Kind::door && overlap_clearly(covered, patch.rectangle))
                say(fmt::format("stands before the door \"{}\"; see whether both are meant to be there",
                                patch.name));
    }

    std::vector<Spot> spots() const {
        std::vector<Spot> all;
        const auto add = [&](const auto& places, const char* kind) {
            const auto tables = root_.tables(kind);
            for (std::size_t i = 0; i < places.size(); ++i)
                all.push_back({places[i].id, places[i].at_m, tables[i].need("at")});
        };
        add(job_.sources, "source");
        add(job_.microphones, "microphone");
        return all;
    }

    void check_spot(const Spot& spot, const std::vector<Stand>& planned, const std::vector<Stand>& built) {
        for (const RoomPart& part : job_.room.parts)
            if (const double inside = inside_m(body_of(part), spot.at_m);
                part.kind == RoomPart::Kind::solid && inside >= 0)
                wrong(spot.value,
                      fmt::format("lies in the solid part \"{}\"; correct one of them", part.name));
        for (const Stand& trap : planned)
            check_beside(spot, trap, "");
        for (const Stand& trap : built)
            if (trap.built)
                check_beside(spot, trap, " as it was built");
        check_walls(spot);
    }

    void check_beside(const Spot& spot, const Stand& trap, const char* state) {
        if (inside_m(trap.body, spot.at_m) > 0)
            wrong(spot.value, fmt::format("lies inside the trap \"{}\"{}: give a place in the open room",
                                          trap.name, state));
    }

    /// Also sides of parts, which are walls.
    void check_walls(const Spot& spot) {
        const RoomShape shape{box(), job_.room.parts};
        if (!shape.holds(spot.at_m))
            return;
        for (const Wall wall : all_walls) {
            const double free = free_distance_m(shape, wall, spot.at_m);
            if (free <= 0)
                wrong(spot.value,
                      fmt::format("lies in the surface towards the {} wall; give the place of the "
                                  "microphone's or the loudspeaker's centre before it",
                                  name(wall)));
            else if (free < tape_m)
                odd(spot.value,
                    fmt::format("lies {:.1f} cm from the surface towards the {} wall, nearer than a tape "
                                "tells; see whether it is meant",
                                100 * free, name(wall)));
        }
    }

    void check_same_spot() {
        const auto all = spots();
        for (std::size_t i = 0; i < all.size(); ++i)
            for (std::size_t j = 0; j < i; ++j)
                if (const double apart = distance_m(all[i].at_m, all[j].at_m); apart < tape_m)
                    wrong(all[i].value,
                          fmt::format("is the spot of {}, {:.1f} cm from it; correct one of them", all[j].id,
                                      100 * apart));
    }

    const TomlTable& root_;
    const JobDescription& job_;
    WrongPlan wrong_;
    std::vector<TomlTable> traps_;
    std::vector<std::string> doubts_;
};

} // namespace

std::vector<std::string> plan_doubts(const TomlTable& root, const JobDescription& job, WrongPlan wrong) {
    return PlanCheck(root, job, wrong).doubts();
}

} // namespace ebbmark
