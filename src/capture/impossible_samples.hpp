// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "capture/device.hpp"

namespace ebbmark {

/// A recording with samples that no converter makes (no number, infinite, or more than 60 dB above full
/// scale: memory that a driver never filled) has failed, with the mend as its fault. What is no finite number
/// is 0 from then on: files of sound cannot hold it.
void refuse_impossible_samples(Recording& recording);

} // namespace ebbmark
