// SPDX-License-Identifier: GPL-3.0-or-later
// Where the promise and the proof go: their options, and the two pages of each.
#pragma once

#include "cli/command.hpp"
#include "job/job_folder.hpp"
#include "proof/document/document.hpp"
#include "proof/words/units.hpp"

#include <string>
#include <vector>

namespace ebbmark {

/// --paper, --units and --into.
void declare_document(Options& options);

Units units_of(const Arguments& arguments);
Paper paper_of(const Arguments& arguments);

/// Before long work: the folder of --into is there, and holds no NAME.pdf or NAME.html unless with --force.
void require_free_pages(const Arguments& arguments, const std::string& name);

/// NAME.pdf and NAME.html in the results of a job opened for writing, replacing older ones. Gives their
/// paths.
std::vector<std::string> write_pages(const JobFolder& job, const std::string& name, const Document& document,
                                     Paper paper);

/// The same where the options say: in the job's results, or in the folder of --into. Throws Error(unusable)
/// where the job may not be written and there is no --into.
std::vector<std::string> write_pages(const Arguments& arguments, const JobFolder& job,
                                     const std::string& name, const Document& document);

} // namespace ebbmark
