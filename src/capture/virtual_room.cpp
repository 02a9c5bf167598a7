// SPDX-License-Identifier: GPL-3.0-or-later
#include "capture/virtual_room.hpp"

#include "base/error.hpp"
#include "capture/disturbance.hpp"
#include "capture/filters.hpp"
#include "signal/fft.hpp"
#include "signal/resampling.hpp"
#include "signal/samples.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace ebbmark {

namespace {

using std::numbers::pi;

constexpr double distortion_below_hz = 2000; // where a cone moves far; keeps the products below half the rate
constexpr int loudspeaker_order = 4;

std::string key_of(const Situation& at, std::string_view purpose) {
    return fmt::format("{} {} {} {:.3f} {:.3f} {:.3f}", purpose, at.visit, at.is_return, at.microphone[0],
                       at.microphone[1], at.microphone[2]);
}

double peak_dbfs(const Signal& signal) {
    const double peak = signal.size() == 0 ? 0 : std::abs(signal.samples[strongest(signal.samples)]);
    return 20 * std::log10(std::max(peak, 1e-10));
}

/// All times longer by `ratio`; as many samples as before.
std::vector<double> stretched(std::vector<double> samples, double ratio) {
    if (ratio == 1)
        return samples;
    auto result = resampled(samples, 1 / ratio);
    result.resize(samples.size());
    return result;
}

/// The loudspeaker's response relative to its band: fourth-order high-pass, second-order low-pass.
Complex loudspeaker_response(const VirtualLoudspeaker& loudspeaker, double hz) {
    return butterworth_high_pass(hz, loudspeaker.lowest_hz, loudspeaker_order) *
           butterworth_low_pass(hz, loudspeaker.highest_hz, 2);
}

/// Adds the spectrum of what a cone adds of its own: x² and x³ of the drive below 2 kHz. A full-scale sine
/// gets the stated shares of second and third harmonic.
void add_distortion(RealFft& fft, std::vector<Complex>& drive, double rate_hz,
                    const VirtualLoudspeaker& loudspeaker) {
    const double square = 2 * loudspeaker.second_harmonic_percent / 100;
    const double cube = 4 * loudspeaker.third_harmonic_percent / 100;
    if (square == 0 && cube == 0)
        return;
    const double step_hz = rate_hz / static_cast<double>(fft.size());
    auto low = drive;
    for (std::size_t bin = 0; bin < low.size(); ++bin)
        low[bin] *= butterworth_low_pass(static_cast<double>(bin) * step_hz, distortion_below_hz, 4);
    auto added = fft.inverse(low);
    for (double& x : added)
        x = square * x * x + cube * x * x * x;
    const auto spectrum = fft.forward(added);
    for (std::size_t bin = 0; bin < drive.size(); ++bin)
        drive[bin] += spectrum[bin];
}

} // namespace

const RoomVisit& RoomDescription::visit(std::string_view wanted) const {
    std::string names;
    for (const RoomVisit& known : visits) {
        if (known.name == wanted)
            return known;
        names += (names.empty() ? "" : ", ") + known.name;
    }
    throw Error(ErrorKind::unusable,
                fmt::format("the virtual room has no visit \"{}\"; it has: {}", wanted, names));
}

VirtualRoom::VirtualRoom(RoomDescription room, std::string name, double rate_hz)
    : room_(std::move(room)), name_(std::move(name)), rate_hz_(rate_hz) {}

void VirtualRoom::set_up(const Situation& situation) {
    room_.visit(situation.visit);
    for (const Point& place : {situation.source, situation.microphone})
        if (!room_.box().holds(place))
            throw Error(ErrorKind::unusable,
                        fmt::format("the place ({:.2f} m, {:.2f} m, {:.2f} m) lies outside the virtual room; "
                                    "correct the place or the room",
                                    place[0], place[1], place[2]));
    situation_ = situation;
}

Air VirtualRoom::air(const Situation& situation) const {
    const RoomVisit& visit = room_.visit(situation.visit);
    return {visit.celsius + visit.drift_kelvin * (situation.take - 1), visit.humidity_percent};
}

Point VirtualRoom::standing_microphone(const Situation& situation) const {
    if (!situation.is_return && situation.visit == room_.visits.front().name)
        return situation.microphone;
    Random random(seed_for(room_.seed, key_of(situation, "put back")));
    const double z = 2 * random.uniform() - 1, turn = 2 * pi * random.uniform();
    const double flat = std::sqrt(1 - z * z);
    const Point direction{flat * std::cos(turn), flat * std::sin(turn), z};
    Point place = situation.microphone;
    for (std::size_t axis = 0; axis < 3; ++axis)
        place[axis] =
            std::clamp(place[axis] + room_.put_back_m * direction[axis], 0.0, room_.box().edges_m[axis]);
    return place;
}

const VirtualField& VirtualRoom::field(const std::string& visit) {
    for (const VisitField& known : fields_)
        if (known.visit == visit)
            return *known.field;
    const Air start = air({visit, {}, {}, false, 1});
    const RoomState state = room_.visit(visit).traps ? RoomState::with_traps : RoomState::bare;
    fields_.push_back({visit, std::make_unique<VirtualField>(room_, state, start, rate_hz_)});
    return *fields_.back().field;
}

Signal VirtualRoom::impulse_response(const Situation& situation) {
    const VirtualField& room = field(situation.visit);
    Signal response = room.response(situation.source, standing_microphone(situation));
    // Warmer air is the same room with all times shorter: exact for the sound field, and the absorbers'
    // change over a fraction of a kelvin is far below 0.1 %.
    response.samples = stretched(response.samples, room.speed_of_sound() / speed_of_sound(air(situation)));
    return response;
}

std::vector<TrueDecay> VirtualRoom::truth(const Situation& situation, const std::vector<Band>& bands) {
    const double arrival_s =
        distance_m(situation.source, standing_microphone(situation)) / speed_of_sound(air(situation));
    return true_decays(impulse_response(situation), arrival_s, bands);
}

std::vector<DampedMode> VirtualRoom::true_modes(const std::string& visit, double to_hz) {
    return field(visit).modes(to_hz);
}

/// What reaches the microphone, in converter units, with the room's noise.
std::vector<double> VirtualRoom::played_in_room(const Signal& output, const Situation& situation) {
    const Signal response = impulse_response(situation);
    RealFft fft(fast_fft_size(output.size() + response.size()));
    const double step_hz = rate_hz_ / static_cast<double>(fft.size());
    auto spectrum = fft.forward(output.samples);
    add_distortion(fft, spectrum, rate_hz_, room_.loudspeaker);
    const auto room = fft.forward(response.samples);
    const double gain = std::pow(10, (room_.loudspeaker.level_at_1m_db - room_.recorder.full_scale_db) / 20);
    for (std::size_t bin = 0; bin < spectrum.size(); ++bin) {
        const double hz = static_cast<double>(bin) * step_hz;
        spectrum[bin] *= gain * loudspeaker_response(room_.loudspeaker, hz) * room[bin] *
                         std::polar(1.0, -2 * pi * hz * room_.recorder.latency_s);
    }
    Random random(seed_for(room_.seed, fmt::format("{} {}", key_of(situation, "noise"), situation.take)));
    add_noise(spectrum, rate_hz_, room_.noise, room_.recorder.full_scale_db, random);
    spectrum.back() = spectrum.back().real();
    auto samples = fft.inverse(spectrum);
    samples.resize(output.size());
    add_hum(samples, rate_hz_, room_.noise, room_.recorder.full_scale_db, random);
    for (const DoorSlam& slam : room_.slams)
        if (slam.visit == situation.visit && slam.take == situation.take)
            add_slam(samples, rate_hz_, slam, room_.recorder.full_scale_db, random);
    return samples;
}

Recording VirtualRoom::play_and_record(const Signal& output, const Watch& watch) {
    if (!situation_)
        throw Error(ErrorKind::unusable, "the virtual room does not know where source and microphone stand");
    if (output.rate_hz != rate_hz_)
        throw Error(ErrorKind::unusable, fmt::format("the virtual room runs at {} Hz, the signal at {} Hz",
                                                     rate_hz_, output.rate_hz));
    const double clock = 1 + room_.recorder.clock_ppm * 1e-6;
    Recording recording;
    recording.channels.push_back({stretched(played_in_room(output, *situation_), clock), rate_hz_});
    if (room_.recorder.loopback) {
        std::vector<double> loop(output.size());
        const std::size_t late = frames(room_.recorder.latency_s, rate_hz_);
        if (late < loop.size())
            std::copy(output.samples.begin(), output.samples.end() - static_cast<std::ptrdiff_t>(late),
                      loop.begin() + static_cast<std::ptrdiff_t>(late));
        recording.channels.push_back({stretched(loop, clock), rate_hz_});
    }
    for (Signal& channel : recording.channels)
        convert(channel.samples, room_.recorder.bits);
    if (!watch({output.duration_s(), output.duration_s(), peak_dbfs(recording.channels[0])}))
        recording.ending = Ending::interrupted;
    return recording;
}

} // namespace ebbmark
