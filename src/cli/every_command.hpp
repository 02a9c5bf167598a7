// SPDX-License-Identifier: GPL-3.0-or-later
// What the table of commands refers to: options and action of each.
#pragma once

#include "cli/command.hpp"

namespace ebbmark {

void declare_sweep(Options& options);
int run_sweep(const Arguments& arguments, Console& console);

void declare_deconvolve(Options& options);
int run_deconvolve(const Arguments& arguments, Console& console);

void declare_decay(Options& options);
int run_decay(const Arguments& arguments, Console& console);

void declare_compare(Options& options);
int run_compare(const Arguments& arguments, Console& console);

} // namespace ebbmark
