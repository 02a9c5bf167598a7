// SPDX-License-Identifier: GPL-3.0-or-later
// What each kind of note reads like. Source: own output, read and judged; a changed word must be meant.
#include "proof/words/advice.hpp"
#include "proof/words/decay_notes.hpp"
#include "proof/words/forecast_notes.hpp"
#include "proof/words/job_notes.hpp"
#include "proof/words/recording_notes.hpp"
#include "proof/words/result_notes.hpp"
#include "proof/words/ringing_notes.hpp"
#include "proof/words/room_notes.hpp"
#include "proof/words/verdict_notes.hpp"
#include "proof/words/verify_notes.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <set>
#include <utility>
#include <variant>

using namespace ebbmark;

namespace {

/// Each note and its sentence; every kind of the variant must be among them, and no two of them are the same.
template <class AnyNote>
void check_every_kind(const std::vector<std::pair<AnyNote, std::string>>& cases) {
    std::set<std::size_t> kinds;
    for (const auto& [note, said] : cases) {
        CHECK(sentence(note) == said);
        kinds.insert(note.index());
        CHECK(std::count_if(cases.begin(), cases.end(),
                            [&](const auto& other) { return other.first == note; }) == 1);
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

TEST_CASE("every note on a recording has its sentence") {
    check_every_kind<RecordingNote>({
        {SweepsMissing{3, 4}, "3 of 4 sweeps are in the recording."},
        {SweepsLeftOut{2, 3}, "2 of 3 sweeps were used; the others are disturbed or differ."},
        {HumTakenOut{50, 7}, "Hum of the 50 Hz mains was taken out at 7 frequencies."},
        {ClockFromOneSweep{}, "The clocks' difference comes from a single sweep, to about 1 ppm: a "
                              "loudspeaker whose delay changes "
                              "with frequency looks alike."},
        {AirChanged{0.0171, 0.1},
         "Between the sweeps the sound in the room changed its speed by 0.017 %, as 0.1 degrees C do: taken "
         "out. Let ventilation and heating settle before the next take."},
        {ShortSweep{-54.2, 5},
         "The sweep is short: where the loudspeaker distorts by 3 % and the room rings for 0.6 s, the "
         "response is good to about -54 dB; sweeps of 5.0 s and more reach -62 dB."},
    });
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
        {NoBox{},
         "Modes are predicted in box-shaped rooms alone: job.toml gives no length, width and height."},
        {TooManyModes{153.2, 30},
         "The room is too large for a prediction mode by mode: about 153 modes lie below 30 Hz alone."},
        {ModesUntold{"the responses are silent"},
         "The modes of the visit before cannot be told: the responses are silent"},
        {ModesMayBeMissing{31, 200, 27, TrapsInside::no},
         "Of the 31 modes of the bare room below 200 Hz, 27 were computed without traps: strongly damped "
         "ones may be missing."},
        {ModesMayBeMissing{31, 200, 27, TrapsInside::yes},
         "Of the 31 modes of the bare room below 200 Hz, 27 were computed with the traps: strongly damped "
         "ones may be missing."},
        {ModesMayBeMissing{46, 200, 78, TrapsInside::yes},
         "Below 200 Hz the bare room has 46 modes, and 78 were computed with the traps: what the traps hold "
         "rings too, or some are counted twice."},
        {NoExactBox{{{{1, 0, 0}, 40.5, 41.83}, {{2, 0, 0}, 79.6, 83.66}}, 1.5, 22},
         "The room is not quite as described: modes lie more than 1.5 % off (1 0 0 at 40.5 Hz in place of "
         "41.8 "
         "Hz, 2 0 0 at 79.6 Hz in place of 83.7 Hz). A part that is not in job.toml, a slope or a wall out "
         "of "
         "square moves them, or a wall that resonates; single modes are 22 % less sure for it (one standard "
         "deviation)."},
        {DampingUnexplained{{60.5, 71}},
         "More than half of the damping before is not that of plain walls at 60.5, 71.0 Hz: a wall, a door "
         "or a "
         "window resonates there. What becomes of it when a trap stands before it is not modelled."},
    });
}

TEST_CASE("every note on a comparison has its sentence") {
    const Band band = bands_between(BandWidth::third, 63, 63).front();
    check_every_kind<VerdictNote>({
        {AcceptanceRule{20},
         "Agreed: at least 20 % shorter. Met where the whole one-sided 95 % interval lies beyond that, not "
         "met where it lies wholly short of it, else undecided (guard bands, JCGM 106)."},
        {BoundedByFilter{48.8},
         "After, the decay is shorter than the band filter can show: at least 49 % shorter than before."},
        {UpperBoundsEntered{1, 3},
         "At 1 of 3 positions the decay after is shorter than the band filter can show; they entered as "
         "upper bounds."},
        {PositionsLeftOut{1, Empty::noise}, "1 position without a value in both states left out (noise)."},
        {PositionsLeftOut{2, Empty::disturbed},
         "2 positions without a value in both states left out (disturbed)."},
        {NoInterval{},
         "One value in a state, and the states are not paired: no interval and no finding can be given."},
        {ConditionsDiffer{}, "The conditions of the two visits differ too much for a comparison."},
        {PredictionExact{}, "The prediction has no interval; it was taken as exact."},
        {AreaAsIfDiffuse{},
         "Added absorption as if diffuse: below the Schroeder frequency it belongs to this place, not to the "
         "trap alone."},
        {ModeWithoutDecay{41.8}, "The mode at 41.8 Hz has no decay time in both states."},
        {PredictedElsewhere{"S1-M1 S1-M2"},
         "The prediction is for other places (S1-M1 S1-M2); it is not held against the headline."},
        {PredictionNamesNoPlaces{}, "The prediction does not say which places it is for; it is held against "
                                    "those of the headline, as if it "
                                    "were for them."},
        {BandWithoutChange{band, false}, "63 Hz has no change and is left out of the question."},
        {BandWithoutChange{band, true},
         "63 Hz is left out of the question: after, its decay is shorter than the band filter can show, so "
         "the change is understated."},
        {ModesTogether{2}, "2 modes that cannot be told apart; what is said is of their mean."},
        {LostAfter{}, "Not found after: nothing is said of its decay there."},
        {ComesAndGoes{}, "It comes and goes when single positions are left out."},
        {HeldAtOnePlace{}, "Measured at one place: it holds for this place only."},
        {ModesLostAfter{3, 12}, "3 of 12 modes were not found after: their decay there is not measurable."},
        {ModesComeAndGo{2, 12},
         "2 of 12 modes come and go when single positions are left out: not measurable."},
        {RepeatsJoined{2, 1, 4, 2},
         "Repeats of one place count once: 2 responses before stand at one place, 4 after at 2 places."},
        {AlikeInBass{{"S1-M1", "S2-M1"}}, "Below 200 Hz S1-M1, S2-M1 have the same response (to 1 dB, before "
                                          "and after), as mirror images in a "
                                          "room have: there they count as one place."},
        {StatesNotPaired{},
         "The two states are not paired: their values are compared as two samples. Below 800 Hz the "
         "intervals allow for a loudspeaker that stood elsewhere after."},
        {OnePlaceOnly{true, true},
         "One place: what is found holds for this place only and says nothing of the room in general. The "
         "interval holds both fits, putting the microphone back as the return of this job shows it."},
        {OnePlaceOnly{false, false},
         "One place: what is found holds for this place only and says nothing of the room in general. The "
         "interval holds both fits, a microphone put back up to 5 cm beside its place (ln T20 0.023 to 0.048 "
         "in octaves, 0.035 to 0.083 in thirds, from the lowest to the highest, measured at 34 places of "
         "another room), and air that nobody recorded (±1 K, ±10 % relative humidity)."},
        {HeadlineWithReturn{},
         "The headline is the change at these positions: its interval holds the fit of each decay and the "
         "return of the microphone."},
        {ScatterStandsIn{},
         "No return was measured, so the scatter between positions stands in for the reproducibility: on the "
         "safe side."},
        {PredictionElsewhere{},
         "The prediction has none of the bands compared: compare with the band width and range of its "
         "table."},
    });
}

TEST_CASE("every note on a job and its visits has its sentence") {
    check_every_kind<JobNote>({
        {PlanDiffers{{{PlanPart::microphone, "M1"}, {PlanPart::trap, "rear wall"}},
                     "2026-11-25",
                     "promises/001.toml",
                     false,
                     "room"},
         "job.toml says otherwise now than what was promised on 2026-11-25 (promises/001.toml): the "
         "microphone place M1, the trap \"rear wall\"; make a new promise and give the client its page "
         "before "
         "the build, or put job.toml back: ebbmark promise room"},
        {PlanDiffers{{{PlanPart::question, ""},
                      {PlanPart::acceptance, ""},
                      {PlanPart::room, ""},
                      {PlanPart::source, "S1"}},
                     "2026-11-26",
                     "",
                     true,
                     "room"},
         "job.toml says otherwise now than what was fixed on 2026-11-26: the question, the acceptance, the "
         "room's size, parts or patches, the loudspeaker place S1; what was fixed counts, and the proof "
         "shows both; put "
         "job.toml back, and enter what was built in [trap.built]"},
        {PlanDoubt{"job.toml, line 3, column 1: trap[1]: stands before the door \"door\""},
         "see whether it is meant: job.toml, line 3, column 1: trap[1]: stands before the door \"door\""},
        {OnePlaceAlone{"S1-M1", 6},
         "S1-M1 is the only place: what is foretold or found from one loudspeaker and one microphone place "
         "holds for that place, not for the room; measure at two microphone places at least, better at 6 "
         "pairs"},
        {FewPositions{3, 6},
         "job.toml has 3 positions; with 6 or more the comparison can show smaller changes"},
        {BuiltToEnter{{"rear wall", "corner"}},
         "after the build, enter in [trap.built] what really stands there: rear wall, corner"},
        {NotTheDayOfBuild{"before", "2026-11-25"},
         "the visit \"before\" was on 2026-11-25: measure once more on the day of the build, before it "
         "begins, as a visit \"before-2\"; the difference is the drift without traps"},
        {StillBlank{PlanItem::title}, "still missing: job.title in job.toml"},
        {OnlyListeningPlaces{},
         "Every position is a listening place: there is no mean over the room, and with it no absorption, "
         "target or grade."},
        {OnePositionAlone{},
         "One position alone does not stand for the room; the interval is that of this position."},
        {AirAssumed{},
         "Temperature or humidity is blank in the visit's protocol: 20 °C and 50 % are assumed for what is "
         "missing."},
        {NoReturnMeasured{},
         "No return was measured: how well the result can be repeated is not known from this visit."},
    });
    CHECK(sentence(NotJudged::unknown_target) ==
          "This target is not known; write ITU-R BS.1116-3 or EBU Tech 3276 in job.toml.");
    CHECK(sentence(NotJudged::unknown_volume) ==
          "The limits depend on the room's volume, which is not known.");
}

TEST_CASE("everything that a job can lack has its words") {
    const Position first{"S1", "M1"}, second{"S1", "M2"};
    const Band band = bands_between(BandWidth::third, 50, 50).front();
    check_every_kind<Lack>({
        {PlanItem::title, "job.title in job.toml"},
        {PlanItem::room_size, "the room's length, width and height in job.toml"},
        {PlanItem::source, "a loudspeaker place, [[source]], in job.toml"},
        {PlanItem::microphone, "a microphone place, [[microphone]], in job.toml"},
        {NotMeasured{{first, second}}, "positions not measured: S1-M1, S1-M2"},
        {RangeTooShort{first, 31, band, 35, 6},
         "S1-M1 has 31 dB of decay range at 50 Hz, 35 are needed for T20: repeat with 6 sweeps, or louder"},
        {RangeTooShort{first, 20, band, 35, {}},
         "S1-M1 has 20 dB of decay range at 50 Hz, 35 are needed for T20: play louder or wait until the room "
         "is quieter, and repeat"},
        {TakeRejected{first, {{CheckName::clipping, "lower the level"}, {CheckName::hum, ""}}},
         "S1-M1 was rejected by its own checks (clipping: lower the level; hum): repeat it"},
        {TakeRejected{first, {}}, "S1-M1 was rejected by its own checks: repeat it"},
        {ReturnMissing{second}, "the return: move the microphone away, back to S1-M2, and measure again"},
        {ProtocolBlank{"before", {"room.doors", "room.windows"}},
         "in visits/before/visit.toml: room.doors, room.windows"},
        {VisitBeforeMissing{{first, second}}, "the visit before the build: S1-M1, S1-M2"},
        {VisitBeforeMissing{}, "a visit before the build, to compare with"},
        {VisitAfterMissing{}, "a visit after the build"},
        {EvidenceChanged{{{"a"}, {}, {}, {}}, "room"},
         "the evidence as it was kept (changed: a): ebbmark verify room tells more; restore these files "
         "from the copy on your second disk"},
    });
}

TEST_CASE("every step that next may propose has its words, with the command to type") {
    const Position first{"S1", "M1"};
    check_every_kind<Step>({
        {FillInPlan{"room"}, "fill in room/job.toml; the examples in it show how"},
        {MeasureBefore{"room", first},
         "record the sweep at each position and bring it in: ebbmark import room before RECORDING S1-M1 "
         "--sweep SWEEP.toml"},
        {NotYet{VisitAfterMissing{}}, "not yet: a visit after the build"},
        {CopyJob{"room", "d1"},
         "copy room to a second disk and check the copy there: ebbmark verify COPY --digest d1"},
        {KeepPrediction{"room"}, "keep a prediction: ebbmark predict room --keep"},
        {MakePromise{"room"},
         "make the promise and give the client the page before the build: ebbmark promise room"},
        {BuildAndMeasure{"room", first},
         "build the traps, then measure the same positions: ebbmark import room after RECORDING S1-M1 "
         "--sweep SWEEP.toml"},
        {CompareVisits{"room", "after"}, "see what changed: ebbmark compare room"},
        {CompareVisits{"room", "second"}, "see what changed: ebbmark compare room --to-visit second"},
        {ForecastAsBuilt{"room", {"rear wall", "door"}},
         "built otherwise than planned: rear wall, door; work out what was built, beside what was promised: "
         "ebbmark predict room --as-built --keep"},
        {MakeProof{"room"}, "make the pages for the invoice: ebbmark proof room"},
    });
}

TEST_CASE("every note on a whole result has its sentence") {
    const Measured noisy = Measured::none(Empty::noise);
    check_every_kind<Note>({
        {RecordingNote{SweepsMissing{3, 4}}, "3 of 4 sweeps are in the recording."},
        {JobNote{StillBlank{}}, "still missing: job.title in job.toml"},
        {RepairNote{KeepingFinished{"visits/before/sounds/001.wav"}},
         "finished keeping visits/before/sounds/001.wav, which was interrupted"},
        {Said{"The disk is full."}, "The disk is full."},
        {BroadcastInfo{"kitchen", "", "2026-11-25", "14:03:11", 0},
         "Recorded 2026-11-25 14:03:11, \"kitchen\" (as the recorder wrote it)."},
        {CurveFallsShort{{31.5, 63}},
         "The microphone's curve does not reach 31.5, 63 Hz; its last value was taken for the level there."},
        {NoCalibrator{},
         "Levels of noise are relative to full scale: without a calibrator nothing is known of sound "
         "pressure. Decay times need none."},
        {DriverReported{"input overflow", 1, 2},
         "The sound driver reported input overflow at 1.0 s, and 2 more. It may be wrong either way: what "
         "counts is the check of the recording itself for lost samples."},
        {DriverReported{"input overflow", 2.04, 0},
         "The sound driver reported input overflow at 2.0 s. It may be wrong either way: what counts is the "
         "check of the recording itself for lost samples."},
        {MadeElsewhere{},
         "An impulse response made elsewhere: its recording was not seen, so its quality was not checked."},
        {RestsOnListeningPlaces{2, 8},
         "The figures rest on the 2 positions at listening places, not on all 8."},
        {NewModes{{{41.76, 0.7}, {63.1, 0.512}}},
         "Modes after that were not told apart before: 41.8 Hz (T60 0.70 s), 63.1 Hz (T60 0.51 s)."},
        {EnergyLeft{{Measured::of(-4), Measured::of(-9.6), noisy},
                    {Measured::of(-8.2), Measured::of(-17), Measured::of(-25)}},
         "Energy left in 20 to 200 Hz after 100, 200 and 300 ms, mean over the positions: before -4 dB, -10 "
         "dB, not known (noise); after -8 dB, -17 dB, -25 dB."},
        {ModesNotCompared{{"the responses are silent"}},
         "Single modes are not compared: the responses are silent."},
        {DriftNotTold{"before", "before-2", true},
         "The visits before and before-2, both before the build, have no position in common: how much the "
         "room changes from visit to visit is not known from them."},
        {MeasuredOnce{{"S1", "M3"}, "after"},
         "Position S1-M3 was measured in visit after only and is left out."},
        {TrapsNotTold{"after-2", "after"},
         "The absorption is given in total only: the protocols do not tell which traps visit after-2 added "
         "to those of visit after ([room] traps in visit.toml)."},
        {KeptResponsesDiffer{{"results/one.wav"}},
         "One response kept in the job was not what the recording gives, and was not used: "
         "results/one.wav."},
        {KeptResponsesDiffer{{"results/one.wav", "results/two.wav"}},
         "2 responses kept in the job were not what the recording gives, and were not used: "
         "results/one.wav, results/two.wav."},
        {MadeFromKept{},
         "Made from the responses kept in results where they are there. A page, a file, JSON and CSV are "
         "made from the recordings themselves, as proof and bundle are."},
        {RecordingWaits{"rescued.toml"},
         "A recording waits in rescued.toml, made by a program that was ended before it was kept: the "
         "command in the file brings it in; then delete both."},
    });
}

TEST_CASE("everything that is put right in a job has its sentence") {
    check_every_kind<RepairNote>({
        {LockTakenOver{"process 7 on booth"},
         "cleared the lock of process 7 on booth, which ended without giving it back"},
        {KeepingFinished{"visits/before/sounds/001.wav"},
         "finished keeping visits/before/sounds/001.wav, which was interrupted"},
        {UnkeptRemoved{"visits/before/sounds/.unfinished-001.wav"},
         "removed visits/before/sounds/.unfinished-001.wav, left by a program that was ended before it was "
         "kept"},
        {HalfWrittenRemoved{"results/.ebbmark-7.part"},
         "removed results/.ebbmark-7.part, left by a program that was ended while writing"},
    });
}

TEST_CASE("all that a digest may cover has its words") {
    check_every_kind<Covered>({
        {CoveredPart::planned_traps, "planned traps"},
        {CoveredPart::question, "question"},
        {CoveredPart::acceptance, "acceptance"},
        {CoveredPart::places, "loudspeaker and microphone places"},
        {CoveredPart::room_size, "size of the room"},
        {CoveredPart::description, "job.toml without client, address and invoice"},
        {CoveredPart::protocols, "the protocols of all visits"},
        {CoveredPrediction{"predictions/001.csv"}, "prediction predictions/001.csv"},
        {CoveredFile{"days/001.toml"}, "days/001.toml"},
        {CoveredLines{10, 10}, "all 10 files of the evidence"},
        {CoveredLines{6, 10}, "the first 6 of 10 files of the evidence"},
        {CoveredDay{6, 10, "days/001.toml"}, "the first 6 of 10 files of the evidence, up to days/001.toml"},
    });
}

TEST_CASE("faults of the evidence are listed by their kind, and a refusal names them with the mend") {
    const EvidenceFaults faults{{"a", "b"}, {"c"}, {"job.toml"}, {}};
    CHECK(words_for(EvidenceFaults{}).empty());
    CHECK(words_for(faults) == "changed: a, b; missing: c; cannot be read: job.toml");
    CHECK(words_for(EvidenceFaults{{}, {}, {}, {"job.toml: two takes", "no traps"}}) ==
          "job.toml: two takes; no traps");
    CHECK(
        words_for(EvidenceNotIntact("room", {{}, {"c"}, {}, {}}, false)) ==
        "room: the evidence is not intact (missing: c); ebbmark verify room tells more. Restore these files "
        "from the copy on your second disk");
    CHECK(
        words_for(EvidenceNotIntact("room", {{}, {"c"}, {}, {}}, true)) ==
        "room: the evidence is not intact (missing: c); ebbmark verify room tells more. Restore these files "
        "from the copy on your second disk, or add --force: what is made then says first of all what "
        "differs");
}

TEST_CASE("every note on evidence, digests and bundles has its sentence") {
    check_every_kind<VerifyNote>({
        {Said{"job.toml, line 1: is no TOML"}, "job.toml, line 1: is no TOML"},
        {ListGone{},
         "Without the list of evidence nothing can be checked: restore it from the copy on your second "
         "disk."},
        {FolderIsLink{"visits"},
         "visits is a link: what it leads to is not in the job and is not copied with it. Put the folder "
         "itself in its place."},
        {KeepingUnfinished{},
         "A program was ended while it kept a take; the next command that writes to this job finishes it."},
        {HashesDiffer{"promises/001.toml", {"a.wav", "b.wav"}},
         "promises/001.toml was written with other hashes than evidence.sha256 has now, for: a.wav, b.wav."},
        {NotListed{"days/002.toml"},
         "days/002.toml is not in evidence.sha256, and this program lists such a file before it gives it its "
         "name: the list was changed, or the file put there by hand."},
        {DayDiffers{6, "2026-11-25", "days/001.toml"},
         "The first 6 lines of evidence.sha256 are not those whose digits were shown on 2026-11-25 "
         "(days/001.toml)."},
        {QuestionDiffers{"promises/001.toml"},
         "question.toml has another question or acceptance than promises/001.toml, which fixed it."},
        {DigestOfPromise{"2026-11-20", "promises/001.toml", 2, 4},
         "The digest is that of the promise made on 2026-11-20 (promises/001.toml). 2 of the 4 files kept by "
         "then are as they were."},
        {DigestOfRecord{true},
         "The digest is that of the job as it is now, as a record made of it bears it."},
        {DigestOfRecord{false},
         "The digest is that of the job as a record bears it that was made of it before more was kept."},
        {DigestOfDay{6, {}},
         "The digits are those of the first 6 lines of evidence.sha256. What they cover is as it was then, "
         "unless it is named above."},
        {DigestOfDay{6, DayShown{"2026-11-25", "before", "days/001.toml"}},
         "The digits are those of the first 6 lines of evidence.sha256. They were shown on 2026-11-25, after "
         "visit before (days/001.toml). What they cover is as it was then, unless it is named above."},
        {DigestOfFile{"visits/before/sounds/001.wav"},
         "The digest is that of one file of the evidence, visits/before/sounds/001.wav."},
        {SixteenDigits{},
         "Sixteen digits are few: who may change both sides can make two jobs that share them. Compare all "
         "64 where you can."},
        {DigitsMiscounted{20},
         "The digest given has 20 digits; documents show 32 or all 64, older invoice lines 16. Type it "
         "again, whole."},
        {DigestUnknown{"0123", true},
         "The digest given, 0123, is neither that of this job as it is now nor of a promise or a file in it. "
         "It is of another job, or of this one in another state: before a take was kept or left out, or "
         "before job.toml or a visit.toml was changed."},
        {DigestUnknown{"0123", false},
         "The digest given, 0123, is neither that of this job as it is now nor of a promise or a file in it. "
         "Mend first what is named above, then check again."},
        {BundleLacks{BundlePart::findings}, "A bundle holds its findings, and these are gone."},
        {BundleLacks{BundlePart::readme}, "A bundle holds its README, and this is gone."},
        {BundleLacks{BundlePart::list},
         "A bundle holds a list with the hash of every file, and this is gone."},
        {FindingsDiffer{"0.1.0"},
         "findings.json is not, byte for byte, what this program (Ebbmark 0.1.0) finds in the recordings. "
         "README.txt names the version that it says it was made with. To see where they differ: ebbmark "
         "compare job --format json."},
        {FindingsNotMade{{"there is no visit after"}},
         "findings.json could not be held against the recordings: there is no visit after"},
        {ReadmeOfAnother{}, "README.txt does not name the digest of the job beside it."},
        {NotAsListed{"check.py", false}, "check.py is not what it is in bundle.sha256."},
        {NotAsListed{"check.py", true}, "check.py is missing, and in bundle.sha256."},
        {PackedBeside{"another/job.toml"},
         "another/job.toml was packed beside the files that bundle.sha256 names; do not trust it."},
        {JobIsLink{}, "The folder job of this bundle is a link: what it leads to was not packed."},
        {SecondRoot{"another"},
         "another lies beside the folder job: a bundle has no other folder and no link. Do not trust it, and "
         "take it away."},
        {PackedOtherwise{"out.zip"},
         "out.zip is not, byte for byte, as this program packs these files: it was packed again or by "
         "another version, or something in it lies outside its files."},
    });
}
