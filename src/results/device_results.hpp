// SPDX-License-Identifier: GPL-3.0-or-later
// What `devices` and `level` find.
#pragma once

#include "base/bands.hpp"
#include "capture/level_search.hpp"
#include "signal/sweep.hpp"

#include <optional>
#include <string>
#include <vector>

namespace ebbmark {

struct DeviceRow {
    int number = 0;
    std::string host; ///< the driver's family
    std::string name;
    int inputs = 0, outputs = 0;
    double rate_hz = 0; ///< the rate that it prefers
    bool default_input = false, default_output = false;
};

struct DevicesReport {
    std::vector<DeviceRow> devices;
    std::vector<std::string> messages; ///< what drivers said, where it was asked for
};

struct LevelStepRow {
    double level_dbfs = 0;
    double peak_dbfs = 0;
    std::optional<double> least_range_db, most_distortion_percent;
};

struct LevelBandRow {
    Band band;
    double noise_dbfs = 0;
    std::optional<double> range_db, predicted_db;
    bool of_interest = false;
};

struct LevelReport {
    bool simulated = false;
    std::string job, device;
    std::string output; ///< the level holds for it, its channel and the loudspeaker at `source`
    int output_channel = 1;
    std::string source;
    LevelEnd end = LevelEnd::limit;
    double limit_dbfs = 0;
    double aimed_db = 0;
    std::vector<LevelStepRow> steps;
    std::vector<LevelBandRow> bands;
    std::optional<Sweep> sweep; ///< what is proposed
    double take_s = 0;          ///< length of one take with it
    int takes = 0;              ///< of a visit, the return with it
    std::string fault;
};

} // namespace ebbmark
