// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

namespace ebbmark {

/// What the reader of a document wants; values come in SI.
enum class Units { metric, imperial };

} // namespace ebbmark
