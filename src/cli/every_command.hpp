// SPDX-License-Identifier: GPL-3.0-or-later
// What the table of commands refers to: options and action of each.
#pragma once

#include "cli/command.hpp"

namespace ebbmark {

void declare_new(Options& options);
int run_new(const Arguments& arguments, Console& console);

void declare_next(Options& options);
int run_next(const Arguments& arguments, Console& console);

void declare_exclude(Options& options);
int run_exclude(const Arguments& arguments, Console& console);

void declare_predict(Options& options);
int run_predict(const Arguments& arguments, Console& console);

void declare_promise(Options& options);
int run_promise(const Arguments& arguments, Console& console);

void declare_proof(Options& options);
int run_proof(const Arguments& arguments, Console& console);

void declare_bundle(Options& options);
int run_bundle(const Arguments& arguments, Console& console);

void declare_verify(Options& options);
int run_verify(const Arguments& arguments, Console& console);

void declare_devices(Options& options);
int run_devices(const Arguments& arguments, Console& console);

void declare_level(Options& options);
int run_level(const Arguments& arguments, Console& console);

void declare_take(Options& options);
int run_take(const Arguments& arguments, Console& console);

void declare_import(Options& options);
int run_import(const Arguments& arguments, Console& console);

void declare_demo(Options& options);
int run_demo(const Arguments& arguments, Console& console);

void declare_sweep(Options& options);
int run_sweep(const Arguments& arguments, Console& console);

void declare_deconvolve(Options& options);
int run_deconvolve(const Arguments& arguments, Console& console);

void declare_decay(Options& options);
int run_decay(const Arguments& arguments, Console& console);

void declare_ringing(Options& options);
int run_ringing(const Arguments& arguments, Console& console);

void declare_waterfall(Options& options);
int run_waterfall(const Arguments& arguments, Console& console);

void declare_compare(Options& options);
int run_compare(const Arguments& arguments, Console& console);

} // namespace ebbmark
