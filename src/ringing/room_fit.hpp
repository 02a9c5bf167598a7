// SPDX-License-Identifier: GPL-3.0-or-later
// All modes of a room fitted to all positions, window by window of frequency.
#pragma once

#include "ringing/exponentials.hpp"
#include "ringing/spectra.hpp"

#include <Eigen/Core>
#include <vector>

namespace ebbmark {

/// A pole with what the fit knows about it.
struct FittedPole {
    Pole pole;
    Eigen::VectorXcd amplitude; ///< at the onset, per position; its mirror image at −f doubles it
    double hz_deviation = 0;    ///< standard deviation, hidden modes allowed for
    double decay_deviation = 0; ///< the same of ln decay
    double decay_by_noise = 0;  ///< standard deviation of ln decay by the noise alone
};

struct RoomFit {
    std::vector<FittedPole> poles; ///< by frequency
    Eigen::VectorXd scale;         ///< frequency scale per position, mean 1
};

/// A fit with what it was made from.
struct FittedRoom {
    LowResponses responses;
    double from_hz = 0, to_hz = 0;
    RoomFit fit;
};

/// Half of −2 ln of the likelihood, up to a constant, of the window around one pole, everything free but what
/// is asked. In units of noise power; `misfit` is the residual's power over the noise's, at least 1.
struct DecayCosts {
    double free = 0;
    std::vector<double> held; ///< with the pole's decay held at each of these
    double misfit = 1;
};

/// `pole` is an index into the fit's poles; `further` are poles that may be there as well, those within the
/// window start with the others. Infinite where the pole would keep less than 0.3 of its strength: another
/// one has then taken its place.
DecayCosts decay_costs(const FittedRoom& room, std::size_t pole, const std::vector<double>& decays_per_s,
                       const std::vector<Pole>& further);

RoomFit fit_room(LowResponses responses, double from_hz, double to_hz);

enum class Order { kept, searched };

/// A fit that begins at the poles and the air of another one, of nearly the same responses: as many poles, or
/// an order of its own.
RoomFit refit_room(LowResponses responses, double from_hz, double to_hz, const RoomFit& start, Order order);

} // namespace ebbmark
