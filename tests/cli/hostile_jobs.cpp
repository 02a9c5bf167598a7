// SPDX-License-Identifier: GPL-3.0-or-later
#include "hostile_jobs.hpp"

#include "files/audio_file.hpp"
#include "files/response_comment.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <numbers>

namespace ebbmark {

namespace {

/// What makes a job odd; as it stands, nothing.
struct Oddity {
    int sources = 2, microphones = 3, traps = 3;
    double after = 0.6;   ///< decay times after over those before
    double third = 0;     ///< the same in a third visit; 0: there is none
    double at_least = 20; ///< agreed; 0: nothing
    double noise = 1e-6;  ///< of full scale
    double drift = 0.02;  ///< of decay times, from place to place and visit to visit
    bool modes = true, dimensions = true, prediction = true, promise = true, built = false;
    bool spoiled = false; ///< one take rejected, one left out
    bool simulated = false;
    std::string title = "Booth, invented", client = "Nobody", contractor = "A workshop, invented";
    std::string trap = "trap";
};

Oddity oddity_of(const std::string& name) {
    Oddity odd;
    if (name == "one-position")
        odd.sources = odd.microphones = 1;
    if (name == "no-prediction")
        odd.prediction = odd.promise = false;
    if (name == "no-dimensions")
        odd.dimensions = false;
    if (name == "no-modes")
        odd.modes = false, odd.noise = 3e-3;
    if (name == "20-positions")
        odd.sources = 4, odd.microphones = 5;
    if (name == "12-traps")
        odd.traps = 12, odd.built = true;
    if (name == "long-names") {
        odd.title = "Gemeinschaftsübungsraum des Musikschulzweckverbandes Großniederösterreich im "
                    "Untergeschoss, Zwischengang C, hinter der Heizungskelleraußentreppe";
        odd.client = "Общество любителей бас-гитары «Низкие частоты» и 低音愛好会 <b>\"&\"</b>";
        odd.contractor = "Ακουστική Εταιρεία Χαμηλών Συχνοτήτων, invented";
        odd.trap = "Breitbandabsorber mit Mineralwollfüllung vor der Fensterleibung 低音トラップ";
    }
    odd.spoiled = name == "spoiled-takes";
    odd.simulated = name == "simulated";
    if (name == "no-change")
        odd.after = 1.0, odd.drift = 0.25;
    if (name == "not-met")
        odd.after = 0.93, odd.at_least = 40;
    if (name == "third-visit")
        odd.after = 0.8, odd.third = 0.5;
    return odd;
}

std::string toml_of(const Oddity& odd) {
    const auto quoted = [](std::string text) {
        for (std::size_t at = 0; (at = text.find('"', at)) != text.npos; at += 2)
            text.insert(at, 1, '\\');
        return '"' + text + '"';
    };
    const auto number = [](double value) { return std::to_string(value); };
    std::string text = "[job]\ntitle = " + quoted(odd.title) + "\nclient = " + quoted(odd.client) +
                       "\ncontractor = " + quoted(odd.contractor) + "\ninvoice = \"0000, invented\"\n";
    if (odd.at_least > 0)
        text += "acceptance = { at_least_percent = " + number(odd.at_least) + ", of = \"question\" }\n";
    text += "[question]\nkind = \"bands\"\nfrom = \"40 Hz\"\nto = \"200 Hz\"\n[room]\n";
    if (odd.dimensions)
        text += "length = \"4.6 m\"\nwidth = \"3.1 m\"\nheight = \"2.5 m\"\ntarget = \"EBU Tech 3276\"\n";
    for (int i = 1; i <= odd.sources; ++i)
        text += "[[source]]\nid = \"S" + std::to_string(i) + "\"\nat = [" + number(0.4 + 0.15 * i) + ", " +
                number(0.6 * i) + ", 1.1]\n";
    for (int i = 1; i <= odd.microphones; ++i)
        text += "[[microphone]]\nid = \"M" + std::to_string(i) + "\"\nat = [" + number(1.6 + 0.45 * i) +
                ", " + number(0.5 + 0.5 * i) + ", " + number(1.0 + 0.1 * i) +
                "]\nlistening = " + (i == 1 ? "true\n" : "false\n");
    const char* const walls[] = {"rear", "left", "right", "front"};
    for (int i = 0; i < odd.traps; ++i) {
        text += "[[trap]]\nname = " + quoted(odd.trap + " " + std::to_string(i + 1)) +
                "\nface_width = 0.8\nface_height = 1.2\n";
        text += i % 5 == 4 ? std::string("corner = [\"ceiling\", \"left\"]\n")
                           : "wall = \"" + std::string(walls[i % 4]) + "\"\n";
        text += "along = " + number(0.2 + 0.9 * (i / 4 % 3)) + "\nup = " + (i % 5 == 4 ? "0" : "0.3") +
                "\n[[trap.layer]]\nmaterial = \"air\"\nthickness = \"5 cm\"\n[[trap.layer]]\nmaterial = "
                "\"stone wool 45\"\nthickness = \"12 cm\"\n";
        if (odd.built && i % 3 == 0)
            text += "[trap.built]\nwool_mass = \"6.2 kg\"\n[[trap.built.layer]]\nmaterial = \"air\"\n"
                    "thickness = \"3 cm\"\n[[trap.built.layer]]\nmaterial = \"stone wool 45\"\n"
                    "thickness = \"10 cm\"\n";
    }
    return text;
}

/// Modes from 41 Hz up, the same at every place but for their strength, over noise that falls.
std::vector<float> response_of(const Oddity& odd, double factor, std::uint64_t seed) {
    constexpr double rate = 24000, onset_s = 0.02, ln1000 = 6.907755;
    std::vector<float> samples = decaying_noise(0.5 * factor, 1.6, 1, rate, seed);
    const std::vector<float> noise = decaying_noise(1e9, 1.6, 1, rate, seed + 1000);
    const double hz[] = {41.3, 55.8, 68.9, 83.2, 96.5, 113.7, 131.9, 152.4, 171.8, 193.1};
    for (int pass = 0; pass < 2; ++pass) // the noise stays out of the bass, where the modes are
        for (std::size_t n = samples.size() - 1; n > 0; --n)
            samples[n] = 0.7F * (samples[n] - samples[n - 1]);
    for (std::size_t n = 0; n < samples.size(); ++n) {
        const double t = static_cast<double>(n) / rate - onset_s;
        double sample = 0.3 * samples[n] + odd.noise * noise[n];
        for (int k = 0; odd.modes && k < 10 && t > 0; ++k) {
            const double strength =
                0.02 + 0.06 * std::abs(std::sin(1.7 * k + 2.3 * static_cast<double>(seed % 50)));
            const double drift = 1 + odd.drift * std::sin(12.9 * static_cast<double>(seed) + k);
            const double t60 = drift * (1.0 - 0.03 * k) * (k == 0 ? 0.5 * (1 + factor) : factor);
            sample += strength * std::exp(-ln1000 * t / t60) * std::sin(2 * std::numbers::pi * hz[k] * t);
        }
        samples[n] = static_cast<float>(sample);
    }
    return samples;
}

std::string sound_of(const Oddity& odd, const std::vector<float>& samples) {
    if (!odd.simulated)
        return float_wav(samples, 1, 24000);
    ResponseInfo info;
    info.simulated = true;
    info.source_from_hz = 20;
    info.source_to_hz = 11000;
    return wav_bytes({{samples.begin(), samples.end()}}, 24000, SampleFormat::float32, to_comment(info),
                     "test");
}

void require_done(const Workbench& bench, const std::vector<std::string>& words) {
    const Ran ran = bench.run(words);
    CAPTURE(words[0]);
    CAPTURE(ran.err);
    CAPTURE(ran.out);
    REQUIRE(ran.code == 0);
}

void measure(const Workbench& bench, const std::string& name, const Oddity& odd, const std::string& visit,
             double factor) {
    std::uint64_t seed = 7;
    const auto import = [&](const std::string& position, bool again) {
        // The same place in two visits: the same room, other noise.
        const auto file = bench.write(name + visit + position + (again ? "-return" : "") + ".wav",
                                      sound_of(odd, response_of(odd, factor * (again ? 1.01 : 1),
                                                                seed + (visit == "before" ? 0 : 50))));
        std::vector<std::string> words = {"import", bench.path(name), visit, file, position};
        if (again)
            words.push_back("--return");
        require_done(bench, words);
        std::filesystem::remove(file);
        ++seed;
    };
    for (int source = 1; source <= odd.sources; ++source)
        for (int microphone = 1; microphone <= odd.microphones; ++microphone)
            import("S" + std::to_string(source) + "-M" + std::to_string(microphone), false);
    import("S1-M1", true);
}

/// A recording that clips, and a good take that somebody leaves out.
void spoil(const Workbench& bench, const std::string& name) {
    const auto sweep = bench.path(name + "-sweep.wav");
    require_done(bench, {"sweep", sweep, "--from", "30", "--seconds", "2", "--repeats", "1"});
    std::vector<float> clipped;
    for (const double sample : read_audio(sweep).channel(1).samples)
        clipped.push_back(static_cast<float>(std::clamp(20 * sample, -1.0, 1.0)));
    const auto file = bench.write(name + "-clipped.wav", float_wav(clipped, 1, 48000));
    const Ran ran = bench.run({"import", bench.path(name), "after", file, "S1-M2", "--sweep", sweep});
    CAPTURE(ran.err);
    REQUIRE(ran.code == 5); // kept and flagged
    require_done(bench, {"exclude", bench.path(name), "after/S2-M2-01", "--because",
                         "a lorry drove past, as somebody noted <i>by hand</i>"});
}

void keep_prediction(const Workbench& bench, const std::string& name) {
    std::string table = "nominal_hz,width,predicted_s,predicted_low_s,predicted_high_s\n";
    for (const char* band : {"40", "50", "63", "80", "100", "125", "160", "200", "250", "315", "400", "500"})
        table += std::string(band) + ",third,0.55,0.48,0.63\n";
    require_done(bench, {"predict", bench.path(name), "--store", bench.write(name + "-p.csv", table)});
}

} // namespace

const std::vector<std::string>& hostile_jobs() {
#ifdef __SANITIZE_ADDRESS__
    // With sanitizers fits take many times as long: those whose documents differ most.
    static const std::vector<std::string> names = {"one-position", "no-dimensions", "spoiled-takes"};
#else
    static const std::vector<std::string> names = {
        "one-position", "no-prediction", "no-dimensions", "no-modes",  "20-positions", "12-traps",
        "long-names",   "spoiled-takes", "simulated",     "no-change", "not-met",      "third-visit"};
#endif
    return names;
}

std::vector<float> invented_response(double factor, std::uint64_t place) {
    return response_of({}, factor, place);
}

void make_hostile_job(const Workbench& bench, const std::string& name) {
    const Oddity odd = oddity_of(name);
    require_done(bench, {"new", bench.path(name)});
    bench.write(name + "/job.toml", toml_of(odd));
    measure(bench, name, odd, "before", 1);
    if (odd.prediction)
        keep_prediction(bench, name);
    if (odd.promise)
        require_done(bench, {"promise", bench.path(name)});
    measure(bench, name, odd, "after", odd.after);
    if (odd.third > 0)
        measure(bench, name, odd, "after-2", odd.third);
    if (odd.spoiled)
        spoil(bench, name);
}

} // namespace ebbmark
