// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/document_output.hpp"

#include "base/error.hpp"
#include "cli/output.hpp"
#include "job/results.hpp"
#include "work/version.hpp"

#include <fmt/format.h>

namespace ebbmark {

namespace fs = std::filesystem;

void declare_document(Options& options) {
    add_option(options, "paper", "a4|letter", "size of the PDF's pages (a4)");
    add_option(options, "units", "metric|imperial", "of lengths, areas and temperatures (metric)");
    add_option(options, "into", "DIR", "write the pages into this folder instead of JOB/results");
}

Units units_of(const Arguments& arguments) {
    return arguments.choice("units", {"metric", "imperial"}) == "imperial" ? Units::imperial : Units::metric;
}

Paper paper_of(const Arguments& arguments) {
    return arguments.choice("paper", {"a4", "letter"}) == "letter" ? Paper::letter : Paper::a4;
}

void require_free_pages(const Arguments& arguments, const std::string& name) {
    units_of(arguments);
    paper_of(arguments);
    if (arguments.has("into"))
        for (const char* ending : {".pdf", ".html"})
            require_free(arguments, fs::path(arguments.text("into")) / (name + ending));
}

std::vector<std::string> write_pages(const JobFolder& job, const std::string& name, const Document& document,
                                     Paper paper) {
    const MadeFrom made_from{job.digest(), std::string(version)};
    return {write_result(job, name + ".pdf", document_pdf(document, paper), made_from).string(),
            write_result(job, name + ".html", document_html(document), made_from).string()};
}

std::vector<std::string> write_pages(const Arguments& arguments, const JobFolder& job,
                                     const std::string& name, const Document& document) {
    const Paper paper = paper_of(arguments);
    if (!arguments.has("into")) {
        if (job.writable())
            return write_pages(job, name, document, paper);
        throw Error(ErrorKind::unusable,
                    fmt::format("{}: may not be written; name another folder for the pages with --into DIR",
                                job.path().string()));
    }
    const fs::path into = arguments.text("into");
    const fs::path pdf = into / (name + ".pdf"), html = into / (name + ".html");
    write_output(arguments, pdf, document_pdf(document, paper));
    write_output(arguments, html, document_html(document));
    return {pdf.string(), html.string()};
}

} // namespace ebbmark
