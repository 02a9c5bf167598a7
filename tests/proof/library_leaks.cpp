// SPDX-License-Identifier: GPL-3.0-or-later
// Read by the leak checker where the tests are built with it: the font library keeps one pattern per font and
// size until the process ends. Nothing of the program's own is excused.
extern "C" const char* __lsan_default_suppressions() {
    return "leak:libfontconfig\n";
}
