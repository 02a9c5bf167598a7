// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/reports/bundle_report.hpp"

#include "proof/reports/compare_report.hpp"
#include "proof/reports/json_fields.hpp"
#include "proof/text/guarded.hpp"
#include "proof/words/bundle_texts.hpp"
#include "proof/words/job_texts.hpp"
#include "proof/words/result_notes.hpp"
#include "proof/words/table.hpp"

namespace ebbmark {

namespace {

/// First whether the evidence is intact.
std::vector<std::string> all_notes(const BundleReport& report) {
    std::vector<std::string> notes = sentences(report.notes);
    if (report.evidence_faults)
        notes.insert(notes.begin(), evidence_warning(report.evidence_faults));
    return notes;
}

} // namespace

std::string bundle_readme(const BundleReport& report) {
    std::string text = report.simulated ? std::string(texts::simulated_line) + "\n\n" : "";
    for (const std::string& note : all_notes(report))
        text += wrapped(note) + '\n';
    return text + filled(texts::bundle_readme, report.version, report.digest);
}

std::string to_json(const BundleReport& report) {
    Json json = json_object("bundle", origin_of(report.simulated));
    json["archive"] = report.archive;
    json["digest"] = report.digest;
    json["bytes"] = report.bytes;
    json["files"] = report.files;
    json["notes"] = all_notes(report);
    return json_text(json);
}

std::string to_csv(const BundleReport& report) {
    std::string text = "file\n";
    for (const std::string& file : report.files)
        text += csv_text(file) + '\n';
    return text;
}

std::string to_text(const BundleReport& report) {
    std::string head = report.simulated ? std::string(texts::simulated_line) + "\n\n" : "";
    for (const std::string& note : all_notes(report))
        head += wrapped(plain_text(note));
    return head +
           wrapped(filled(texts::bundle_written, plain_text(report.archive), report.files.size(),
                          fmt::format("{:.1f}", static_cast<double>(report.bytes) / 1e6))) +
           fmt::format("{} {}\n", texts::verified_digest, report.digest);
}

} // namespace ebbmark
