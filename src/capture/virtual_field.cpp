// SPDX-License-Identifier: GPL-3.0-or-later
#include "capture/virtual_field.hpp"

#include "base/error.hpp"
#include "base/random.hpp"
#include "capture/filters.hpp"
#include "forecast/finite_size.hpp"
#include "room/absorption.hpp"
#include "room/layers.hpp"
#include "room/modes.hpp"
#include "signal/fft.hpp"
#include "signal/samples.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace ebbmark {

namespace {

using std::numbers::pi;

// Butterworth pair of this order: |low|² + |high|² = 1, so that the two incoherent fields join without a
// step.
constexpr int crossover_order = 8;
// The modal part is solved up to this many times the crossover (−28 dB there) and faded out from the first.
constexpr double modal_fade_from = 1.25, modal_fade_to = 1.5;
// The response lasts so many times the longest statistical decay: axial modes decay up to 1.5 times slower.
constexpr double lengths_of_decay = 1.6;
// Faded out at its end, where the transforms leave what their filters did before the start.
constexpr double fade_out_s = 0.06;
constexpr int plane_waves = 16; // of the diffuse field; more change nothing in the decays
constexpr double diffuse_bands_from_hz = 20;

// A closed room answers a steady volume flow with a pressure that grows without end; the source gives up
// below this, by a high-pass of this order.
constexpr double subsonic_hz = 12;
constexpr int subsonic_order = 4;

Complex low_pass(Complex hz, double crossover_hz) {
    return butterworth_low_pass(hz, crossover_hz, crossover_order);
}

Complex high_pass(double hz, double crossover_hz) {
    return butterworth_high_pass(hz, crossover_hz, crossover_order);
}

/// Of the face, whose edges bend sound towards it, and of half of the sides where they are open.
double absorption_area_m2(const JobTrap& trap, double hz, const Medium& medium) {
    const auto layers = acoustic_layers(trap);
    const TrapPlace place = standing_place(trap);
    double area_m2 = place.face_m2();
    const OpenSides& open = trap.open_sides;
    for (const Layer& layer : layers)
        area_m2 +=
            ((open.left + open.right) * place.face_height_m + (open.top + open.bottom) * place.face_width_m) *
            layer.thickness_m / 2;
    return area_m2 * FiniteSample(place.face_width_m, place.face_height_m, hz, medium)
                         .absorption(LayerStack(layers, hz, medium));
}

Layer acoustic_layer(const JobTrap& trap, const TrapLayer& layer) {
    const auto needs = [&](std::string_view what) {
        throw Error(ErrorKind::unusable,
                    fmt::format("trap \"{}\": the layer \"{}\" needs {}", trap.name, layer.material, what));
    };
    const auto kind = layer_kind_named(layer.material);
    if (kind == LayerKind::cloth) {
        if (!layer.flow_resistance)
            needs("flow_resistance, such as \"150 Pa.s/m\"");
        return {LayerKind::cloth, 0, 0, *layer.flow_resistance};
    }
    if (!layer.thickness_m)
        needs("thickness, such as \"10 cm\"");
    if (kind == LayerKind::air)
        return {LayerKind::air, *layer.thickness_m, 0, 0};
    if (!layer.flow_resistivity)
        needs("flow_resistivity, such as \"8 kPa.s/m2\"");
    Layer wool{LayerKind::porous, *layer.thickness_m, *layer.flow_resistivity, 0};
    if (layer.dividers)
        wool.strips = strips_of(*layer.dividers, *layer.thickness_m);
    return wool;
}

/// Share of third-octave band `index` of `count` at a place counted in bands from the first. All bands add
/// up to 1: they are parts of one noise. They overlap their neighbours only; the outermost hold to the ends.
double band_share(double position, int index, int count) {
    const double place = std::clamp(position, 0.0, static_cast<double>(count - 1));
    return std::pow(std::cos(pi / 2 * std::min(1.0, std::abs(place - index))), 2);
}

std::vector<Band> diffuse_bands(double rate_hz) {
    return bands_between(BandWidth::third, diffuse_bands_from_hz, 0.45 * rate_hz);
}

double slope_s(const std::vector<double>& decay_db, double rate_hz, double from_db, double to_db) {
    double n = 0, st = 0, sl = 0, stt = 0, stl = 0;
    for (std::size_t i = 0; i < decay_db.size(); ++i) {
        if (decay_db[i] > from_db)
            continue;
        if (decay_db[i] < to_db)
            break;
        const double t = static_cast<double>(i) / rate_hz;
        n += 1, st += t, sl += decay_db[i], stt += t * t, stl += t * decay_db[i];
    }
    return -60 * (n * stt - st * st) / (n * stl - st * sl);
}

} // namespace

TrapPlace standing_place(const JobTrap& trap) {
    return trap.built && trap.built->place ? *trap.built->place : trap.place;
}

std::vector<CoveredWall> walls_covered_by(const JobTrap& trap, const Box& box) {
    double depth = 0;
    for (const Layer& layer : acoustic_layers(trap))
        depth += layer.thickness_m;
    return covered_walls(box, standing_place(trap), depth);
}

std::vector<Layer> acoustic_layers(const JobTrap& trap) {
    std::vector<Layer> layers;
    const bool as_built = trap.built && !trap.built->layers.empty();
    for (const TrapLayer& layer : as_built ? trap.built->layers : trap.layers)
        layers.push_back(acoustic_layer(trap, layer));
    return layers;
}

VirtualField::VirtualField(const RoomDescription& room, RoomState state, const Air& air, double rate_hz)
    : room_(room), state_(state), air_(air), rate_hz_(rate_hz), speed_of_sound_(ebbmark::speed_of_sound(air)),
      crossover_hz_(schroeder_hz(decay_s(250, RoomState::bare), room.box().volume_m3())),
      length_(fast_fft_size(frames(std::max(0.5, lengths_of_decay * longest_bare_decay_s()), rate_hz))),
      modal_(damped_room(), modal_fade_to * crossover_hz_) {
    const double step_hz = rate_hz_ / static_cast<double>(length_);
    std::vector<Complex> hz;
    for (int bin = 1; bin * step_hz < modal_fade_to * crossover_hz_; ++bin)
        hz.emplace_back(bin * step_hz);
    modal_.prepare(hz);
    for (const Band& band : diffuse_bands(rate_hz_))
        band_decays_s_.push_back(statistical_decay_s(band.exact_hz));
}

double VirtualField::longest_bare_decay_s() const {
    double longest = 0;
    for (const Band& band : bands_between(BandWidth::third, 25, 10000))
        longest = std::max(longest, decay_s(band.exact_hz, RoomState::bare));
    return longest;
}

double VirtualField::statistical_decay_s(double hz) const {
    return decay_s(hz, state_);
}

double VirtualField::decay_s(double hz, RoomState state) const {
    const Box& box = room_.box();
    const Medium medium = medium_of(air_);
    std::vector<AbsorbingArea> areas;
    for (std::size_t i = 0; i < all_walls.size(); ++i)
        areas.push_back({area_m2(box, all_walls[i]), at_frequency(room_.walls[i], hz)});
    if (state == RoomState::with_traps)
        for (const JobTrap& trap : room_.traps) {
            for (const CoveredWall& covered : walls_covered_by(trap, box))
                areas[static_cast<std::size_t>(covered.rectangle.wall)].area_m2 -=
                    covered.rectangle.area_m2();
            const double face_m2 = standing_place(trap).face_m2();
            areas.push_back({face_m2, absorption_area_m2(trap, hz, medium) / face_m2});
        }
    // Furniture has absorption, but no area of its own that would count among the surfaces.
    areas[0].alpha += at_frequency(room_.furniture_m2, hz) / areas[0].area_m2;
    return eyring_s(box.volume_m3(), areas, speed_of_sound_, air_attenuation_per_m(hz, air_));
}

DampedRoom VirtualField::damped_room() const {
    const Box box = room_.box();
    const double c = speed_of_sound_;
    const Medium medium = medium_of(air_);
    DampedRoom damped{box, c, {}, {}, {}};
    damped.wall_admittance = [walls = room_.walls](Wall wall, double hz) {
        return local_admittance(at_frequency(walls[static_cast<std::size_t>(wall)], hz));
    };
    damped.shared_damping_per_s = [furniture = room_.furniture_m2, air = air_, box, c](double hz) {
        return c * at_frequency(furniture, hz) / (8 * box.volume_m3()) +
               air_attenuation_per_m(hz, air) * c / 2;
    };
    if (state_ == RoomState::bare)
        return damped;
    for (const JobTrap& trap : room_.traps) {
        const auto layers = acoustic_layers(trap);
        for (const CoveredWall& covered : walls_covered_by(trap, box))
            damped.faces.push_back({covered.rectangle, [=](Complex hz) {
                                        return covered.face_share *
                                               (covered.corner_depth_m
                                                    ? corner_admittance(layers, hz, medium,
                                                                        *covered.corner_depth_m,
                                                                        covered.least_depth_m)
                                                    : surface_admittance(layers, hz, medium));
                                    }});
    }
    return damped;
}

void VirtualField::check_inside(const Point& point) const {
    if (!room_.box().holds(point))
        throw Error(
            ErrorKind::unusable,
            fmt::format("the place ({:.2f} m, {:.2f} m, {:.2f} m) lies outside the virtual room, which "
                        "is {:.2f} x {:.2f} x {:.2f} m; correct the place or the room",
                        point[0], point[1], point[2], room_.box().edges_m[0], room_.box().edges_m[1],
                        room_.box().edges_m[2]));
}

/// Damped modes with their quasi-static background and direct sound, through the crossover's low-pass: the
/// spectrum from bin 1 on.
std::vector<Complex> VirtualField::modal_part(const Point& source, const Point& microphone) const {
    const double step_hz = rate_hz_ / static_cast<double>(length_);
    auto spectrum = modal_.transfer(source, microphone);
    for (std::size_t i = 0; i < spectrum.size(); ++i) {
        const double hz = static_cast<double>(i + 1) * step_hz;
        const double faded = (hz / crossover_hz_ - modal_fade_from) / (modal_fade_to - modal_fade_from);
        const double fade = std::pow(std::cos(pi / 2 * std::clamp(faded, 0.0, 1.0)), 2);
        spectrum[i] *= fade * low_pass(hz, crossover_hz_);
    }
    return spectrum;
}

/// Sound that comes evenly from everywhere, with the initial power density 4πc/V of any point source that
/// puts 1 at 1 m, decaying band by band; not yet through the crossover. Neighbouring places see the same
/// plane waves, so that they differ as little as they should.
std::vector<double> VirtualField::diffuse_part(const Point& source, const Point& microphone) const {
    RealFft fft(length_);
    const double step_hz = rate_hz_ / static_cast<double>(length_);
    Random random(
        seed_for(room_.seed, fmt::format("diffuse {} {:.3f} {:.3f} {:.3f}", state_ == RoomState::with_traps,
                                         source[0], source[1], source[2])));
    std::vector<Complex> noise(fft.bins());
    for (int wave = 0; wave < plane_waves; ++wave) {
        const double z = 2 * random.uniform() - 1, turn = 2 * pi * random.uniform();
        const double flat = std::sqrt(1 - z * z);
        const double path =
            flat * std::cos(turn) * microphone[0] + flat * std::sin(turn) * microphone[1] + z * microphone[2];
        const Complex advance = std::polar(1.0, -2 * pi * step_hz * path / speed_of_sound_);
        Complex phase = 1;
        for (std::size_t bin = 1; bin + 1 < noise.size(); ++bin)
            noise[bin] += (phase *= advance) * random.normal_pair();
    }
    // Per-bin variance N/2 in each part gives unit variance per sample; then to the power density.
    const double arrival_s = distance_m(source, microphone) / speed_of_sound_;
    const double density = 4 * pi * speed_of_sound_ / room_.box().volume_m3() / rate_hz_;
    const double scale = std::sqrt(static_cast<double>(length_) / (2.0 * plane_waves) * density);
    const auto bands = diffuse_bands(rate_hz_);
    std::vector<double> result(length_), envelope(length_);
    std::vector<Complex> part(noise.size());
    for (std::size_t b = 0; b < bands.size(); ++b) {
        if (bands[b].exact_hz < crossover_hz_ / 2.5)
            continue; // below −60 dB behind the high-pass
        for (std::size_t bin = 1; bin + 1 < part.size(); ++bin) {
            const double thirds = 10 * std::log10(static_cast<double>(bin) * step_hz / bands[0].exact_hz);
            part[bin] =
                scale * noise[bin] * band_share(thirds, static_cast<int>(b), static_cast<int>(bands.size()));
        }
        const auto samples = fft.inverse(part);
        const double rate_per_s = 3 * std::numbers::ln10 / band_decays_s_[b];
        for (std::size_t n = frames(arrival_s, rate_hz_); n < length_; ++n)
            result[n] += samples[n] * std::exp(-rate_per_s * (static_cast<double>(n) / rate_hz_ - arrival_s));
    }
    return result;
}

Signal VirtualField::response(const Point& source, const Point& microphone) const {
    check_inside(source);
    check_inside(microphone);
    const double distance = std::max(0.1, distance_m(source, microphone)); // no nearer than a cabinet's front
    RealFft fft(length_);
    const double step_hz = rate_hz_ / static_cast<double>(length_);
    auto spectrum = fft.forward(diffuse_part(source, microphone));
    const auto modal = modal_part(source, microphone);
    for (std::size_t bin = 0; bin < spectrum.size(); ++bin) {
        const double hz = static_cast<double>(bin) * step_hz;
        const Complex direct = std::polar(1 / distance, -2 * pi * hz * distance / speed_of_sound_);
        Complex sum =
            high_pass(hz, crossover_hz_) * spectrum[bin] + (1.0 - low_pass(hz, crossover_hz_)) * direct;
        if (bin >= 1 && bin <= modal.size())
            sum += modal[bin - 1];
        spectrum[bin] = butterworth_high_pass(hz, subsonic_hz, subsonic_order) * sum;
    }
    spectrum.back() = 0; // the last bin of an even length is real
    Signal response{fft.inverse(spectrum), rate_hz_};
    const std::size_t fade = frames(fade_out_s, rate_hz_);
    for (std::size_t n = 0; n < fade; ++n)
        response.samples[length_ - 1 - n] *=
            std::pow(std::sin(pi / 2 * static_cast<double>(n) / static_cast<double>(fade)), 2);
    return response;
}

std::vector<DampedMode> VirtualField::modes(double to_hz) const {
    return ModalField(damped_room(), to_hz).damped_modes(to_hz);
}

std::vector<TrueDecay> true_decays(const Signal& response, double start_s, const std::vector<Band>& bands) {
    // Twice the length, so that the filter's ringing before the start does not come back at the end.
    RealFft fft(fast_fft_size(2 * response.size()));
    const double step_hz = response.rate_hz / static_cast<double>(fft.size());
    const auto spectrum = fft.forward(response.samples);
    const std::size_t start = frames(start_s, response.rate_hz);
    std::vector<TrueDecay> decays;
    for (const Band& band : bands) {
        auto filtered = spectrum;
        filtered[0] = 0;
        for (std::size_t bin = 1; bin < filtered.size(); ++bin) {
            const double ratio = static_cast<double>(bin) * step_hz / band.exact_hz;
            const double w = (ratio - 1 / ratio) * band.exact_hz / band.bandwidth_hz();
            filtered[bin] /= std::sqrt(1 + std::pow(w, 6));
        }
        auto curve = fft.inverse(filtered);
        curve.resize(response.size());
        double energy = 0;
        for (std::size_t n = curve.size(); n-- > start;)
            curve[n] = energy += curve[n] * curve[n];
        curve.erase(curve.begin(), curve.begin() + static_cast<std::ptrdiff_t>(start));
        for (double& value : curve)
            value = 10 * std::log10(value / energy);
        decays.push_back(
            {band, slope_s(curve, response.rate_hz, -5, -25), slope_s(curve, response.rate_hz, -5, -35)});
    }
    return decays;
}

} // namespace ebbmark
