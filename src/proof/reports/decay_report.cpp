// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/reports/decay_report.hpp"

#include "proof/reports/band_rows.hpp"
#include "proof/text/guarded.hpp"
#include "proof/text/numbers.hpp"
#include "proof/words/decay_notes.hpp"
#include "proof/words/decay_texts.hpp"
#include "proof/words/table.hpp"
#include "proof/words/wording.hpp"

#include <fmt/format.h>

#include <set>

namespace ebbmark {

namespace {

std::string title_of(const DecayEntry& entry) {
    return fmt::format(fmt::runtime(texts::decay_title), plain_text(entry.file), entry.channel,
                       cell(entry.rate_hz, frequency_digits), cell(to_microsecond(entry.decay.onset_s)));
}

} // namespace

Json response_json(const DecayEntry& entry) {
    Json response = {{"file", entry.file},
                     {"channel", entry.channel},
                     {"rate_hz", json_number(entry.rate_hz, frequency_digits)},
                     {"onset_s", json_number(to_microsecond(entry.decay.onset_s), 15)}};
    response["bands"] = Json::array();
    for (const BandDecay& band : entry.decay.bands)
        response["bands"].push_back(band_json(band));
    response["notes"] = Json::array(); // on the whole response: none so far
    return response;
}

std::string response_text(const std::string& title, const ResponseDecay& decay) {
    std::string text = wrapped(title);
    if (decay.bands.empty())
        return text + std::string(texts::no_bands) + '\n';
    text += '\n' + band_table(decay.bands) + '\n';
    std::vector<BandNotes> notes;
    for (const BandDecay& band : decay.bands)
        notes.push_back({band.band, sentences(band.notes)});
    for (const std::string& note : grouped_notes(notes))
        text += wrapped(note, terminal_columns, 2);
    return text;
}

std::string to_json(const DecayReport& report) {
    Json json = json_object("decay", origin_of(report.simulated));
    json["responses"] = Json::array();
    for (const DecayEntry& entry : report.responses) {
        json["responses"].push_back(response_json(entry));
    }
    return json_text(json);
}

std::string to_csv(const DecayReport& report) {
    std::string csv = "file,channel,simulated," + band_csv_head() + '\n';
    for (const DecayEntry& entry : report.responses)
        for (const BandDecay& band : entry.decay.bands)
            csv += fmt::format("{},{},{},{}\n", csv_text(entry.file), entry.channel, report.simulated,
                               band_csv(band));
    return csv;
}

std::string to_text(const DecayReport& report) {
    std::string text = report.simulated ? std::string(texts::simulated_line) + "\n\n" : "";
    std::set<Empty> reasons;
    for (const DecayEntry& entry : report.responses) {
        text += response_text(title_of(entry), entry.decay) + '\n';
        reasons.merge(reasons_in(entry.decay.bands));
    }
    text += wrapped(reasons_sentence(reasons));
    text += wrapped(std::string(texts::decay_key));
    text += wrapped(std::string(texts::decay_method));
    return text;
}

} // namespace ebbmark
