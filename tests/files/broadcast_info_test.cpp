// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/error.hpp"
#include "files/broadcast_info.hpp"
#include "folder.hpp"

#include <doctest/doctest.h>

using namespace ebbmark;

namespace {

std::string little(std::uint64_t value, int bytes) {
    std::string text;
    for (int n = 0; n < bytes; ++n)
        text += static_cast<char>(value >> (8 * n));
    return text;
}

std::string field(std::string text, std::size_t length) {
    text.resize(length, '\0');
    return text;
}

/// Source: published. EBU Tech 3285 version 2: fields and their lengths, 602 bytes and the coding history.
std::string bext(const std::string& date, const std::string& time) {
    const std::string body = field("kitchen, before", 256) + field("an invented recorder", 32) +
                             field("", 32) + date + time + little(5'000'000'000, 8) + little(2, 2) +
                             std::string(64 + 10 + 180, '\0') + "A=PCM,F=48000\r\n";
    return "bext" + little(body.size(), 4) + body + (body.size() % 2 ? std::string(1, '\0') : "");
}

std::string wave(const std::string& form, const std::string& chunks) {
    return form + little(4 + chunks.size(), 4) + "WAVE" + chunks;
}

const std::string sound = "fmt " + little(16, 4) + little(1, 2) + little(1, 2) + little(48000, 4) +
                          little(96000, 4) + little(2, 2) + little(16, 2) + "data" + little(4, 4) +
                          little(0, 4);

} // namespace

TEST_CASE("what the recorder wrote is read, before and after other chunks, in WAV and RF64") {
    const TestFolder folder;
    const BroadcastInfo truth{"kitchen, before", "an invented recorder", "2026-11-25", "14:03:11",
                              5'000'000'000};
    const std::string odd = "note" + little(3, 4) + std::string("abc\0", 4);
    for (const auto& bytes : {wave("RIFF", bext("2026-11-25", "14:03:11") + sound),
                              wave("RF64", odd + bext("2026:11:25", "14-03-11") + sound),
                              wave("RIFF", sound + bext("2026-11-25", "14:03:11"))}) {
        const auto info = broadcast_info(folder.write("b.wav", bytes));
        REQUIRE(info);
        CHECK(*info == truth);
    }
    CHECK(sentence(truth) == "Recorded 2026-11-25 14:03:11 with an invented recorder, \"kitchen, before\" "
                             "(as the recorder wrote it).");
}

TEST_CASE("files without it, cut files and nonsense dates give nothing instead of something wrong") {
    const TestFolder folder;
    CHECK_FALSE(broadcast_info(folder.write("plain.wav", wave("RIFF", sound))));
    CHECK_FALSE(
        broadcast_info(folder.write("cut.wav", wave("RIFF", bext("2026-11-25", "14:03:11")).substr(0, 300))));
    CHECK_FALSE(broadcast_info(folder.write("x.flac", "fLaC and more that is none")));
    CHECK_FALSE(broadcast_info(folder.write("empty.wav", "")));
    const auto info = broadcast_info(folder.write("d.wav", wave("RIFF", bext("25.11.2026", "2 o'cloc"))));
    REQUIRE(info);
    CHECK(info->date.empty());
    CHECK(info->time.empty());
    CHECK_THROWS_AS(broadcast_info(folder / "absent.wav"), Error);
}
