// SPDX-License-Identifier: GPL-3.0-or-later
// Octave and third-octave filters, class 1 of IEC 61260-1:2014, applied backwards in time.
#pragma once

#include "base/bands.hpp"
#include "base/signal.hpp"
#include "signal/fft.hpp"

#include <span>
#include <vector>

namespace ebbmark {

/// Response at `hz` ≥ 0 of the analog Butterworth band-pass with three pole pairs, −3 dB at the band edges,
/// as it acts forward in time; above `taper_from_hz` it is led to zero at `taper_to_hz`, far outside the
/// band.
Complex band_filter_response(const Band& band, double hz);

/// Group delay of that filter forward in time, from its closed form; backwards it is an advance.
double band_filter_group_delay_s(const Band& band, double hz);

/// Decay time of the filter's own ringing where it pollutes a decay: T20 of its response played backwards.
double band_filter_decay_s(const Band& band);

/// A band's squared envelope: mean square of the filtered response, without ripple at twice its frequency.
/// Σ energy · step is the energy of the filtered response. The first value lies at `start_s` ≤ 0, counted
/// from the response's first sample, because a filter that runs backwards rings before its input.
struct BandEnvelope {
    std::vector<double> energy;
    double step_s = 0;
    double start_s = 0;
    double group_delay_s = 0; ///< by how much the filter advances this response: mean over its energy
};

/// The filtered response of one band as analytic signal, on a coarser grid for lower bands.
struct AnalyticBand {
    std::vector<Complex> samples; ///< the last `wrapped` ones lie before the response's first sample
    std::size_t wrapped = 0;
    double step_s = 0;
};

/// Transforms a response once and gives its bands one after another.
class BandFilterBank {
  public:
    /// `narrowest_hz`: bandwidth of the narrowest band that will be asked for; sets the room left for
    /// ringing.
    BandFilterBank(const Signal& response, double narrowest_hz);

    AnalyticBand analytic(const Band& band);
    /// Valid until the next call.
    const BandEnvelope& envelope(const Band& band);

    /// Sizes of the transforms for one band, and of the one for all: what any such analysis must pay.
    std::size_t forward_size() const { return forward_size_; }
    std::size_t inverse_size(const Band& band) const;

  private:
    struct Grid {
        double step_s;
        std::size_t wrapped;
    };
    Grid grid(std::size_t size) const;
    std::size_t fill(const Band& band, std::span<Complex> bins) const;
    double mean_group_delay_s(const Band& band, std::span<const Complex> bins, std::size_t used) const;

    double rate_hz_;
    std::size_t lead_; ///< samples kept free for what lies before the response
    std::size_t forward_size_;
    RealFft forward_;
    std::span<const Complex> spectrum_; ///< within forward_
    ComplexInverseFft inverse_;
    BandEnvelope envelope_; ///< kept, because fresh memory for every band costs as much as its transform
};

} // namespace ebbmark
