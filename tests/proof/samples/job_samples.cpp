// SPDX-License-Identifier: GPL-3.0-or-later
#include "job_samples.hpp"

#include <cmath>

namespace ebbmark::samples {

std::string invented_hash(char digit) {
    return std::string(64, digit);
}

JobDescription job() {
    JobDescription job;
    job.title = "Invented rehearsal room";
    job.client = "Ada Invented";
    job.address = "1 Nowhere Street";
    job.contractor = "Invented Acoustics";
    job.invoice = "INV-7";
    job.acceptance = Acceptance{20};
    job.room.box = Box{{4.1, 3.3, 2.6}};
    job.room.volume_m3 = job.room.box->volume_m3();
    job.room.surface_m2 = job.room.box->surface_m2();
    job.sources = {{"S1", {0.6, 0.7, 1.2}, {}, "", {}}, {"S2", {0.5, 2.7, 0.6}, {}, "", {}}};
    job.microphones = {{"M1", {2.4, 1.65, 1.2}, {}, "", true},
                       {"M2", {1.9, 2.3, 1.35}, {}, "", false},
                       {"M3", {3.2, 0.95, 1.5}, {}, "", false}};
    const TrapLayer wool{"invented wool", 0.2, {}, 45, 12000, {}},
        cloth{"invented cloth", {}, {}, {}, {}, 20};
    job.traps = {{"rear wall", {1.2, 2.0, Wall::rear, {}, 1.05, 0.3}, false, {wool, cloth}, {}},
                 {"front corner", {0.6, 2.4, Wall::front, Wall::left, 0, 0.1}, true, {wool}, {}}};
    return job;
}

namespace {

StoredPromise promise() {
    StoredPromise promise;
    promise.file = "promises/001.toml";
    promise.sha256 = "0123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef";
    promise.made_at = "2026-11-20T09:00:00+01:00";
    promise.program = "ebbmark 0.1.0";
    promise.prediction = "predictions/001.csv";
    promise.prediction_sha256 = invented_hash('b');
    promise.evidence = {{"job.toml", invented_hash('1')},
                        {"predictions/001.csv", invented_hash('b')},
                        {"visits/before/sounds/S1-M1-01.wav", invented_hash('2')}};
    promise.job = job();
    return promise;
}

} // namespace

PromiseInput promise_input() {
    PromiseInput input;
    input.promise = promise();
    input.client = "Ada Invented";
    input.address = "1 Nowhere Street";
    input.invoice = "INV-7";
    StoredPrediction stored;
    stored.file = "predictions/001.csv";
    stored.sha256 = invented_hash('b');
    stored.stored_at = "2026-11-19T12:00:00+01:00";
    stored.visits = {"before"};
    input.visit_before = "before";
    input.places = {"S1-M1", "S2-M1"};
    input.positions = 6;
    for (const Band& band : bands_between(BandWidth::third, 40, 200)) {
        const double before_s = band.nominal_hz < 100 ? 1.0 : 0.8;
        input.before_s.emplace_back(band, Measured{before_s, 0.9 * before_s, 1.1 * before_s, {}});
        stored.prediction.bands.push_back({band.nominal_hz,
                                           {0.7 * before_s, 0.6 * before_s, 0.8 * before_s, {}},
                                           Measured::none(Empty::source),
                                           BandWidth::third});
    }
    input.prediction = stored;
    input.version = "0.1.0";
    return input;
}

PromiseInput promise_without_prediction() {
    PromiseInput input = promise_input();
    input.prediction.reset();
    return input;
}

namespace {

BandFinding shorter_band(const Band& band) {
    BandFinding finding;
    finding.band = band;
    finding.positions = 6;
    finding.before_s = 0.9;
    finding.after_s = 0.63;
    finding.change_percent = {-30, -38, -21, {}};
    finding.general_percent = {-30, -45, -10, {}};
    finding.could_show_percent = 14;
    finding.finding = Finding::shorter;
    finding.predicted_s = {0.6, 0.5, 0.7, {}};
    finding.against_prediction = AgainstPrediction::as_predicted;
    finding.added_area_m2 = {4.2, 3.1, 5.6, {}};
    return finding;
}

std::vector<BandFinding> band_findings() {
    std::vector<BandFinding> bands;
    for (const Band& band : bands_between(BandWidth::third, 31.5, 250))
        bands.push_back(shorter_band(band));
    BandFinding& lowest = bands.front(); // what the loudspeaker does not reach
    lowest = {};
    lowest.band = bands_between(BandWidth::third, 31.5, 31.5).front();
    lowest.change_percent = Measured::none(Empty::source);
    BandFinding& longer = bands[4]; // 80 Hz
    longer.after_s = 1.08;
    longer.change_percent = {20, 11, 30, {}};
    longer.finding = Finding::longer;
    longer.against_prediction = AgainstPrediction::less_than_predicted;
    longer.added_area_m2 = {-1.5, -2.4, -0.7, {}};
    longer.notes = {PositionsLeftOut{1, Empty::noise}};
    BandFinding& hidden = bands.back(); // 250 Hz
    hidden.after_s = hidden.could_show_percent = {};
    hidden.after_at_most_s = 0.19;
    hidden.change_percent = hidden.general_percent = Measured::none(Empty::filter);
    hidden.finding = Finding::not_measurable;
    hidden.predicted_s = {};
    hidden.against_prediction = AgainstPrediction::cannot_tell;
    hidden.added_area_m2 = Measured::none(Empty::filter);
    BandFinding& unshown = bands[bands.size() - 2]; // 200 Hz
    unshown.after_s = 0.87;
    unshown.change_percent = {-3, -17, 14, {}};
    unshown.could_show_percent = 21;
    unshown.added_area_m2 = {0.2, -1, 1.3, {}};
    unshown.finding = Finding::no_change_shown;
    unshown.against_prediction = AgainstPrediction::cannot_tell;
    return bands;
}

std::vector<ModeFinding> mode_findings() {
    const auto mode = [](double before_hz, double before_s) {
        ModeFinding finding;
        finding.mode.before_hz = before_hz;
        finding.mode.after_hz = before_hz - 0.2;
        finding.mode.pairing = 0.98;
        finding.mode.before_t60_s = {before_s, 0.9 * before_s, 1.1 * before_s, {}};
        finding.mode.after_t60_s = {0.5 * before_s, 0.45 * before_s, 0.55 * before_s, {}};
        finding.change_percent = {-50, -57, -42, {}};
        finding.finding = Finding::shorter;
        return finding;
    };
    std::vector<ModeFinding> modes;
    for (const auto& [hz, seconds] : {std::pair{41.8, 1.6},
                                      {52.0, 0.6},
                                      {63.1, 1.2},
                                      {78.4, 1.1},
                                      {81.2, 0.5},
                                      {95.0, 1.0},
                                      {104.6, 0.9}})
        modes.push_back(mode(hz, seconds));
    modes[0].mode.predicted_t60_s = {0.7, 0.6, 0.85, {}};
    modes[0].against = AgainstPrediction::as_predicted;
    ModeFinding& lost = modes[2]; // not found after
    lost.mode.after_hz = {};
    lost.mode.after_t60_s = Measured::none(Empty::overlap);
    lost.mode.after_t60_at_most_s = 0.31;
    lost.change_percent = Measured::none(Empty::overlap);
    lost.finding = Finding::not_measurable;
    return modes;
}

VisitTarget target_of(const std::string& visit, double decay_s) {
    VisitTarget target{visit, "ITU-R BS.1116-3", 0.176, {}, {}};
    for (const Band& band : bands_between(BandWidth::third, 80, 125)) {
        BandTarget one{band, {0.126, 0.4}, TargetFinding::above, Measured::of(decay_s)};
        if (decay_s < 0.4)
            one.finding = TargetFinding::inside;
        target.bands.push_back(one);
    }
    return target;
}

BassResponse bass_response() {
    BassResponse bass;
    bass.listening = true;
    bass.positions = {"S1-M1", "S2-M1"};
    const BassEvenness before{{48, 9.3}, {71, -14.1}, 5.6}, after{{50, 6.2}, {71, -9}, 4.1};
    bass.change.from_hz = 20;
    bass.change.to_hz = 200;
    bass.change.before = {before, before};
    bass.change.after = {after, after};
    bass.change.unevenness_before_db = 5.6;
    bass.change.unevenness_after_db = 4.1;
    bass.change.unevenness_change_db = {-1.5, -2.2, -0.8, {}};
    bass.change.spread_before_db = 3.4;
    bass.change.spread_after_db = 2.6;
    return bass;
}

std::vector<ClarityChange> clarity() {
    std::vector<ClarityChange> changes;
    for (const Band& band : bands_between(BandWidth::third, 100, 160)) {
        changes.push_back({band, "edt_s", 6, 0.8, 0.6, {-25, -33, -16, {}}});
        changes.push_back({band, "c50_db", 6, 2.1, 4.5, {2.4, 1.1, 3.7, {}}});
    }
    return changes;
}

QuestionFinding answer() {
    QuestionFinding question;
    question.text = "mean decay, third octaves 40 to 200 Hz";
    question.metric = Metric::t20;
    question.fixed = "in the promise of 2026-11-20";
    question.change_percent = {-31, -38.2, -22.9, {}};
    question.general_percent = {-31, -44, -15, {}};
    question.could_show_percent = 14;
    question.finding = Finding::shorter;
    question.places = {"S1-M1", "S2-M1"};
    PromiseAnswer promise;
    promise.promised_percent = {-30, -40, -20, {}};
    promise.came_percent = {-32, -39, -24, {}};
    promise.bands = bands_between(BandWidth::third, 50, 200);
    promise.missing = bands_between(BandWidth::third, 40, 40);
    promise.came = AgainstPrediction::as_predicted;
    promise.told_below_percent = 12;
    promise.promised_parts = PredictedParts{0.03, 0.06, 0.04};
    question.promise = promise;
    question.budget = UncertaintyBudget{{{UncertaintySource::fits, 0.03},
                                         {UncertaintySource::returns, 0.04},
                                         {UncertaintySource::drift, 0.02}},
                                        {-0.37, 0.053852, 14}};
    question.acceptance = AcceptanceFinding::met;
    question.notes = {BandWithoutChange{bands_between(BandWidth::third, 40, 40).front()}};
    return question;
}

} // namespace

CompareReport whole_comparison() {
    CompareReport report;
    report.before = "before";
    report.after = "after";
    report.before_files = {{"visits/before/sounds/S1-M1-01.wav", invented_hash('2')}};
    report.after_files = {{"visits/after/sounds/S1-M1-01.wav", invented_hash('3')}};
    report.volume_m3 = 35.178;
    report.prediction =
        PredictionSource{{"predictions/001.csv", invented_hash('b')}, "2026-11-19T12:00:00+01:00"};
    report.targets = {target_of("before", 0.9), target_of("after", 0.35)};
    report.bass_response = bass_response();
    Comparison& comparison = report.comparison;
    comparison.pairs = 6;
    comparison.places_before = comparison.places_after = 6;
    comparison.reproducibility_measured = true;
    comparison.prediction_stored_before = true;
    comparison.question = answer();
    comparison.bands = band_findings();
    comparison.modes = mode_findings();
    comparison.clarity = clarity();
    comparison.conditions = {{"air temperature", "21.0 °C", "23.5 °C", ConditionEffect::corrected,
                              "modes 0.4 % higher, corrected", 21.0, 23.5},
                             {"doors and windows", "closed", "closed", ConditionEffect::none, "none"}};
    comparison.notes = {HeadlineWithReturn{}};
    CompareReport between;
    between.before = "before";
    between.after = "between";
    between.comparison.pairs = 6;
    between.comparison.bands = band_findings();
    report.earlier = {between};
    const auto bands = bands_between(BandWidth::third, 100, 125);
    report.by_trap = {{"before",
                       "between",
                       {"rear wall"},
                       true,
                       {{bands[0], {2.0, 1.5, 2.5, {}}}, {bands[1], Measured::of(2.2)}}},
                      {"between",
                       "after",
                       {"front corner", "rear wall"},
                       false,
                       {{bands[0], {1.0, 0.2, 1.8, {}}}, {bands[1], Measured::none(Empty::noise)}}}};
    return report;
}

namespace {

VisitProtocol protocol(const std::string& date, double celsius) {
    VisitProtocol visit;
    visit.date = date;
    visit.temperature_start_c = celsius;
    visit.temperature_end_c = celsius + 0.5;
    visit.humidity_start_percent = 45;
    visit.loudspeaker = "invented loudspeaker";
    visit.microphone = "invented microphone";
    visit.doors = "closed";
    visit.persons = 1;
    return visit;
}

Take take(const std::string& visit, const std::string& position, int number) {
    Take take;
    take.visit = visit;
    take.position = parse_position(position);
    take.number = number;
    take.made_at = visit == "before" ? "2026-11-18T10:00:00+01:00" : "2026-11-25T10:00:00+01:00";
    take.device = "invented interface";
    take.sweep = Sweep{};
    take.checks = {{CheckName::clipping, 0, 0, "samples"}, {CheckName::disturbance, 12, 20, "sounds"}};
    return take;
}

/// Used, return, rejected, used with another level, left out.
std::vector<Take> takes() {
    std::vector<Take> all = {take("before", "S1-M1", 1), take("before", "S1-M1", 1),
                             take("after", "S1-M1", 1), take("after", "S1-M1", 2), take("after", "S1-M2", 1)};
    all[1].is_return = true;
    all[2].accepted = false;
    all[2].checks[0] = {CheckName::clipping,
                        31,
                        0,
                        "samples",
                        CheckOutcome::rejected,
                        "turn the gain down",
                        "nothing of it is used",
                        "31 samples at full scale"};
    all[3].sweep->level_dbfs = -6;
    all[3].checks[1] = {
        CheckName::disturbance, 26,       20, "sounds", CheckOutcome::widened, "wait for quiet",
        "50 Hz is left out",    "a lorry"};
    all[4].excluded_because = "a door was opened by Bob Invented";
    all[4].device = came_as_file;
    all[4].original_name = "bobs-garage.wav";
    all[4].recorded = "recorded by Bob Invented";
    return all;
}

VisitResult visit(const std::string& first) {
    VisitResult result;
    MeasuredPosition listening{parse_position(first), {first + "-01"}, 48000, {}, true};
    MeasuredPosition other{parse_position("S1-M2"), {"S1-M2-01"}, 48000, {}, false};
    result.positions = {listening, other};
    result.setup.grade = Grade::engineering;
    result.setup.pairs = 6;
    result.setup.sources = 2;
    result.setup.microphones = 3;
    result.statement.schroeder_hz = 301.6;
    return result;
}

/// A straight decay of `seconds` for 60 dB, in steps of 1 dB down to −50 dB.
std::vector<DecayPoint> straight_curve(double seconds) {
    std::vector<DecayPoint> curve;
    for (int level = 0; level >= -50; --level)
        curve.push_back({-level / 60.0 * seconds, static_cast<double>(level)});
    return curve;
}

/// Everything falls by 6 dB a slice, but one frequency by 1 dB.
Waterfall waterfall(double seconds) {
    Waterfall fall;
    for (int k = 0; k < 24; ++k)
        fall.hz.push_back(30 + 5.0 * k);
    for (int slice = 0; slice < 9; ++slice) {
        fall.time_s.push_back(0.1 * slice);
        std::vector<double> levels(fall.hz.size(), -6.0 * slice);
        levels[6] = -1.0 * slice; // 60 Hz
        fall.level_db.push_back(levels);
    }
    fall.decay_s.assign(fall.hz.size(), Measured::of(1));
    fall.decay_s[6] = Measured::of(seconds);
    fall.noise_db = -70;
    fall.resolution_hz = 3.1;
    fall.resolution_s = 0.16;
    return fall;
}

} // namespace

ProofInput proof_input() {
    ProofInput input;
    input.job = input.described = job();
    input.visits = {{"before", protocol("2026-11-18", 21)}, {"after", protocol("2026-11-25", 23.5)}};
    input.visits["after"].notes = "Bob Invented was there.";
    input.takes = takes();
    input.comparison = whole_comparison();
    input.before = visit("S1-M1");
    input.after = visit("S1-M1");
    input.shown_position = "S1-M1";
    input.waterfall =
        WaterfallReport{false, {{"before", 48000, waterfall(2)}, {"after", 48000, waterfall(1.5)}}};
    input.curves = {"before",
                    "after",
                    {{bands_between(BandWidth::third, 63, 63).front(), straight_curve(1.2),
                      straight_curve(0.6), Measured::of(1.2), Measured::of(0.6)}},
                    false};
    input.promise = promise();
    input.question_fixed_at = input.promise->made_at;
    input.since_promise = SincePromise{{}, {}, {"after/S1-M1-01", "after/S1-M2-01"}, {"after/S1-M2-01"}, {}};
    input.digits = {
        {"before", DayDigits{"days/001.toml", "before", "2026-11-18T18:00:00+01:00", 14, invented_hash('c')},
         true},
        {"after", {}, false}};
    JobTrap& trap = input.job.traps[0];
    trap.built = BuiltTrap{TrapPlace{1.2, 2.0, Wall::rear, {}, 0.8, 0.3}, {}, 8.4};
    input.described.traps[0].built = trap.built;
    input.photos = {{"corner.jpg", {"no picture, only bytes", 40, 30}, ""},
                    {"lost.jpg", {}, "it is no picture"}};
    input.evidence = {{"job.toml", invented_hash('1')},
                      {"visits/before/sounds/S1-M1-01.wav", invented_hash('2')},
                      {"visits/after/sounds/S1-M1-01.wav", invented_hash('3')}};
    input.verification.digest = invented_hash('d');
    input.verification.files = 23;
    input.verification.promises = {
        {input.promise->file, input.promise->sha256, input.promise->made_at, 3, 3}};
    input.responses_made = 12;
    input.version = "0.1.0";
    return input;
}

ProofInput proof_without_prediction() {
    ProofInput input = proof_input();
    CompareReport& report = input.comparison;
    report.prediction.reset();
    report.comparison.prediction_stored_before.reset();
    for (BandFinding& band : report.comparison.bands)
        band.predicted_s = {};
    for (ModeFinding& mode : report.comparison.modes)
        mode.mode.predicted_t60_s = {};
    report.comparison.question->promise.reset();
    return input;
}

ProofInput simulated_proof() {
    ProofInput input = proof_input();
    input.comparison.simulated = input.waterfall->simulated = input.curves.simulated = true;
    for (Take& take : input.takes)
        take.simulated = true;
    return input;
}

ProofInput proof_with_broken_evidence() {
    ProofInput input = proof_input();
    Verification& checked = input.verification;
    checked.intact = false;
    checked.changed = {"visits/after/sounds/S1-M1-01.wav"};
    checked.missing = {"predictions/001.csv"};
    checked.notes = {NotListed{"visits/after/takes/S1-M1-02.toml"}};
    checked.promises[0].held = 2;
    input.comparison.evidence_faults = evidence_faults(checked);
    return input;
}

} // namespace ebbmark::samples
