// SPDX-License-Identifier: GPL-3.0-or-later
// Impulse responses of a virtual room without loudspeaker and noise: damped modes below the crossover, a
// decaying diffuse field above, the direct sound in both.
#pragma once

#include "base/bands.hpp"
#include "base/signal.hpp"
#include "capture/room_description.hpp"
#include "room/air.hpp"
#include "room/layers.hpp"
#include "room/modal_field.hpp"

#include <complex>
#include <vector>

namespace ebbmark {

enum class RoomState { bare, with_traps };

/// The room in one state.
class VirtualField {
  public:
    VirtualField(const RoomDescription& room, RoomState state, const Air& air, double rate_hz);

    /// Sound pressure after an impulse of a point source whose direct sound is one sample of 1 at 1 m,
    /// without what lies below 12 Hz. The same places give the same response. Both must lie in the room.
    Signal response(const Point& source, const Point& microphone) const;

    /// Where modes hand over to the diffuse field: the Schroeder frequency of the room without traps, so
    /// that it is the same before and after.
    double crossover_hz() const { return crossover_hz_; }
    double speed_of_sound() const { return speed_of_sound_; }

    /// Eyring's decay time of the surfaces, traps, furniture and air at a frequency.
    double statistical_decay_s(double hz) const;

    /// The damped modes up to `to_hz` ≤ crossover. Takes seconds with many traps.
    std::vector<DampedMode> modes(double to_hz) const;

  private:
    double decay_s(double hz, RoomState state) const;
    double longest_bare_decay_s() const;
    DampedRoom damped_room() const;
    void check_inside(const Point& point) const;
    std::vector<double> diffuse_part(const Point& source, const Point& microphone) const;
    std::vector<std::complex<double>> modal_part(const Point& source, const Point& microphone) const;

    RoomDescription room_;
    RoomState state_;
    Air air_;
    double rate_hz_;
    double speed_of_sound_;
    double crossover_hz_;
    std::size_t length_; ///< samples of a response
    ModalField modal_;
    std::vector<double> band_decays_s_; ///< of the diffuse field
};

/// Decay times of one band of a response, without any noise treatment: the truth that measured ones are
/// compared with.
struct TrueDecay {
    Band band;
    double t20_s = 0;
    double t30_s = 0;
};

/// Least-squares slopes from −5 to −25 and −35 dB of the energy decay curve of a noise-free response from
/// `start_s` on, filtered without phase by |H|² = 1/(1 + w⁶), the third-order band-pass of IEC 61260-1
/// class 1.
std::vector<TrueDecay> true_decays(const Signal& response, double start_s, const std::vector<Band>& bands);

/// Where a trap really stands: as built, else as planned.
TrapPlace standing_place(const JobTrap& trap);

/// What a trap covers as it really stands.
std::vector<CoveredWall> walls_covered_by(const JobTrap& trap, const Box& box);

/// The layers of a trap as it was built, else as planned. Throws Error(unusable) for a layer without the
/// figures it needs.
std::vector<Layer> acoustic_layers(const JobTrap& trap);

} // namespace ebbmark
