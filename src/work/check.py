# SPDX-License-Identifier: GPL-3.0-or-later
"""Does an evaluation again without the program that made it: python3 check.py [UNPACKED BUNDLE, or where this lies]
 1. holds every file against bundle.sha256 and job/evidence.sha256, and looks for files that are in neither;
 2. divides each recording by its sweep, as the take describes it (imported responses are used as they are);
 3. measures decay times: band filter, noise subtracted, backward integration, a straight line;
 4. averages ln(after/before) over the positions, then over the question's bands, each by its bandwidth;
 5. holds these changes, the question's and those of its bands, against the proof's figures in findings.json.
It does not make the intervals, nor take out hum, clock drift, disturbances and loopback, which change little, nor
correct for air, which is nothing below 1 kHz. Exit code: 0 agrees, 1 differs, 3 cannot be checked."""
import hashlib, json, sys, warnings
from pathlib import Path
try:
    import tomllib
    import numpy as np
    from scipy import fft, optimize, signal
    from scipy.io import wavfile
except ImportError as error:
    sys.exit(print(f"cannot check: {error}. It needs Python 3.11 or newer, numpy and scipy.") or 3)

LINE_DB = {"t20": (-5, -25), "t30": (-5, -35)}  # the noise at least 10 dB lower: ISO 3382-1, 5.3.3
LEAST_BT = 4  # bandwidth times decay time that a filter run backwards can show: ISO 3382-2, 7.3
AGREES = 0.1  # of the width of the interval that the proof prints, in the question and in each of its bands

def file_faults(root):
    """1. Sentences on files that are changed, missing or not listed."""
    known = {"bundle.sha256"}
    for name in ("bundle.sha256", "job/evidence.sha256"):
        for line in (root / name).read_text("utf-8").rstrip("\n").split("\n"):
            digest, path = line.split(maxsplit=1)
            file = (root / name).parent / path
            known.add(file.relative_to(root).as_posix())
            if digest != "#" and not file.is_file():  # after a # stands the list's own hash
                yield f"{path} is in {name}, and missing here."
            elif digest != "#" and hashlib.sha256(file.read_bytes()).hexdigest() != digest:
                yield f"{path} was changed: its SHA-256 is not that in {name}."
    for file in sorted(root.rglob("*")):
        path = file.relative_to(root).as_posix()
        derived = path.startswith("job/results/") or path == "job/.lock"  # what the program leaves at work
        if not (file.is_dir() or path in known or derived):
            yield f"{path} is not in bundle.sha256."

def sweep_samples(sweep, rate):  # exponential, with raised-cosine fades
    t = np.arange(round(sweep["seconds"] * rate)) / rate
    per_e = sweep["seconds"] / np.log(sweep["stop_hz"] / sweep["start_hz"])
    x = np.sin(2 * np.pi * sweep["start_hz"] * per_e * np.expm1(t / per_e) + sweep["phase_rad"])
    for fade_s, inside_s in ((sweep["fade_in_s"], t), (sweep["fade_out_s"], sweep["seconds"] - t)):
        x *= 0.5 - 0.5 * np.cos(np.pi * np.minimum(inside_s / max(fade_s, 1 / rate), 1))
    return x

def divided(recording, sweep, rate, from_hz, to_hz):
    """The recording divided by the sweep; beyond its ends the divisor is held up, so that noise stays small."""
    size = fft.next_fast_len(len(recording) + len(sweep), real=True)
    x, hz = fft.rfft(sweep, size), fft.rfftfreq(size, 1 / rate)
    power, inside = np.abs(x) ** 2, (hz > from_hz) & (hz < to_hz)
    level = np.median(power[inside] * hz[inside]) / np.maximum(hz, 1)  # the sweep's own, as 1/frequency
    return fft.irfft(fft.rfft(recording, size) * x.conj() / np.maximum(power, 0.03 * level), size)

def response(job, take):
    """2. A take's sampling rate and impulse response, the mean over its sweeps."""
    of, sweep = take["sound"], take.get("sweep")
    if not of["file"].lower().endswith(".wav") or (of["kind"] == "recording" and not sweep):
        raise ValueError(f"{of['file']} is no WAV file, or its sweep is known by its samples only")
    rate, samples = wavfile.read(job / of["file"])
    samples = samples.reshape(len(samples), -1)[:, of["channel"] - 1].astype(float)
    from_s, to_s = of.get("segment_s", (0, len(samples) / rate))
    samples = samples[round(from_s * rate):round(to_s * rate)]
    if of["kind"] == "response":
        return rate, np.trim_zeros(samples, "b")
    circle = divided(samples, sweep_samples(sweep, rate), rate, sweep["start_hz"], sweep["stop_hz"])
    length, near = round(sweep["seconds"] * rate), round(0.01 * rate)
    period = round(sweep["repeat_period_s"] * rate) if sweep["repeats"] > 1 else len(samples)
    size = np.abs(circle[:len(samples) - length])
    found = [int(np.argmax(size))]  # the strongest direct sound, then those of the sweeps before and after it
    for way in (-period, period):
        at = found[0] + way
        while near < at < len(size) and size[at - near:at + near].max() > size[found[0]] / 2:
            found.append(at - near + int(np.argmax(size[at - near:at + near])))
            at = found[-1] + way
    span = np.arange(-round(0.3 * rate), min(period, len(samples) - max(found)) - length)
    return rate, np.mean([np.take(circle, at + span, mode="wrap") for at in found], axis=0)

def onset(samples, rate):
    """Index of the direct sound: 20 dB under the strongest sample, without a gap of 20 ms up to it."""
    peak = int(np.argmax(np.abs(samples)))
    loud = np.flatnonzero(samples[:peak + 1] ** 2 >= 0.01 * samples[peak] ** 2)
    return int(loud[np.append(True, np.diff(loud) > 0.02 * rate)][-1])

def tail(energy, step, width):
    """Decay and noise, level exp(-fall t) + noise, fitted to means over blocks; and where the two cross."""
    block = max(1, round(1 / width / step))
    means = energy[:len(energy) // block * block].reshape(-1, block).mean(axis=1) + 1e-30 * energy.max()  # never 0
    t = (np.arange(len(means)) + 0.5) * block * step
    peak, noise = int(np.argmax(means[:len(means) // 3 + 1])), means[-(len(means) // 10 + 1):].mean()
    end = peak + int(np.argmax(np.append(means[peak:], 0) < 4 * noise))
    slope, level = np.polyfit(t[peak:end], np.log(means[peak:end]), 1) if end - peak > 2 else (0, 0)
    if slope >= 0:
        return 0, 1, 0, 0
    log = np.array([level, np.log(-slope), np.log(noise)])
    for _ in range(5):  # what is fitted depends on the crossing, and the crossing on the fit: Lundeby 1995
        crossing = min((log[0] - log[2]) / np.exp(log[1]), t[-1])
        used = t >= max(t[peak], crossing - np.log(1000) / np.exp(log[1]))  # from 30 dB above it
        def misfit(p):  # of values that scatter as the energy of noise does, the gamma distribution
            ratio = means[used] / (np.exp(p[0] - np.exp(p[1]) * t[used]) + np.exp(p[2]))
            return np.sum(ratio - 1 - np.log(np.maximum(ratio, 1e-300)))
        log = optimize.minimize(misfit, log, method="Nelder-Mead", options={"xatol": 1e-6, "fatol": 1e-9}).x
    level, fall, noise = np.exp(log)
    return level, fall, noise, min(np.log(level / noise) / fall, len(energy) * step)

def decay_time(samples, rate, band, metric):
    """3. Seconds for 60 dB; NaN where the noise or the filter hides it."""
    step, width = 1 / rate, band[1] - band[0]
    pad = round(8 / width * rate)
    filter_of_band = signal.butter(3, band, "bandpass", fs=rate, output="sos")
    heard = signal.sosfilt(filter_of_band, np.append(samples[::-1], np.zeros(pad)))[::-1]  # run backwards
    energy = np.abs(signal.hilbert(heard, fft.next_fast_len(len(heard)))[:len(heard)]) ** 2
    before, after = np.split(energy, [pad + onset(samples, rate)])
    after = after[:len(after) - round(min(1.5 / width * rate, 0.2 * len(after)))]  # the filter starts there
    level, fall, noise, crossing = tail(after, step, width)
    if crossing <= 0:
        return np.nan
    end = min(max(1, round(crossing * rate)), len(after))
    rest = level * np.exp(-fall * end * step) / fall  # after the crossing the decay goes on as fitted
    curve = np.cumsum((after[:end] - noise)[::-1])[::-1] * step + rest  # Schroeder 1965, Chu 1978
    # What the filter moved before the onset was to come at the onset still: part of the curve's start.
    start = curve[0] + np.sum(before[-round(3 / width * rate):] - noise) * step
    reach = 10 * np.log10(start / (level * np.exp(-fall * crossing) / fall))
    decibels = 10 * np.log10(np.maximum(curve / start, 1e-30))
    first, last = (int(np.argmax(decibels <= limit)) for limit in LINE_DB[metric])
    if reach < 10 - LINE_DB[metric][1] or last - first < 3:
        return np.nan
    time = -60 / np.polyfit(np.arange(first, last) * step, decibels[first:last], 1)[0]
    return time if width * time >= LEAST_BT else np.nan

def decays(job, visit, bands, metric):
    """Decay times of all bands by place, the mean over its takes; returns and rejected takes are left out."""
    times = {}
    for path in sorted((job / "visits" / visit / "takes").glob("*[0-9].toml")):
        take = tomllib.loads(path.read_text("utf-8"))
        excluded = path.with_suffix(".excluded.toml").exists()
        if take["take"]["accepted"] and not take["take"]["return"] and not excluded:
            rate, samples = response(job, take)
            place = (take["source"]["id"], take["microphone"]["id"])
            times.setdefault(place, []).append([decay_time(samples, rate, band, metric) for band in bands])
    return {place: np.nanmean(of, axis=0) for place, of in times.items()}

def distances(root):
    """4. and 5. Prints all changes; how far each is from the findings, in widths of the interval, by name."""
    job, proof = root / "job", json.loads((root / "findings.json").read_text("utf-8"))
    fixed = tomllib.loads((job / "question.toml").read_text("utf-8"))
    asked, metric = fixed["question"], proof["question"]["metric"]
    if asked["kind"] != "bands" or proof["question"]["change_percent"] is None:
        raise ValueError("the question is not of bands, or the proof gives no change for it")
    rows = [row for row in proof["bands"]
            if row["change_percent"] is not None and asked["from"] <= row["nominal_hz"] <= asked["to"]]
    middle = 10 ** (np.round(10 * np.log10([row["nominal_hz"] for row in rows])) / 10)  # exact third octaves
    bands = np.transpose([middle * 10 ** -0.05, middle * 10 ** 0.05])
    before, after = (decays(job, proof[visit], bands, metric) for visit in ("before", "after"))
    plan = tomllib.loads((job / fixed["fixed"].get("promise", "job.toml")).read_text("utf-8"))
    listening = [microphone["id"] for microphone in plan["microphone"] if microphone.get("listening")]
    places = [place for place in before if place in after]
    places = [place for place in places if place[1] in listening] or places
    logs = np.log([after[place] / before[place] for place in places])
    same = np.isfinite(logs).sum(axis=0) == [row["positions"] for row in rows]
    mean = np.where(same, np.nanmean(logs, axis=0), np.nan)
    print(f"2. {'SIMULATED: ' * proof['simulated']}{metric.upper()}, {proof['after']} against {proof['before']}, mean over",
          *("-".join(place) for place in places))
    print("     band  here %  proof %       its interval  apart, in widths of the interval")
    apart = {}
    for row, log in zip([*rows, proof["question"]], [*mean, np.average(mean, weights=middle)]):
        name = f"{row['nominal_hz']:g} Hz" if "nominal_hz" in row else "question"
        proven, low, high = (row[f"change_{part}percent"] for part in ("", "low_", "high_"))
        apart[name] = abs(100 * np.expm1(log) - proven) / max(high - low, 1e-9)
        print(f"{name:>9} {100 * np.expm1(log):7.2f} {proven:8.2f} {low:8.2f} to {high:6.2f}  {apart[name]:.3f}")
    return apart

def main(root):
    if not any(root.glob("job/visits/*/sounds/*")):
        raise ValueError("no recordings in here. A redacted copy has none; ask for the whole bundle")
    faults = list(file_faults(root))
    print("1. Files:", *faults or ["as listed, and no others."], sep="\n   ")
    apart = {} if faults else distances(root)
    far = ", ".join(name for name in apart if apart[name] > AGREES)
    unknown = ", ".join(name for name in apart if np.isnan(apart[name]))
    if faults or far:
        print("differs:", f"{far}, by more than {AGREES}." if far else "the files, so nothing was measured.")
        return 1
    if unknown:
        raise ValueError(f"{unknown}: measurable at other positions than in the proof")
    print(f"agrees: at most {max(apart.values()):.3f} of the interval's width apart ({AGREES} allowed).")
    return 0

if __name__ == "__main__":
    warnings.simplefilter("ignore")  # unknown parts of WAV files, means over nothing
    try:
        sys.exit(main(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent))
    except Exception as error:
        print(f"cannot check: {error}.")
        sys.exit(3)
