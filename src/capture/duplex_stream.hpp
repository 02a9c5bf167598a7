// SPDX-License-Identifier: GPL-3.0-or-later
// One stream that plays and records at the same time.
#pragma once

#include "capture/device.hpp"
#include "capture/sound_system.hpp"

namespace ebbmark {

/// Plays `output` on one channel and records for as long: the microphone's channel, then the loopback's. One
/// callback copies samples between buffers that were made before; it takes no lock and no memory. Complete
/// means that all samples arrived, whatever the driver says. A stream that stands still for 3 s, or that its
/// driver ends, is a failed one; where closing it hangs, the sound system is given up. Throws Error(device)
/// where it cannot be opened.
Recording run_stream(SoundSystem& system, const DeviceChoice& choice, const Signal& output,
                     const Watch& watch);

} // namespace ebbmark
