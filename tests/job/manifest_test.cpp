// SPDX-License-Identifier: GPL-3.0-or-later
#include "../files/folder.hpp"
#include "files/hash.hpp"
#include "job/manifest.hpp"

#include <doctest/doctest.h>

#include <cstdlib>

using namespace ebbmark;

namespace {

const std::string hash_a = sha256("a"), hash_b = sha256("b");

std::string with_own_hash(const std::string& lines) {
    return lines + "# " + sha256(lines) + "\n";
}

} // namespace

TEST_CASE("the list is written in the order of keeping and read back") {
    const EvidenceLines lines = {{"visits/b.wav", hash_b}, {"a with space.toml", hash_a}};
    const std::string text = to_text(lines);
    CHECK(text.starts_with(hash_b + "  visits/b.wav\n" + hash_a + "  a with space.toml\n# "));
    CHECK(evidence_lines(text, "list") == lines);
    CHECK(evidence_lines(to_text({}), "list").empty());
    CHECK(by_path(lines).begin()->first == "a with space.toml");
}

TEST_CASE("the digits of the first lines are what the list's last line said when it had no more") {
    const EvidenceLines lines = {{"b", hash_b}, {"a", hash_a}};
    const std::string first = to_text({lines[0]});
    CHECK(first.ends_with("# " + digest_of_first(lines, 1) + "\n"));
    // Source: FIPS 180-4, the digest of nothing.
    CHECK(digest_of_first(lines, 0) == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
}

TEST_CASE("a common tool checks the list without this program") {
    // Source: independent. GNU coreutils sha256sum.
    if (std::system("sha256sum --version > /dev/null 2>&1") != 0) {
        MESSAGE("skipped: no sha256sum here");
        return;
    }
    const TestFolder folder;
    folder.write("a.wav", "a");
    folder.write("b.wav", "b");
    folder.write("evidence.sha256", to_text({{"a.wav", hash_a}, {"b.wav", hash_b}}));
    const std::string check =
        "cd " + folder.path().string() + " && sha256sum --strict -c evidence.sha256 > out 2>&1";
    CHECK(std::system(check.c_str()) == 0);
    folder.write("b.wav", "c");
    CHECK(std::system(check.c_str()) != 0);
}

TEST_CASE("a damaged list is refused") {
    const std::string good = to_text({{"a", hash_a}, {"b", hash_b}});
    const auto read = [](const std::string& text) { return refusal([&] { evidence_lines(text, "list"); }); };
    CHECK(read(good) == "no error");
    for (const std::string& text :
         {std::string(), good.substr(1), good + "\n", good.substr(0, good.size() - 1)})
        CHECK(contains(read(text), "list: is damaged; restore"));
    for (const std::string& lines :
         {hash_a + " a\n", hash_a + "\n", std::string("x\n"), "\n" + hash_a + "  a\n",
          hash_a + "  a\n" + hash_a + "  a\n", hash_a + "  ../a\n", hash_a + "  /a\n",
          hash_a + "  a/../../b\n", hash_a + "  a//b\n", hash_a + "  ./a\n", hash_a + "  \n"}) {
        CAPTURE(lines);
        CHECK(contains(read(with_own_hash(lines)), ": is damaged; restore"));
    }
}
