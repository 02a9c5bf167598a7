// SPDX-License-Identifier: GPL-3.0-or-later
// What each kind of note reads like. Source: own output, read and judged; a changed word must be meant.
#include "proof/words/decay_notes.hpp"
#include "proof/words/forecast_notes.hpp"
#include "proof/words/ringing_notes.hpp"
#include "proof/words/room_notes.hpp"

#include <doctest/doctest.h>

#include <set>
#include <utility>
#include <variant>

using namespace ebbmark;

namespace {

/// Each note and its sentence; every kind of the variant must be among them.
template <class AnyNote>
void check_every_kind(const std::vector<std::pair<AnyNote, std::string>>& cases) {
    std::set<std::size_t> kinds;
    for (const auto& [note, said] : cases) {
        CHECK(sentence(note) == said);
        kinds.insert(note.index());
    }
    CHECK(kinds.size() == std::variant_size_v<AnyNote>);
}

} // namespace

TEST_CASE("every note on a band's decay has its sentence") {
    check_every_kind<DecayNote>({
        {ShorterThanFilter{0.314},
         "The decay is shorter than the band filter can show (B·T below 4): at most 0.31 s."},
        {FiltersMayDisagree{17.6},
         "B·T is 18: below 64, two instruments with filters of the best class may disagree about this "
         "response."},
        {TwoSlopes{0.3, 1.204},
         "The decay has two slopes: 0.30 s early, 1.20 s late. No single decay time describes it."},
        {CrookedBeyondChance{12.4},
         "The decay leaves a straight line by more than chance (xi 12 per mille): another sound or a strong "
         "late reflection may lie within it. The decay time depends on where it is read; look at the curve."},
        {CrookedByFixedLimits{},
         "By the fixed limits of ISO 3382-2 the decay is not straight; with so few independent values in "
         "this band a single slope shows as much by chance."},
        {LaterDecayShorter{},
         "The later decay is shorter than the early one, which a room alone does not do by more than "
         "chance; the noise may have been removed from the recording before."},
        {SecondSound{0.25},
         "Another sound 0.25 s after the direct sound; only what lies before it was used."},
        {EndsBeforeNoise{}, "The recording ends before the decay reaches the noise."},
        {NoiseChanges{5.8}, "The noise changes by 6 dB during the recording."},
        {SteadyTone{}, "A steady tone (hum or a machine) sets the noise in this band."},
        {SourceFallsShort{}, "The test signal does not reach the whole of this band."},
        {NothingEmitted{},
         "The response holds no more here than at 8 to 16 Hz: the loudspeaker emitted nothing, and the "
         "noise was faded out."},
        {HumReaches{}, "Hum in the recording reaches this band and could not be taken out wholly."},
        {SoundWouldMove{}, "Another sound in the recording would move this band's decay by 1 % or more."},
    });
}

TEST_CASE("notes of several takes that read the same are said once") {
    CHECK(sentences(std::vector<DecayNote>{NoiseChanges{6}, SteadyTone{}, NoiseChanges{6.3}}).size() == 2);
    CHECK(sentences(std::vector<DecayNote>{NoiseChanges{6}, NoiseChanges{7}}).size() == 2);
}

TEST_CASE("every note on a room has its sentence") {
    check_every_kind<RoomNote>({
        {VolumeUnknown{},
         "The room's volume is not known, so there is neither a Schroeder frequency nor an absorption area."},
        {SurfaceUnknown{}, "The room's surface is not known, so there is no mean absorption coefficient."},
        {NoMidDecay{},
         "No decay time between 400 Hz and 1.25 kHz, so there is no Schroeder frequency; every absorption "
         "area is to be read as if diffuse."},
        {LongerThanAir{},
         "In some bands the decay is longer than the air alone allows: check the air's temperature and "
         "humidity, and the volume."},
    });
}

TEST_CASE("every reason against a higher grade of the set-up has its sentence") {
    check_every_kind<SetupNote>({
        {PairTooClose{"S1", "M2", 1, 1.527},
         "S1-M2 does not count: 1.00 m from source to microphone, 1.53 m are needed."},
        {GradeWantsMore{Grade::engineering, 6, Counted::pairs, 4},
         "The engineering grade wants 6 source-microphone pairs; 4 count."},
        {GradeWantsMore{Grade::precision, 2, Counted::sources, 1},
         "The precision grade wants 2 source places; 1 count."},
        {GradeWantsMore{Grade::survey, 2, Counted::microphones, 1},
         "The survey grade wants 2 microphone places; 1 count."},
        {PlacesTouch{},
         "A microphone touches a surface or stands where another one does: no grade holds at any frequency."},
        {NoGradeBelow{171.6},
         "Below 172 Hz no grade holds: half a wavelength between microphones or a quarter to the nearest "
         "surface is longer than the distances here."},
        {DistancesUnknown{},
         "Not all distances are known (places, volume or decay time are missing), so they could not all be "
         "checked."},
        {GradeWantsBands{Grade::engineering, bands_between(BandWidth::third, 50, 63)},
         "The engineering grade wants more bands than have a decay time; without one (Hz): 50, 63."},
    });
}

TEST_CASE("every note on measured modes has its sentence") {
    check_every_kind<RingingNote>({
        {MaybeLoudspeaker{2, {33.4, 41}}, "Not listed: what rings so briefly (Q below 2) that it may be the "
                                          "loudspeaker's own roll-off: 33 Hz, "
                                          "41 Hz."},
    });
}

TEST_CASE("every note on a forecast has its sentence") {
    check_every_kind<ForecastNote>({
        {ModesMayBeMissing{31, 200, 27, TrapsInside::no},
         "Of the 31 modes of the bare room below 200 Hz, 27 were found before: strongly damped ones may be "
         "missing."},
        {ModesMayBeMissing{31, 200, 27, TrapsInside::yes},
         "Of the 31 modes of the bare room below 200 Hz, 27 were found after: strongly damped ones may be "
         "missing."},
    });
}
