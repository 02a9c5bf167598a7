// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "cli/document_output.hpp"
#include "cli/every_command.hpp"
#include "cli/output.hpp"
#include "proof/records/proof_document.hpp"
#include "proof/records/redaction.hpp"
#include "proof/words/result_notes.hpp"
#include "work/analysed_job.hpp"
#include "work/checked_evidence.hpp"
#include "work/compared_visits.hpp"
#include "work/proof_of_job.hpp"

#include <fmt/format.h>

namespace ebbmark {

namespace {

namespace fs = std::filesystem;

/// Every figure, chart and response as a file of its own.
void write_data(const Arguments& arguments, const AnalysedJob& job, const ProofReport& report) {
    const fs::path folder = arguments.text("data");
    const auto write = [&](const std::string& name, const std::string& bytes) {
        write_output(arguments, folder / name, bytes);
    };
    write("proof.json", to_json(report));
    write("comparison.csv", to_csv(report));
    for (const auto& [name, bytes] : document_files(report.document))
        write(name, bytes);
    for (const auto& [name, bytes] : response_files(job, report.input.comparison))
        write(name, bytes);
}

void require_data_folder(const Arguments& arguments) {
    if (!arguments.has("data"))
        return;
    const fs::path folder = arguments.text("data");
    require_outside_jobs(folder / "proof.json");
    std::error_code ignored;
    if (!fs::exists(folder, ignored))
        fs::create_directory(folder, ignored);
    if (!fs::is_directory(folder, ignored))
        throw Error(
            ErrorKind::unusable,
            fmt::format("--data {}: is no folder and cannot be made one; name another", folder.string()));
    if (!fs::is_empty(folder, ignored) && !arguments.flag("force"))
        throw Error(
            ErrorKind::unusable,
            fmt::format("--data {}: is not empty; name another folder, or add --force", folder.string()));
}

} // namespace

void declare_proof(Options& options) {
    add_option(options, "from-visit", "V",
               "the visit before (of those named before… with the most positions the latest)");
    add_option(options, "to-visit", "V", "the visit after (the latest; those between are compared too)");
    add_flag(options, "invoice-line", "print one sentence for the invoice, and write nothing");
    add_flag(options, "redacted", "leave out who and where, traps' names, makes, devices, notes and photos");
    add_option(options, "data", "DIR",
               "write tables, charts, figures and responses as files into this folder");
    declare_document(options);
    declare_output(options);
}

int run_proof(const Arguments& arguments, Console& console) {
    require_free_pages(arguments, "proof");
    require_data_folder(arguments);
    const auto [verification, job] = open_for_document(
        arguments.words().at(0), arguments.flag("force") ? ChangedEvidence::read : ChangedEvidence::refused);
    const std::string from =
        arguments.has("from-visit") ? arguments.text("from-visit") : required_visit_before(job);
    const auto later =
        arguments.has("to-visit") ? std::vector{arguments.text("to-visit")} : later_visits(job, from);
    ProgressLine progress(console, arguments.flag("quiet"));
    ProofInput input = proof_input(job, verification, from, later, units_of(arguments), progress);
    if (arguments.flag("redacted"))
        input = redacted(std::move(input));
    if (arguments.flag("invoice-line")) {
        if (input.kept_differ)
            console.err << sentence(*input.kept_differ) << '\n';
        emit(arguments, console, invoice_line(input) + '\n');
        return 0;
    }
    Document document = proof_document(input);
    const auto pages = write_pages(arguments, job, input.redacted ? "proof-redacted" : "proof", document);
    const ProofReport report{std::move(input), std::move(document), pages};
    if (arguments.has("data"))
        write_data(arguments, job, report);
    emit_report(arguments, console, report);
    return 0;
}

} // namespace ebbmark
