// SPDX-License-Identifier: GPL-3.0-or-later
// An invented job whose visits hold invented responses: noise that falls evenly.
#pragma once

#include "../job/sample.hpp"
#include "work/analysed_job.hpp"

#include <random>

namespace ebbmark {

/// Progress that nobody watches.
class Unwatched : public Progress {
  public:
    void show(std::size_t, std::size_t, std::string_view) override {}
    void show(std::string_view) override {}
};

class ResponseJob {
  public:
    ResponseJob() : path_(sample::new_job(folder_)) {}

    /// One response at each of these positions, with this decay time.
    void measure(const std::string& visit, const std::vector<std::string>& positions, double t60_s,
                 const std::string& time) {
        for (const std::string& position : positions)
            keep(visit, position, response(t60_s), time);
    }

    /// This response, as a file.
    void keep(const std::string& visit, const std::string& position, const std::string& bytes,
              const std::string& time) {
        NewSound sound;
        sound.kind = SoundKind::response;
        sound.bytes = bytes;
        sound.original_name = "response.wav";
        sound.takes = {{position, false, 1, {}, true, {}}};
        JobFolder(path_, Access::write).keep(visit, sound, {time, "ebbmark test"});
    }

    void promise(const std::string& time) { JobFolder(path_, Access::write).promise({time, "ebbmark test"}); }

    /// What stands in job.toml from now on.
    void describe(std::string text, const std::string& from, const std::string& to) const {
        text.replace(text.find(from), from.size(), to);
        std::ofstream(path_ / "job.toml") << text;
    }

    AnalysedJob open() const { return AnalysedJob(path_, Access::read); }
    const std::filesystem::path& path() const { return path_; }

  private:
    /// 24 kHz, 20 ms of silence first; no two are the same.
    std::string response(double t60_s) {
        constexpr int rate_hz = 24000;
        std::normal_distribution<double> normal;
        std::vector<double> samples(static_cast<std::size_t>(1.5 * rate_hz));
        for (std::size_t n = 0; n < samples.size(); ++n) {
            const double t_s = static_cast<double>(n) / rate_hz - 0.02;
            samples[n] = 1e-6 * normal(random_);
            if (t_s >= 0)
                samples[n] += 0.1 * std::exp(-6.9078 * t_s / t60_s) * normal(random_);
        }
        return wav_bytes({samples}, rate_hz, SampleFormat::float32, "", "response.wav");
    }

    TestFolder folder_;
    std::filesystem::path path_;
    std::mt19937 random_{7};
};

} // namespace ebbmark
