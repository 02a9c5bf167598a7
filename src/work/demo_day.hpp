// SPDX-License-Identifier: GPL-3.0-or-later
// The whole job in a virtual room, step by step: a front end shows the pages between the steps.
#pragma once

#include "capture/virtual_room.hpp"
#include "results/demo_result.hpp"
#include "results/promise_input.hpp"
#include "results/proof_input.hpp"
#include "work/analysed_job.hpp"

#include <filesystem>
#include <optional>
#include <string>

namespace ebbmark {

/// Counts one position's band in its row, with the room's own decay there.
void add_to(std::vector<TruthRow>& truth, const std::string& visit, const BandDecay& measured,
            double true_t20_s);

class DemoDay {
  public:
    /// Makes the job's folder. Throws Error(unusable) where there is something already.
    explicit DemoDay(const std::filesystem::path& path);

    /// Every position and the return, the protocol that a careful person would have kept, and what was
    /// measured against the room's own decay. `visit` is "before" or "after".
    void measure(const std::string& visit, const Occasion& occasion, const std::string& today,
                 Progress& progress);
    /// The demo's prediction and the promise, between the visits.
    PromiseInput promise(const Occasion& occasion, Progress& progress);
    ProofInput proof(Progress& progress);

    const AnalysedJob& job() const { return *job_; }
    /// Whole after the proof.
    const DemoReport& report() const { return report_; }

  private:
    void open(); ///< anew: with the protocols as they lie there now

    std::filesystem::path path_;
    std::optional<AnalysedJob> job_;
    VirtualRoom room_;
    DemoReport report_;
};

} // namespace ebbmark
