// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/every_command.hpp"

#include <limits>

namespace ebbmark {

namespace {

constexpr std::size_t any = std::numeric_limits<std::size_t>::max();

// The words of --help stand here as they are printed.
constexpr Command table[] = {
    {"new", "plan", "JOB [OPTIONS]", "starts a job: a folder with a commented job.toml",
     R"(JOB is a folder that does not exist yet or is empty. Fill in job.toml: room, loudspeaker and microphone
places, the traps as planned, and the one question that the comparison is to answer. Then: ebbmark next JOB.
)",
     1, 1, declare_new, run_new},
    {"next", "plan", "JOB [OPTIONS]", "what is missing, what to do now, whether it is safe to leave the room",
     R"(Looks at the job and at every usable take of the visit under way. During a visit it says whether everything
needed is measured, and which positions and bands are not. Shows the digits of the day, for the client to photograph:
the hash of all evidence kept by now; keeps protocols and job.toml as they stand first, and notes that it did.
)",
     1, 1, declare_next, run_next},
    {"predict", "plan", "JOB or --trap TRAP.toml [OPTIONS]",
     "what the planned traps should do, band by band and mode by mode",
     R"(From the layers of [[trap]]: absorption at normal and random incidence of the face's finite size, with its 95 %
interval; and where the visit before is measured, the decay after: above the Schroeder frequency by statistics, below
it, in a box with its [[room.part]], from each mode with the traps in their places, bands up to 200 Hz in rooms up to
100 m3. What was worked out is taken again while nothing that it rests on has changed. --design tries changes of the
plan and other places for each trap in the same way, the likely best first; Ctrl-C ends it with what it has.
--keep keeps the forecast in the job with time and SHA-256; only what is kept before the visit after the build counts,
and the last one of those. Someone else's table: --store TABLE.csv with nominal_hz and predicted_s, or
added_absorption_m2; optionally predicted_low_s, predicted_high_s (added_absorption_low_m2,
added_absorption_high_m2), width, octave or third, before_s, u_before, u_wool, u_model (parts of its standard
uncertainty, as ln), and places (S1-M1 S2-M1), those that the bands are means over: the computed one is for the
places that the question is answered at, listening places where there are any. Rows with mode_hz in place of
nominal_hz are of modes.
After the build --as-built works out what [trap.built] says; with --keep the record shows it beside what was
promised. It explains and never counts as the prediction.

Cautions: porous traps of 20 cm do little below about 50 Hz; promise nothing there. Wool: gloves, goggles, dust mask;
fixing, fire load, distance to heaters and wiring follow local codes and licensed trades.

Example: ebbmark predict studio --keep
)",
     0, 1, declare_predict, run_predict},
    {"promise", "plan", "JOB [OPTIONS]", "the page for the offer, and its digest",
     R"(Fixes planned traps, question, acceptance rule and the kept prediction before the build, as evidence with its
SHA-256, and writes promise.pdf and promise.html with the sketch, the prediction with its intervals, what is not
promised, and cautions. Give the client the printed page: its 32 digits are checked later with ebbmark verify
--digest, and the proof prints them again. Called again it writes the same page; a changed plan, question or
prediction makes a new promise, and the last one before the visit after the build counts. Keep the prediction
first: ebbmark predict JOB --keep.

Example: ebbmark promise studio --paper a4
)",
     1, 1, declare_promise, run_promise},
    {"devices", "measure", "[OPTIONS]", "the sound devices that this computer offers",
     R"(Their numbers, drivers, names, channels and rates. --verbose adds what the drivers said, which helps where a
device is missing.
)",
     0, 0, declare_devices, run_devices},
    {"sweep", "measure", "OUT.wav [OPTIONS]", "writes the test signal and its description OUT.toml",
     R"(The signal is an exponential sine sweep, with half a second of silence before and two after it. Play it in
the room through one loudspeaker and record it at one microphone place; then: ebbmark deconvolve.
A band is measured only where the sweep reaches all of it: the 20 Hz third needs --from 17.7 or less.

Cautions: start quietly and raise the level in steps; wear hearing protection above 85 dB(A) and keep
everybody out of the room; never use headphones. Start at or above the loudspeaker's own lowest frequency:
below it the cone moves far and may be damaged. Prefer a longer sweep to a louder one.

Example: ebbmark sweep test.wav --from 30 --seconds 20
)",
     1, 1, declare_sweep, run_sweep, 0},
    {"level", "measure", "JOB --device NAME [OPTIONS]", "finds a safe and sufficient level",
     R"(Listens to the room's noise, then plays short sweeps from -48 dBFS upwards, 6 dB a step, never above --limit,
until the bands of the job's question reach 48 dB of decay range with two sweeps of 10 s, or the recording
clips, or distorts by more than 10 %. Proposes level, sweep and repeats, and keeps them in level.toml for take, one
for each output, output channel, loudspeaker (--source) and rate.

Cautions: hearing protection on, everybody out, neighbours told; amplifier down first. Ctrl-C ends the sound
at once. Local rules on noise and hearing decide.

Example: ebbmark level studio --device 3 --limit -20 --delay 20
)",
     1, 1, declare_level, run_level},
    {"take", "measure", "JOB VISIT POSITION --device NAME [OPTIONS]",
     "plays, records, checks and keeps a take",
     R"(Plays the sweep that level found at one position, records it, checks the recording and keeps it: accepted, or
rejected with what to do (exit code 5). --positions instead of POSITION walks through all that the visit lacks
and ends with the return. A fault of the device (4) or Ctrl-C (130) keeps what was recorded as a rejected take.
What was recorded is on the disk before it is examined; where the job cannot keep it, the message says where it
lies and which import brings it in.
Nothing is played louder than level found with this output, loudspeaker and rate, or below lowest in job.toml;
for another of them take asks for its own level. Wear hearing protection, or leave with --delay.

Example: ebbmark take studio before S1-M1 --device 3 --delay 20
)",
     2, 3, declare_take, run_take},
    {"deconvolve", "measure", "RECORDING --sweep S --response IR.wav [OPTIONS]",
     "one recording to one impulse response",
     R"(RECORDING is WAV, Broadcast Wave, RF64, FLAC or AIFF, 8 to 192 kHz, with extra time at either end as it
comes: unknown start, unknown gain, clocks up to 300 ppm apart. Repeats are averaged, a disturbed one left out;
two or more give the clock to 0.01 ppm, a single one to about 1 ppm. Harmonics of the loudspeaker are cut off,
hum is taken out or its bands are left empty. Each check shows its figure, its limit and what to do. Clipping,
lost samples and recordings with no measurable band end with exit code 5 and a flagged response; a recording
without the sweep in it, or coded with loss, is refused (exit code 3).

Example: ebbmark deconvolve take.wav --sweep test.toml --response response.wav --loopback 2
)",
     1, 1, declare_deconvolve, run_deconvolve},
    {"import", "measure", "JOB VISIT FILE POSITION... [OPTIONS]",
     "brings a recording or a response into a job",
     R"(FILE is copied into the job as it is, and never changed or replaced. With --sweep it is a recording of that
sweep, otherwise an impulse response made elsewhere. POSITION is a source and a microphone of job.toml, such
as S1-M1. Several positions: the file holds a take for each, in that order, with any time between them. Checks
as with deconvolve; an earlier visit tells when positions were mixed up, a loopback when the distance is wrong.
The first take of a visit starts the visit: fill in its visit.toml. At its end move the microphone
away and back to the first position, measure once more and add --return: that is how well positions repeat.

Example: ebbmark import studio before tape.wav S1-M1 S1-M2 S1-M3 --sweep test.toml
)",
     4, any, declare_import, run_import},
    {"exclude", "measure", "JOB TAKE --because TEXT [OPTIONS]", "leaves a take out of the results",
     R"(TAKE is VISIT/NAME, such as before/S1-M1-01. Nothing is deleted; the reason is part of the evidence.
)",
     2, 2, declare_exclude, run_exclude},
    {"decay", "analyse", "IR... or JOB --visit V [OPTIONS]", "decay times and clarity per band",
     R"(Bands after IEC 61260-1 (class 1), decay times and clarity after ISO 3382-1 and -2. EDT, T20, T30 in seconds;
non-linearity xi in per mille, curvature C in per cent; C50, C80 in dB, D50 in per cent, Ts in ms; the decay
range in dB. A cell is empty, with its reason, where the decay range or the filter cannot support it:
noise, filter, source, length, disturbed.

Example: ebbmark decay m1.wav m2.wav --bands third --from 25 --to 500 --picture decay.svg
)",
     1, any, declare_decay, run_decay},
    {"waterfall", "analyse", "IR or JOB --visit V --position P [OPTIONS]",
     "what is left of the sound over time, frequency by frequency: data and picture",
     R"(Cumulative spectral decay of one response, or with --after of two on one scale, side by side: level in dB against
the strongest at the onset, and per frequency the time of a fall by 60 dB in s. A window cannot show frequency
and time finer than the box in the picture; --window trades one for the other (0.1 to 2 s). One position shows
what is heard there; modes and their decay times come from ringing, all positions together.

Example: ebbmark waterfall before-1.wav --after after-1.wav --picture waterfall.png
)",
     1, 1, declare_waterfall, run_waterfall},
    {"ringing", "analyse", "IR... or JOB --visit V [OPTIONS]",
     "the room's modes and how long each rings, all positions together",
     R"(All files are one room at several positions, one loudspeaker signal, one sample rate. Each mode has one
frequency in Hz and one decay time T60 in s for all positions, with 95 % intervals. Several positions tell
modes apart that one cannot: with six, twice as many are found. Ranges in which neighbours cannot be told
apart are named (overlap), not guessed. --room names the modes (nx, ny, nz) where only one fits.
With --after each mode is paired by frequency and shape; neighbours that cannot be told apart are judged by
their mean, and each change's interval also holds what leaving out one position after the other does.
What may have a Q below 2 is taken for the loudspeaker's own roll-off: noted, not listed.

Example: ebbmark ringing m1.wav m2.wav m3.wav --room "4.1 x 3.3 x 2.6 m" --to 150
)",
     1, any, declare_ringing, run_ringing},
    {"compare", "prove", "JOB or --before IR... --after IR... [OPTIONS]",
     "what changed, by how much, how surely",
     R"(A job's visits pair position by position; files pair in the order given, the same positions before and after.
With a job the question comes first, then bands, room modes, the stored prediction, targets, the bass response
and clarity. Several visits after the build are each held against the first; [room] traps in their visit.toml
tells which traps stood there, and what each visit's new ones added.
Per band the logarithm of the ratio of
T20, its mean over the positions with the 95 % interval of the t distribution, and a finding: shorter, longer,
shown unchanged, no change shown, not measurable. The chance of any false shorter or longer is 5 % over all
bands and modes together. One pair speaks of that place only; repeats of
one place are recognised and count once. On a terminal a job's responses are those kept in results; a page, a file,
JSON and CSV are made from the recordings anew.

Example: ebbmark compare --before b1.wav b2.wav b3.wav --after a1.wav a2.wav a3.wav --page page.pdf
)",
     0, 1, declare_compare, run_compare},
    {"proof", "prove", "JOB [OPTIONS]", "the PDF and the HTML page that go with the invoice",
     R"(The before-and-after measurement record: first page for the client, the rest for whoever wants to check it.
Visits are chosen as by compare. Writes proof.pdf and proof.html into JOB/results, or into --into DIR; --data DIR
adds every table as CSV, every chart as SVG and PNG, all figures as JSON, the responses as WAV. Decay times in s,
changes in per cent with their 95 % intervals; good and bad news in the same words. --invoice-line prints one
sentence for the invoice and writes nothing. --redacted leaves out who and where, makes, devices and notes.
Every response is made anew from its recording. What the promise fixed counts as planned; where job.toml says
otherwise now, both are shown. Evidence that is not intact is refused, see ebbmark verify; --force makes the record
all the same and says so first of all. Same job, same bytes.

Example: ebbmark proof studio --paper a4 --data studio-data
)",
     1, 1, declare_proof, run_proof},
    {"bundle", "prove", "JOB OUT.zip [OPTIONS]",
     "everything that the client's engineer needs to repeat the evaluation",
     R"(Packs raw recordings, sweeps, settings, protocols, predictions and promises, the list of evidence, the findings as
JSON, and a README with the version and the commands that must give the same findings, byte for byte. check.py in it
does the evaluation again in 200 lines, with numpy and scipy alone: unpack, and run python3 check.py. bundle.sha256
lists the hash of every file. Results that can be made again stay out. The same job gives the same archive.
ebbmark verify works on it, packed or unpacked.
Every response is made anew from its recording. Evidence that is not intact is refused unless with --force.
It holds client, address and invoice as job.toml has them: hand it on accordingly.

Example: ebbmark bundle studio studio.zip
)",
     2, 2, declare_bundle, run_bundle, 1},
    {"verify", "prove", "JOB [OPTIONS]", "recomputes every hash: what was changed, added or lost",
     R"(Holds every file against evidence.sha256, and that list against the hashes that takes and promises bear. Exit
code 6 where something was changed, is missing or cannot be read, job.toml and visit.toml too. --digest takes the
digits that were shown, with or without blanks: of the client's promise, of a day, of a record, of an invoice line;
it says which they are, what they cover, and what was added, left out or changed since. Digits of no state of this
job are exit code 6 too. What job.toml and visit.toml have otherwise than when evidence was kept, or than was
promised, is named; files that nobody listed are, too. Works on a copy on any disk, and writes nothing. On a bundle, packed
or unpacked, it also holds findings.json against what the recordings give, and every file against bundle.sha256.

Example: ebbmark verify studio --digest "0a1b 2c3d 4e5f 6071 8293 a4b5 c6d7 e8f9"
)",
     1, 1, declare_verify, run_verify},
    {"demo", "learn", "[DIR] [OPTIONS]", "the whole job in a virtual room, from sweep to page",
     R"(Invents a small room, measures six positions and the return before the build and the same after it, compares,
writes the page into DIR/results and verifies the evidence. Everything from it is marked SIMULATED. The last
table puts what was measured beside the decay that the virtual room really has.
)",
     0, 1, declare_demo, run_demo},
};

} // namespace

std::span<const Command> commands() {
    return table;
}

} // namespace ebbmark
