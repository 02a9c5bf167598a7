// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/records/redaction.hpp"

#include "proof/text/numbers.hpp"
#include "proof/words/bundle_texts.hpp"

#include <algorithm>
#include <map>

namespace ebbmark {

namespace {

// Shorter words stand in sentences that tell nothing of anybody.
constexpr std::size_t least_telling = 4;

std::string hidden() {
    return std::string(texts::redacted_word);
}

/// Takes the words out of an input, and notes those that could stand in a sentence elsewhere.
class Hiding {
  public:
    explicit Hiding(ProofInput& input) : input_(input) {}

    void everything() {
        std::vector<JobDescription*> jobs = {&input_.job, &input_.described};
        if (input_.promise)
            jobs.push_back(&input_.promise->job);
        for (JobDescription* job : jobs)
            number_traps(*job), number_patches(job->room);
        for (JobDescription* job : jobs)
            description(*job);
        for (auto& [name, visit] : input_.visits)
            protocol(visit);
        for (Take& take : input_.takes)
            this->take(take);
        comparison(input_.comparison);
        for (const ProofPhoto& photo : input_.photos)
            note(photo.name);
        input_.photos.clear();
        // The longest first: a name may hold another.
        auto& words = input_.hidden_words;
        std::sort(words.begin(), words.end(), [](const std::string& a, const std::string& b) {
            return a.size() != b.size() ? a.size() > b.size() : a < b;
        });
        words.erase(std::unique(words.begin(), words.end()), words.end());
    }

  private:
    void note(const std::string& word) {
        if (word.size() >= least_telling && hidden().find(word) == std::string::npos)
            input_.hidden_words.push_back(word);
    }

    /// Blank stays blank: that something was not given is no secret.
    void hide(std::string& text) {
        if (text.empty())
            return;
        note(text);
        text = hidden();
    }

    /// Written by hand and plain, such as "closed": hidden where it stands, no search for it elsewhere.
    static void hide_plain(std::string& text) {
        if (!text.empty())
            text = hidden();
    }

    void number_traps(const JobDescription& job) {
        for (const JobTrap& trap : job.traps)
            numbers_.try_emplace(trap.name,
                                 fmt::format(fmt::runtime(texts::redacted_trap), numbers_.size() + 1));
    }

    void number_patches(const JobRoom& room) {
        for (const RoomPatch& patch : room.patches)
            patches_.try_emplace(patch.name, fmt::format(fmt::runtime(texts::redacted_patch),
                                                         patch_kinds[static_cast<std::size_t>(patch.kind)],
                                                         patches_.size() + 1));
    }

    /// Names such as "door" are plain words: hidden where they stand.
    std::string patch_number_of(const std::string& patch) const {
        const auto found = patches_.find(patch);
        return found == patches_.end() ? hidden() : found->second;
    }

    std::string number_of(const std::string& trap) {
        note(trap);
        const auto found = numbers_.find(trap);
        return found == numbers_.end() ? hidden() : found->second;
    }

    void description(JobDescription& job) {
        for (std::string* text : {&job.title, &job.client, &job.address, &job.contractor, &job.invoice})
            hide(*text);
        for (SourcePlace& source : job.sources)
            hide(source.photo);
        for (std::size_t i = 0; i < job.room.parts.size(); ++i)
            job.room.parts[i].name = fmt::format(fmt::runtime(texts::redacted_part), i + 1);
        for (RoomPatch& patch : job.room.patches)
            patch.name = patch_number_of(patch.name);
        job.doubts.clear();
        for (MicrophonePlace& microphone : job.microphones)
            hide(microphone.photo);
        for (JobTrap& trap : job.traps) {
            trap.name = number_of(trap.name);
            layers(trap.layers);
            if (trap.built)
                layers(trap.built->layers);
        }
    }

    void layers(std::vector<TrapLayer>& all) {
        for (TrapLayer& layer : all)
            if (std::find(input_.foreign_materials.begin(), input_.foreign_materials.end(), layer.material) !=
                input_.foreign_materials.end())
                hide(layer.material);
    }

    void protocol(VisitProtocol& visit) {
        for (std::string* text : {&visit.loudspeaker, &visit.microphone, &visit.recorder, &visit.notes})
            hide(*text);
        for (std::string* text : {&visit.loudspeaker_settings, &visit.doors, &visit.windows,
                                  &visit.ventilation, &visit.furniture}) {
            plain_.push_back(*text);
            hide_plain(*text);
        }
        for (std::string& trap : visit.traps)
            trap = number_of(trap);
        std::map<std::string, std::string> patches;
        for (auto& [name, state] : visit.patches) {
            plain_.push_back(state);
            hide_plain(state);
            patches[patch_number_of(name)] = state;
        }
        visit.patches = std::move(patches);
    }

    void take(Take& one) {
        hide(one.device);
        hide(one.original_name);
        hide_plain(one.recorded);
        hide_plain(one.excluded_because);
    }

    void comparison(CompareReport& report) {
        for (Condition& condition : report.comparison.conditions)
            if (const auto patch = patches_.find(condition.what); patch != patches_.end())
                condition.what = patch->second;
        for (Condition& condition : report.comparison.conditions)
            for (std::string* side : {&condition.before, &condition.after})
                if (by_hand(*side))
                    hide_plain(*side);
        if (report.prediction)
            note(report.prediction->table.name);
        for (TrapAbsorption& area : report.by_trap)
            for (std::string& trap : area.traps)
                trap = number_of(trap);
        for (CompareReport& earlier : report.earlier)
            comparison(earlier);
    }

    /// Whether a side of a condition is, or holds, what a protocol says in words.
    bool by_hand(const std::string& side) const {
        return std::any_of(plain_.begin(), plain_.end(), [&](const std::string& text) {
            return !text.empty() && side.find(text) != side.npos;
        });
    }

    ProofInput& input_;
    std::map<std::string, std::string> numbers_; ///< of traps, by name
    std::map<std::string, std::string> patches_; ///< numbers of patches, by name
    std::vector<std::string> plain_;
};

void hide_in(DocumentTable& table, const std::vector<std::string>& words) {
    table.caption = without_words(table.caption, words);
    table.key = without_words(table.key, words);
    for (DocumentRow& row : table.rows)
        for (std::string& cell : row.cells)
            cell = without_words(cell, words);
}

struct HideInPart {
    const std::vector<std::string>& words;

    void operator()(DocumentText& text) const { text.words = without_words(text.words, words); }
    void operator()(DocumentTable& table) const { hide_in(table, words); }
    void operator()(DocumentChart& chart) const {
        chart.caption = without_words(chart.caption, words);
        chart.description = without_words(chart.description, words);
        hide_in(chart.table, words);
    }
    void operator()(DocumentPhoto& photo) const { photo.caption = without_words(photo.caption, words); }
    void operator()(DocumentColumns& columns) const {
        for (DocumentColumns::Entry& entry : columns.entries)
            for (std::string& paragraph : entry.paragraphs)
                paragraph = without_words(paragraph, words);
    }
    void operator()(DocumentFacts& facts) const {
        for (auto& [name, value] : facts.entries)
            value = without_words(value, words);
    }
};

} // namespace

ProofInput redacted(ProofInput input) {
    input.redacted = true;
    Hiding(input).everything();
    return input;
}

std::string without_words(std::string text, const std::vector<std::string>& words) {
    for (const std::string& word : words)
        for (std::size_t at = 0; (at = text.find(word, at)) != text.npos; at += hidden().size())
            text.replace(at, word.size(), hidden());
    return text;
}

void hide_words(Document& document, const std::vector<std::string>& words) {
    for (std::string* text : {&document.title, &document.subtitle, &document.author})
        *text = without_words(*text, words);
    for (DocumentSection& section : document.sections) {
        section.heading = without_words(section.heading, words);
        for (DocumentPart& part : section.parts)
            std::visit(HideInPart{words}, part);
    }
}

void hide_words(Json& json, const std::vector<std::string>& words) {
    if (json.is_string())
        json = without_words(json.get<std::string>(), words);
    else if (json.is_structured())
        for (auto& each : json)
            hide_words(each, words);
}

} // namespace ebbmark
