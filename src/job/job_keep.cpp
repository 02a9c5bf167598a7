// SPDX-License-Identifier: GPL-3.0-or-later
// Adding evidence to a job.
#include "base/error.hpp"
#include "files/hash.hpp"
#include "files/toml.hpp"
#include "files/whole_file.hpp"
#include "job/job_folder.hpp"
#include "job/job_toml.hpp"
#include "job/layout.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>

namespace ebbmark {

namespace fs = std::filesystem;

namespace {

[[noreturn]] void refuse(std::string_view what, std::string_view mend) {
    throw Error(ErrorKind::unusable, fmt::format("{}; {}", what, mend));
}

std::string lower(std::string_view text) {
    std::string result(text);
    std::transform(result.begin(), result.end(), result.begin(),
                   [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    return result;
}

/// The ending of the original name, where it is a plain one: the file stays readable for other programs.
std::string ending_of(const std::string& original_name) {
    const std::string ending = lower(fs::path("x" + original_name).extension().string());
    const bool plain =
        ending.size() >= 2 && ending.size() <= 6 &&
        std::all_of(ending.begin() + 1, ending.end(), [](unsigned char c) { return std::isalnum(c); });
    return plain ? ending : ".wav";
}

/// File names need not be UTF-8; what cannot be written down is left out.
std::string writable_name(const std::string& name) {
    try {
        toml_quoted(name);
        return name;
    } catch (const Error&) {
        return "";
    }
}

/// A folder of ours; a link in its place would lead out of the job.
void make_real_folder(const fs::path& folder) {
    if (fs::is_symlink(folder))
        refuse(folder.string() + ": is a link", "replace it by the folder itself");
    make_folder(folder);
}

/// What a visit's protocol begins with.
std::string new_protocol(const Occasion& occasion, const JobDescription& job) {
    return visit_template(occasion.time.substr(0, 10), job.room.patches);
}

std::string fixed_toml(const FixedQuestion& fixed) {
    std::string text = fmt::format("[fixed]\nat = {}\n", toml_quoted(fixed.fixed_at));
    if (!fixed.promise.empty())
        text += fmt::format("promise = {}\n", toml_quoted(fixed.promise));
    if (fixed.acceptance)
        text += fmt::format("acceptance = {{at_least_percent = {}, of = \"question\"}}\n",
                            fixed.acceptance->at_least_percent);
    return text + "[question]\n" + to_toml(fixed.question);
}

} // namespace

void JobFolder::check_new(const std::string& visit, const NewSound& sound, const std::string& hash) const {
    check_visit_name(visit);
    for (const auto& [name, protocol] : visits_)
        if (name != visit && lower(name) == lower(visit))
            refuse(fmt::format("the visit \"{}\" differs from \"{}\" in capital letters only", visit, name),
                   "some disks cannot tell them apart: choose another name");
    if (!takes_.empty() && simulated() != sound.simulated)
        refuse(fmt::format("this job holds {} takes, and this one is {}", simulated() ? "simulated" : "real",
                           sound.simulated ? "simulated" : "real"),
               "they are never mixed: start another job");
    if (sound.takes.empty())
        refuse("no position was given", "say where the sound was recorded, such as S1-M1");
    if (sound.kind == SoundKind::recording && !sound.sweep && sound.excitation_bytes.empty())
        refuse("a recording needs its sweep", "give its description");
    for (const NewTake& asked : sound.takes)
        for (const Take& take : takes_)
            // What was brought in as the wrong kind of sound, and left out, may come again.
            if (take.sound_sha256 == hash && take.channel == asked.channel && take.segment == asked.segment &&
                (take.excluded_because.empty() || take.kind == sound.kind))
                refuse(fmt::format("{}, channel {}, is in the job already, as {}", sound.original_name,
                                   asked.channel, take.id()),
                       "the same sound counts once");
}

void JobFolder::start_visit(const std::string& visit, const Occasion& occasion) {
    make_real_folder(path_ / layout::visits);
    for (const std::string& folder :
         {layout::visit_folder(visit), layout::sounds_folder(visit), layout::takes_folder(visit)})
        make_real_folder(path_ / folder);
    if (visits_.contains(visit))
        return;
    write_whole(path_ / layout::visit_folder(visit) / layout::visit_file,
                new_protocol(occasion, description_), Overwrite::never);
    load_visits();
}

std::vector<TakeCalibration> JobFolder::stored_calibrations(const NewSound& sound,
                                                            std::map<std::string, std::string>& files) const {
    std::vector<TakeCalibration> calibrations;
    for (const NewCalibration& made : sound.calibrations) {
        calibrations.push_back(made.calibration);
        TakeCalibration& calibration = calibrations.back();
        calibration.file = fmt::format("{}/{}{}", layout::calibrations, calibration.sha256.substr(0, 16),
                                       ending_of(made.ending));
        if (!store_->manifest().contains(calibration.file))
            files[calibration.file] = made.bytes;
    }
    return calibrations;
}

void JobFolder::add_with_folders(const std::map<std::string, std::string>& files) {
    for (const auto& [path, bytes] : files)
        if (const fs::path folder = fs::path(path).parent_path(); !folder.empty())
            make_real_folder(path_ / folder);
    store_->add(files);
}

/// The file of a folder that holds this text: the last one there, or a new one, which then is among `files`.
EvidenceLine JobFolder::as_stood(const std::string& folder, const std::string& text,
                                 std::map<std::string, std::string>& files) const {
    const std::string hash = sha256(text);
    if (const auto last = last_in(store_->lines(), folder, store_->lines().size());
        last && last->sha256 == hash)
        return *last;
    const std::string path = next_in(store_->lines(), folder);
    files[path] = text;
    return {path, hash};
}

/// job.toml, and the protocols of visits with takes, where they are no more as they were kept last.
void JobFolder::keep_texts() {
    std::map<std::string, std::string> files;
    for (const auto& [visit, protocol] : visits_)
        if (first_position(takes_, visit))
            as_stood(layout::protocols_folder(visit), protocol_text(visit), files);
    as_stood(layout::descriptions, canonical_toml(description_), files);
    if (!files.empty())
        add_with_folders(files);
}

std::optional<DayDigits> JobFolder::show_digits(const Occasion& occasion) {
    const EvidenceLines& lines = store_->lines();
    const std::size_t noted = days_.empty() ? 0 : std::min(days_.back().lines, lines.size());
    const bool measured =
        std::any_of(lines.begin() + static_cast<std::ptrdiff_t>(noted), lines.end(),
                    [](const EvidenceLine& line) { return !layout::visit_of(line.path).empty(); });
    const auto changed = changed_since(lines.size());
    const bool protocol_changed = std::any_of(changed.begin(), changed.end(), [](const ChangedText& text) {
        return text.file != layout::job_file;
    });
    if (!days_.empty() && !measured && !protocol_changed)
        return days_.back();
    if (writable() && !takes_.empty())
        keep_texts();
    const auto newest = std::max_element(takes_.begin(), takes_.end(), [](const Take& a, const Take& b) {
        return a.made_at < b.made_at; // of lists of older jobs the order says nothing
    });
    DayDigits now{"", newest == takes_.end() ? "" : newest->visit, occasion.time, lines.size(),
                  digest_of_first(lines, lines.size())};
    if (now.visit.empty() || !writable())
        return now.visit.empty() ? std::nullopt : std::optional(now);
    add_with_folders({{next_in(lines, layout::days), to_toml(now)}});
    load_days();
    return days_.back();
}

std::string JobFolder::sound_path(const std::string& visit, const NewSound& sound,
                                  const std::string& hash) const {
    const std::string folder = layout::sounds_folder(visit) + "/";
    int last = 0;
    for (const auto& [path, listed_hash] : store_->manifest()) {
        if (!path.starts_with(folder))
            continue;
        if (listed_hash == hash)
            return path;
        last = std::max(last, std::atoi(path.c_str() + folder.size()));
    }
    return fmt::format("{}{:03}{}", folder, last + 1, ending_of(sound.original_name));
}

Take JobFolder::take_of(const std::string& visit, const NewSound& sound, const NewTake& asked,
                        const Occasion& occasion) const {
    Take take;
    take.visit = visit;
    take.position = parse_position(asked.position);
    const SourcePlace* source = description_.source(take.position.source);
    const MicrophonePlace* microphone = description_.microphone(take.position.microphone);
    if (!source)
        refuse(fmt::format("there is no {} in job.toml", take.position.source), "add it under [[source]]");
    if (!microphone)
        refuse(fmt::format("there is no {} in job.toml", take.position.microphone),
               "add it under [[microphone]]");
    const auto first = first_position(takes_, visit);
    if (asked.is_return && first != take.position)
        refuse(fmt::format("{} is not where the visit began", take.position.name()),
               first ? "measure the return at " + first->name()
                     : "measure the positions first, then the return");
    take.source = *source;
    take.microphone = *microphone;
    take.room = description_.room;
    take.is_return = asked.is_return;
    take.made_at = occasion.time;
    take.program = occasion.program;
    take.device = sound.device;
    take.simulated = sound.simulated;
    take.accepted = asked.accepted;
    take.checks = asked.checks;
    take.kind = sound.kind;
    take.original_name = writable_name(sound.original_name);
    take.recorded = writable_name(sound.recorded);
    take.channel = asked.channel;
    take.loopback_channel = sound.loopback_channel;
    take.segment = asked.segment;
    take.sweep = sound.sweep;
    return take;
}

FixedQuestion JobFolder::question_to_fix(const Occasion& occasion) const {
    if (promises_.empty())
        return {description_.question, description_.acceptance, occasion.time, ""};
    const StoredPromise& last = promises_.back();
    return {last.job.question, last.job.acceptance, last.made_at, last.file};
}

std::vector<std::string> JobFolder::keep(std::string_view visit_name, const NewSound& sound,
                                         const Occasion& occasion) {
    require_writable();
    const std::string visit(visit_name);
    const std::string hash = sha256(sound.bytes);
    check_new(visit, sound, hash);
    const std::string stored_sound = sound_path(visit, sound, hash);
    std::map<std::string, std::string> files;
    if (!store_->manifest().contains(stored_sound))
        files[stored_sound] = sound.bytes;
    const std::string stored_excitation =
        sound.excitation_bytes.empty()
            ? ""
            : fs::path(stored_sound).replace_extension().string() + "-excitation.wav";
    if (!stored_excitation.empty() && !store_->manifest().contains(stored_excitation))
        files[stored_excitation] = sound.excitation_bytes;
    const std::vector<TakeCalibration> calibrations = stored_calibrations(sound, files);
    const EvidenceLine protocol = as_stood(
        layout::protocols_folder(visit),
        visits_.contains(visit) ? protocol_text(visit) : new_protocol(occasion, description_), files);
    const EvidenceLine description = as_stood(layout::descriptions, canonical_toml(description_), files);
    std::vector<std::string> ids;
    for (const NewTake& asked : sound.takes) {
        Take take = take_of(visit, sound, asked, occasion);
        take.calibrations = calibrations;
        take.sound = stored_sound;
        take.sound_sha256 = hash;
        take.protocol = protocol.path;
        take.protocol_sha256 = protocol.sha256;
        take.description = description.path;
        take.description_sha256 = description.sha256;
        take.excitation = stored_excitation;
        take.excitation_sha256 = stored_excitation.empty() ? "" : sha256(sound.excitation_bytes);
        const auto taken = [&](const std::string& path) {
            return store_->manifest().contains(path) || files.contains(path);
        };
        while (taken(layout::take_file(visit, take.name())))
            ++take.number;
        const std::string path = layout::take_file(visit, take.name());
        files[path] = to_toml(take);
        take_from_toml(files[path], path); // what cannot be read back is not kept
        ids.push_back(take.id());
    }
    if (!is_before(visit) && !fixed_question_)
        files[layout::question_file] = fixed_toml(question_to_fix(occasion));
    start_visit(visit, occasion);
    add_with_folders(files);
    load_takes();
    if (files.contains(layout::question_file))
        fixed_question_ = question_to_fix(occasion);
    return ids;
}

void JobFolder::exclude(std::string_view id, std::string_view because, const Occasion& occasion) {
    require_writable();
    const Take& found = take(id);
    if (!found.excluded_because.empty())
        refuse(fmt::format("{} is left out already (\"{}\")", id, found.excluded_because),
               "nothing was done");
    if (because.find_first_not_of(" \t\r\n") == because.npos)
        refuse("no reason was given",
               "the proof shows the reason: say in a few words why the take is left out");
    store_->add(
        {{layout::exclusion_file(found.visit, found.name()), exclusion_toml(because, occasion.time)}});
    load_takes();
}

const StoredPrediction& JobFolder::store_prediction(const std::string& table, const std::string& name,
                                                    const Occasion& occasion) {
    require_writable();
    parse_prediction(table, name); // what cannot be read back is not kept
    const std::string hash = sha256(table);
    for (const StoredPrediction& earlier : predictions_)
        if (earlier.sha256 == hash)
            refuse(fmt::format("{} is stored already, since {}", name, earlier.stored_at),
                   "nothing was done");
    StoredPrediction stored;
    stored.stored_at = occasion.time;
    stored.original_name = writable_name(fs::path(name).filename().string());
    for (const auto& [visit, protocol] : visits_)
        if (std::any_of(takes_.begin(), takes_.end(),
                        [&measured = visit](const Take& take) { return take.visit == measured; }))
            stored.visits.push_back(visit);
    const std::string path = fmt::format("{}/{:03}", layout::predictions, predictions_.size() + 1);
    add_with_folders({{path + ".csv", table}, {path + ".toml", to_toml(stored)}});
    load_predictions();
    return predictions_.back();
}

const StoredPromise& JobFolder::promise(const Occasion& occasion) {
    require_writable();
    if (description_.traps.empty() && !fixed_question_)
        refuse(path_.string() + ": job.toml plans no trap",
               "add [[trap]] with its layers: they are promised");
    StoredPromise made;
    made.made_at = occasion.time;
    made.program = occasion.program;
    made.job = description_;
    if (const StoredPrediction* planned = last_planned(predictions_)) {
        made.prediction = planned->file;
        made.prediction_sha256 = planned->sha256;
    }
    if (!promises_.empty() && (fixed_question_ || same_promise(promises_.back(), made)))
        return promises_.back();
    if (fixed_question_)
        refuse(path_.string() + ": a visit after the build was measured already",
               "a promise made now would prove nothing; without one the proof says what was stored when");
    keep_texts(); // so that it lists them
    made.evidence = store_->manifest();
    const std::string path = fmt::format("{}/{:03}.toml", layout::promises, promises_.size() + 1);
    const std::string text = to_toml(made);
    stored_promise_from(text, path); // what cannot be read back is not kept
    add_with_folders({{path, text}});
    load_promises();
    return promises_.back();
}

} // namespace ebbmark
