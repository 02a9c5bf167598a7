// SPDX-License-Identifier: GPL-3.0-or-later
#include "files/hash.hpp"
#include "folder.hpp"

#include <doctest/doctest.h>

using namespace ebbmark;

TEST_CASE("SHA-256 of the examples of the standard") {
    // Source: published. FIPS 180-4 example messages (NIST "SHA-256 examples"), from memory; the empty
    // message is checked by any sha256sum.
    CHECK(sha256("abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    CHECK(sha256("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq") ==
          "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
    CHECK(sha256("") == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
    CHECK(sha256(std::string(1000000, 'a')) ==
          "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
}

TEST_CASE("a file has the hash of its bytes, also where it is read in pieces") {
    const TestFolder folder;
    std::string bytes;
    for (int i = 0; i < 700000; ++i)
        bytes += static_cast<char>(i * 7);
    CHECK(sha256_of_file(folder.write("a", bytes)) == sha256(bytes));
    CHECK(sha256_of_file(folder.write("empty", "")) == sha256(""));
    CHECK(contains(refusal([&] { sha256_of_file(folder / "none"); }), "does not exist"));
}

TEST_CASE("only 64 lower-case hexadecimal digits are a hash") {
    CHECK(is_sha256(sha256("x")));
    CHECK_FALSE(is_sha256(""));
    CHECK_FALSE(is_sha256(std::string(63, 'a')));
    CHECK_FALSE(is_sha256(std::string(64, 'G')));
}
