// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

namespace ebbmark {

extern const char* const demo_room_toml;      ///< data/demo-room.toml
extern const char* const demo_job_toml;       ///< data/demo-job.toml
extern const char* const demo_prediction_csv; ///< data/demo-prediction.csv

} // namespace ebbmark
