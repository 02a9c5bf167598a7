// SPDX-License-Identifier: GPL-3.0-or-later
// A sound device whose loudspeaker and microphone stand in a computed room. Same description, situation and
// signal: same recording.
#pragma once

#include "capture/device.hpp"
#include "capture/virtual_field.hpp"

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace ebbmark {

class VirtualRoom final : public SoundDevice {
  public:
    /// `name` is how the device calls itself, such as "virtual:demo-room.toml".
    VirtualRoom(RoomDescription room, std::string name, double rate_hz = 48000);

    std::string name() const override { return name_; }
    std::string output_name() const override { return name_; }
    int output_channel() const override { return 1; }
    double rate_hz() const override { return rate_hz_; }
    int inputs() const override { return room_.recorder.loopback ? 2 : 1; }
    bool simulated() const override { return true; }
    /// Throws Error(unusable) where the visit is unknown or a place lies outside.
    void set_up(const Situation& situation) override;
    using SoundDevice::play_and_record;
    /// Takes no time; the watcher is asked once. Throws Error(unusable) before set_up() or for another rate.
    Recording play_and_record(const Signal& output, const Watch& watch) override;

    const RoomDescription& description() const { return room_; }

    /// The air during a take, as a thermometer would show it.
    Air air(const Situation& situation) const;
    /// Where the microphone really stands: on its place at the first visit, otherwise put_back_m beside it.
    Point standing_microphone(const Situation& situation) const;

    /// The room's own response in a situation: no loudspeaker, no noise, no clock. The truth.
    Signal impulse_response(const Situation& situation);
    /// Its decay times, from the direct sound on.
    std::vector<TrueDecay> truth(const Situation& situation, const std::vector<Band>& bands);
    /// The damped modes of a visit up to `to_hz`, in the visit's air at its start.
    std::vector<DampedMode> true_modes(const std::string& visit, double to_hz);
    /// The room of a visit, in its air at the start.
    const VirtualField& field(const std::string& visit);

  private:
    std::vector<double> played_in_room(const Signal& output, const Situation& situation);

    RoomDescription room_;
    std::string name_;
    double rate_hz_;
    std::optional<Situation> situation_;
    struct VisitField {
        std::string visit;
        std::unique_ptr<VirtualField> field;
    };
    std::vector<VisitField> fields_;
};

} // namespace ebbmark
