// SPDX-License-Identifier: GPL-3.0-or-later
// What traps do to each mode of a box-shaped room, from how it rang before.
#pragma once

#include "base/measured.hpp"
#include "decay/decay.hpp"
#include "forecast/notes.hpp"
#include "forecast/room_forecast.hpp"
#include "forecast/trap_cells.hpp"
#include "room/shaped_room.hpp"

#include <array>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace ebbmark {

/// A mode as it was measured before the build.
struct ModeBefore {
    double hz = 0;
    Measured t60_s;
    std::optional<std::array<int, 3>> order; ///< where it is named
};

/// A room as it was measured before the build.
struct ModalRoom {
    Box box;
    Medium air;
    std::vector<ModeBefore> modes;
    std::vector<Band> bands;                        ///< with a decay before, lowest first
    std::vector<Measured> decay_s;                  ///< of each
    std::vector<std::pair<Point, Point>> positions; ///< source and microphone of each response
    double to_hz = 200;                             ///< modes are told one by one up to here
    std::vector<RoomPart> parts = {};
    double bands_to_hz = 0; ///< and computed up to here for the bands, where that is farther

    /// Of ln(60 dB time) of single modes, for a room that is no exact box.
    double shape_deviation = 0;
    std::vector<ForecastNote> notes = {}; ///< that the forecast takes over

    RoomShape shape() const { return {box, parts}; }
};

/// d ln(damping) of a mode after by a figure of the wool: for one step from the middle to an end of its
/// range.
struct Sensitivity {
    double resistivity = 0, tortuosity = 0, form = 0;
    double frame = 0; ///< from free to standing still
};

struct ForecastMode {
    double before_hz = 0;
    Measured before_t60_s;
    std::optional<std::array<int, 3>> order;
    std::optional<double> predicted_hz;
    Measured predicted_t60_s; ///< empty (`overlap`) where no mode after is like this one
    double overlap = 0;       ///< of the two shapes, 0 to 1
    Sensitivity sensitivity;  ///< where there is a prediction
    double at_traps = 0;      ///< mean of p² in the traps over its mean in the room
    /// Pressure of the mode with the traps at half the height, x fastest, largest magnitude 1; rows along y.
    std::vector<double> plan_view;
};

struct ModalForecast {
    std::vector<ForecastMode> modes;
    std::vector<Measured> band_s;          ///< T20 after, per band of the input; empty where not predicted
    std::vector<ForecastParts> band_parts; ///< of each; 0 where not predicted
    double to_hz = 0;                      ///< modes are predicted up to here
    Box box;
    std::vector<std::vector<std::array<double, 2>>> outlines; ///< of the traps, seen from above
    std::array<double, 3> wall_admittance{};                  ///< fitted, at 63 Hz, per pair of walls
    std::vector<ForecastNote> notes;
};

inline constexpr int plan_view_x = 24, plan_view_y = 18;

/// Solves the bare room once, then any traps in it. `step`, where given, is told what part of the work is
/// done.
class ModalForecaster {
  public:
    explicit ModalForecaster(ModalRoom room);
    ~ModalForecaster();
    ModalForecaster(ModalForecaster&&) noexcept;
    ModalForecaster& operator=(ModalForecaster&&) noexcept;

    /// With intervals from `draws` draws. Throws Error(unusable) where a trap does not fit the room.
    ModalForecast forecast(const std::vector<PlacedTrap>& traps, int draws, std::uint64_t seed,
                           const std::function<void(double)>& step = {}) const;

    /// T20 after per band of the room, middle values only, from one solution: empty where not predicted. Same
    /// errors.
    std::vector<std::optional<double>> bands_after(const std::vector<PlacedTrap>& traps) const;

  private:
    struct Bare;
    std::unique_ptr<Bare> bare_;
};

} // namespace ebbmark
