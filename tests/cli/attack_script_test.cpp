// SPDX-License-Identifier: GPL-3.0-or-later
// A small fixed part of what scripts/attack-job tries.
#include "hostile_jobs.hpp"

#include <doctest/doctest.h>
#include <sys/wait.h>

#include <array>
#include <cstdio>
#include <cstdlib>
#include <filesystem>

using namespace ebbmark;
namespace fs = std::filesystem;

namespace {

bool has(const std::string& text, const std::string& part) {
    return text.find(part) != text.npos;
}

bool can_attack() {
    const bool can = std::system("python3 -c 'import tomllib' >/dev/null 2>&1") == 0 &&
                     std::system("pdftotext -v >/dev/null 2>&1") == 0;
    if (!can)
        MESSAGE("no python3 from 3.11 on, or no pdftotext: skipped");
    return can;
}

Ran attacked(const std::string& program, const std::string& job, const std::string& further) {
    Ran ran{0, "", ""};
    FILE* pipe = popen(
        ("python3 scripts/attack-job '" + program + "' '" + job + "' " + further + " 2>&1").c_str(), "r");
    REQUIRE(pipe);
    std::array<char, 4096> buffer{};
    for (std::size_t got; (got = fread(buffer.data(), 1, buffer.size(), pipe)) > 0;)
        ran.out.append(buffer.data(), got);
    ran.code = WEXITSTATUS(pclose(pipe));
    return ran;
}

/// With a take left out, one rejected, and names of many kinds.
void make_job(const Workbench& bench) {
    make_hostile_job(bench, "spoiled-takes");
    for (const char* visit : {"before", "after"}) {
        const std::string protocol = std::string("spoiled-takes/visits/") + visit + "/visit.toml";
        std::string text = bench.read(protocol);
        text.replace(text.find("notes = \"\""), 10, "notes = \"Ada Invented was there\"");
        bench.write(protocol, text);
    }
}

} // namespace

TEST_CASE("flipped bits, forged bundles and texts in a redacted record: nothing is missed") {
    if (!can_attack())
        return;
    const Workbench bench;
    make_job(bench);
    const Ran ran = attacked(EBBMARK_PROGRAM, bench.path("spoiled-takes"), "--flips 40 --bundles 2");
    CAPTURE(ran.out);
    CHECK(ran.code == 0);
    CHECK(has(ran.out, "evidence, list and job.toml: 40 of 40"));
    CHECK(has(ran.out, "protocols: 40 of 40"));
    CHECK(has(ran.out, "bundle, links: 2 of 2"));
    CHECK(has(ran.out, "redacted: 0 found"));
    CHECK(has(ran.out, "\n0 missed\n"));
}

TEST_CASE("the attack says so where a program finds nothing and hides nothing") {
    if (!can_attack())
        return;
    const Workbench bench;
    make_job(bench);
    // Calls every job intact, and makes every record a whole one.
    const std::string blind = bench.write("blind", "#!/bin/sh\n"
                                                   "case $1 in\n"
                                                   "verify) echo '{\"intact\": true}' ;;\n"
                                                   "*) for word; do\n"
                                                   "  shift\n"
                                                   "  [ \"$word\" = --redacted ] || set -- \"$@\" \"$word\"\n"
                                                   "done\n"
                                                   "exec '" EBBMARK_PROGRAM "' \"$@\" ;;\n"
                                                   "esac\n");
    fs::permissions(blind, fs::perms::owner_all);
    const Ran ran = attacked(blind, bench.path("spoiled-takes"), "--flips 3 --bundles 1");
    CAPTURE(ran.out);
    CHECK(ran.code == 1);
    CHECK(has(ran.out, "evidence, list and job.toml: 0 of 3"));
    CHECK(has(ran.out, "protocols: 0 of 3"));
    for (const char* what : {"single bits", "cuts", "entries twice", "links", "paths outside", "bombs"})
        CHECK(has(ran.out, std::string("bundle, ") + what + ": 0 of 1"));
    CHECK(!has(ran.out, "redacted: 0 found"));
    CHECK(has(ran.out, "missed: \"Booth, invented\" in proof.html"));
}
