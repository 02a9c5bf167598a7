// SPDX-License-Identifier: GPL-3.0-or-later
#include "proof/words/verify_notes.hpp"

#include "job/layout.hpp"
#include "job/manifest.hpp"
#include "results/bundle_result.hpp"

#include <fmt/format.h>

namespace ebbmark {

namespace {

struct Words {
    std::string operator()(const Said& note) const { return note.text; }

    // --- on the evidence

    std::string operator()(const ListGone&) const {
        return "Without the list of evidence nothing can be checked: restore it from the copy on your second "
               "disk.";
    }
    std::string operator()(const FolderIsLink& note) const {
        return note.folder + " is a link: what it leads to is not in the job and is not copied with it. Put "
                             "the folder itself in its place.";
    }
    std::string operator()(const KeepingUnfinished&) const {
        return "A program was ended while it kept a take; the next command that writes to this job finishes "
               "it.";
    }
    std::string operator()(const HashesDiffer& note) const {
        return fmt::format("{} was written with other hashes than {} has now, for: {}.", note.file,
                           manifest_name, fmt::join(note.of, ", "));
    }
    std::string operator()(const NotListed& note) const {
        return fmt::format("{} is not in {}, and this program lists such a file before it gives it its name: "
                           "the list was changed, or the file put there by hand.",
                           note.path, manifest_name);
    }
    std::string operator()(const DayDiffers& note) const {
        return fmt::format("The first {} lines of {} are not those whose digits were shown on {} ({}).",
                           note.lines, manifest_name, note.shown_on, note.file);
    }
    std::string operator()(const QuestionDiffers& note) const {
        return fmt::format("{} has another question or acceptance than {}, which fixed it.",
                           layout::question_file, note.promise);
    }

    // --- on the digest that was given

    std::string operator()(const DigestOfPromise& note) const {
        return fmt::format("The digest is that of the promise made on {} ({}). {} of the {} files kept by "
                           "then are as they were.",
                           note.made_at, note.file, note.held, note.listed);
    }
    std::string operator()(const DigestOfRecord& note) const {
        return note.as_it_is_now
                   ? "The digest is that of the job as it is now, as a record made of it bears it."
                   : "The digest is that of the job as a record bears it that was made of it before more was "
                     "kept.";
    }
    std::string operator()(const DigestOfDay& note) const {
        const std::string shown = note.shown
                                      ? fmt::format(" They were shown on {}, after visit {} ({}).",
                                                    note.shown->on, note.shown->visit, note.shown->file)
                                      : "";
        return fmt::format("The digits are those of the first {} lines of {}.{} What they cover is as it was "
                           "then, unless it is named above.",
                           note.lines, manifest_name, shown);
    }
    std::string operator()(const DigestOfFile& note) const {
        return fmt::format("The digest is that of one file of the evidence, {}.", note.path);
    }
    std::string operator()(const SixteenDigits&) const {
        return "Sixteen digits are few: who may change both sides can make two jobs that share them. Compare "
               "all 64 where you can.";
    }
    std::string operator()(const DigitsMiscounted& note) const {
        return fmt::format("The digest given has {} digits; documents show 32 or all 64, older invoice lines "
                           "16. Type it again, whole.",
                           note.digits);
    }
    std::string operator()(const DigestUnknown& note) const {
        return fmt::format("The digest given, {}, is neither that of this job as it is now nor of a promise "
                           "or a file in it. {}",
                           note.given,
                           note.intact ? "It is of another job, or of this one in another state: before a "
                                         "take was kept or left out, or before job.toml or a visit.toml was "
                                         "changed."
                                       : "Mend first what is named above, then check again.");
    }

    // --- on a bundle

    std::string operator()(const BundleLacks& note) const {
        switch (note.part) {
        case BundlePart::findings:
            return "A bundle holds its findings, and these are gone.";
        case BundlePart::readme:
            return "A bundle holds its README, and this is gone.";
        case BundlePart::list:
            break;
        }
        return "A bundle holds a list with the hash of every file, and this is gone.";
    }
    std::string operator()(const FindingsDiffer& note) const {
        return fmt::format(
            "{} is not, byte for byte, what this program (Ebbmark {}) finds in the recordings. "
            "README.txt names the version that it says it was made with. To see where they "
            "differ: ebbmark compare job --format json.",
            bundle_findings_name, note.version);
    }
    std::string operator()(const FindingsNotMade& note) const {
        return fmt::format("{} could not be held against the recordings: {}", bundle_findings_name,
                           note.because.text);
    }
    std::string operator()(const ReadmeOfAnother&) const {
        return fmt::format("{} does not name the digest of the job beside it.", bundle_readme_name);
    }
    std::string operator()(const NotAsListed& note) const {
        return fmt::format("{} is {} {}.", note.path, note.missing ? "missing, and in" : "not what it is in",
                           bundle_list_name);
    }
    std::string operator()(const PackedBeside& note) const {
        return fmt::format("{} was packed beside the files that {} names; do not trust it.", note.path,
                           bundle_list_name);
    }
    std::string operator()(const JobIsLink&) const {
        return "The folder job of this bundle is a link: what it leads to was not packed.";
    }
    std::string operator()(const SecondRoot& note) const {
        return fmt::format("{} lies beside the folder job: a bundle has no other folder and no link. Do not "
                           "trust it, and take it away.",
                           note.name);
    }
    std::string operator()(const PackedOtherwise& note) const {
        return fmt::format("{} is not, byte for byte, as this program packs these files: it was packed again "
                           "or by another version, or something in it lies outside its files.",
                           note.archive);
    }
};

struct CoveredWords {
    std::string operator()(CoveredPart part) const {
        switch (part) {
        case CoveredPart::planned_traps:
            return "planned traps";
        case CoveredPart::question:
            return "question";
        case CoveredPart::acceptance:
            return "acceptance";
        case CoveredPart::places:
            return "loudspeaker and microphone places";
        case CoveredPart::room_size:
            return "size of the room";
        case CoveredPart::description:
            return fmt::format("{} without client, address and invoice", layout::job_file);
        case CoveredPart::protocols:
            break;
        }
        return "the protocols of all visits";
    }
    std::string operator()(const CoveredPrediction& covered) const { return "prediction " + covered.file; }
    std::string operator()(const CoveredFile& covered) const { return covered.path; }
    std::string operator()(const CoveredLines& covered) const {
        return covered.lines == covered.of ? fmt::format("all {} files of the evidence", covered.lines)
                                           : first(covered.lines, covered.of);
    }
    std::string operator()(const CoveredDay& covered) const {
        return fmt::format("{}, up to {}", first(covered.lines, covered.of), covered.last);
    }
    static std::string first(std::size_t lines, std::size_t of) {
        return fmt::format("the first {} of {} files of the evidence", lines, of);
    }
};

} // namespace

std::string sentence(const VerifyNote& note) {
    return std::visit(Words{}, note);
}

std::string sentence(const Covered& covered) {
    return std::visit(CoveredWords{}, covered);
}

std::string words_for(const EvidenceFaults& faults) {
    std::vector<std::string> parts;
    const auto add = [&](const char* what, const std::vector<std::string>& paths) {
        if (!paths.empty())
            parts.push_back(fmt::format("{}: {}", what, fmt::join(paths, ", ")));
    };
    add("changed", faults.changed);
    add("missing", faults.missing);
    add("cannot be read", faults.unreadable);
    parts.insert(parts.end(), faults.said.begin(), faults.said.end());
    return fmt::format("{}", fmt::join(parts, "; "));
}

std::string words_for(const EvidenceNotIntact& refused) {
    return fmt::format(
        "{}: the evidence is not intact ({}); ebbmark verify {} tells more. Restore these files "
        "from the copy on your second disk{}",
        refused.job(), words_for(refused.faults()), refused.job(),
        refused.may_insist() ? ", or add --force: what is made then says first of all what differs" : "");
}

} // namespace ebbmark
