// SPDX-License-Identifier: GPL-3.0-or-later
#include "files/hash.hpp"

#include "base/error.hpp"
#include "files/whole_file.hpp"

#include <nettle/sha2.h>

#include <algorithm>
#include <array>
#include <cstdint>
#include <fstream>
#include <vector>

namespace ebbmark {

namespace {

class Sha256 {
  public:
    Sha256() { sha256_init(&state_); }

    void add(std::string_view bytes) {
        sha256_update(&state_, bytes.size(), reinterpret_cast<const std::uint8_t*>(bytes.data()));
    }

    std::string hex() {
        std::array<std::uint8_t, SHA256_DIGEST_SIZE> digest{};
        sha256_digest(&state_, digest.size(), digest.data());
        std::string text;
        for (const std::uint8_t byte : digest)
            for (const int nibble : {byte >> 4, byte & 15})
                text += "0123456789abcdef"[nibble];
        return text;
    }

  private:
    sha256_ctx state_{};
};

} // namespace

std::string sha256(std::string_view bytes) {
    Sha256 hash;
    hash.add(bytes);
    return hash.hex();
}

std::string sha256_of_file(const std::filesystem::path& path) {
    require_readable(path);
    std::ifstream file(path, std::ios::binary);
    std::vector<char> piece(std::size_t{1} << 18);
    Sha256 hash;
    while (file) {
        file.read(piece.data(), static_cast<std::streamsize>(piece.size()));
        hash.add({piece.data(), static_cast<std::size_t>(file.gcount())});
    }
    if (!file.eof())
        throw Error(ErrorKind::unusable,
                    path.string() + ": cannot be read to its end; check the disk and copy the file again");
    return hash.hex();
}

bool is_sha256(std::string_view text) {
    return text.size() == 2 * SHA256_DIGEST_SIZE && std::all_of(text.begin(), text.end(), [](char c) {
               return (c >= '0' && c <= '9') || (c >= 'a' && c <= 'f');
           });
}

} // namespace ebbmark
