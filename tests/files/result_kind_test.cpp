// SPDX-License-Identifier: GPL-3.0-or-later
#include "files/archive.hpp"
#include "files/audio_file.hpp"
#include "files/hash.hpp"
#include "files/response_comment.hpp"
#include "files/result_kind.hpp"
#include "files/sweep_file.hpp"
#include "folder.hpp"

#include <doctest/doctest.h>

using namespace ebbmark;

namespace {

std::string wav(std::string_view comment) {
    return wav_bytes({{0.1, 0.2, 0.3}}, 48000, SampleFormat::float32, comment, "test");
}

constexpr std::array all_kinds = {ResultKind::text,     ResultKind::json,  ResultKind::csv,
                                  ResultKind::html,     ResultKind::svg,   ResultKind::png,
                                  ResultKind::jpeg,     ResultKind::pdf,   ResultKind::bundle,
                                  ResultKind::response, ResultKind::sweep, ResultKind::sweep_description};

/// The kinds that a file of these bytes is taken for.
std::string kinds_of(const TestFolder& folder, std::string_view file, std::string_view bytes) {
    const auto path = folder.write(file, bytes);
    std::string kinds;
    for (const ResultKind kind : all_kinds)
        if (is_result(path, kind))
            kinds += std::string(kinds.empty() ? "" : " | ") + std::string(name(kind));
    return kinds;
}

} // namespace

TEST_CASE(
    "a WAV file is a result where it bears the mark of a response, or is the sweep beside its description") {
    const TestFolder folder;
    CHECK(kinds_of(folder, "r.wav", wav(to_comment({40, 15000, false}))) == "a response made by ebbmark");
    CHECK(kinds_of(folder, "r.wav", wav("")) == "");
    CHECK(kinds_of(folder, "r.wav", wav("by another program")) == "");
    CHECK(kinds_of(folder, "r.wav", wav("ebbmark response; damaged")) == "");
    CHECK(kinds_of(folder, "r.wav", "no WAV at all") == "");
    folder.write("r.toml", to_toml(Sweep{}, sha256(wav(""))));
    CHECK(kinds_of(folder, "r.wav", wav("")) == "a sweep with its description beside it");
    CHECK(kinds_of(folder, "r.wav", wav("another sound")) == "");
}

TEST_CASE("each kind is told by its content, whatever its name") {
    const TestFolder folder;
    // Source: the first bytes are those of ISO 32000-1 7.5.2, PNG (ISO/IEC 15948) 5.2, JPEG (ITU-T T.81)
    // B.1.1.3.
    CHECK(kinds_of(folder, "a", "%PDF-1.7\n%\xE2\xE3") == "a PDF file");
    CHECK(kinds_of(folder, "a", "\x89PNG\r\n\x1A\nrest") == "a PNG picture");
    CHECK(kinds_of(folder, "a", "\xFF\xD8\xFF\xE0") == "a JPEG picture");
    CHECK(kinds_of(folder, "a", "<!DOCTYPE html>\n<html>") == "an HTML page");
    CHECK(kinds_of(folder, "a", "<?xml version=\"1.0\"?>\n<svg xmlns=\"\">") == "an SVG picture");
    CHECK(kinds_of(folder, "a", "{\"ebbmark\": \"decay\"}") == "JSON written by ebbmark");
    CHECK(kinds_of(folder, "a", to_toml(Sweep{}, "")) == "the description of a sweep");
    CHECK(kinds_of(folder, "a", "{\"name\": \"of another\"}") == "");
    CHECK(kinds_of(folder, "a", std::string("\0\1\2", 3)) == "");
    write_archive(folder / "b.zip", {{"README.txt", "A B\n\nMade with Ebbmark 1", {}}}, Overwrite::never);
    CHECK(is_result(folder / "b.zip", ResultKind::bundle));
    write_archive(folder / "c.zip", {{"mine.txt", "Made with Ebbmark 1", {}}}, Overwrite::never);
    CHECK_FALSE(is_result(folder / "c.zip", ResultKind::bundle));
}

TEST_CASE("texts and tables are told from what people and other programs write, as far as they can be") {
    const TestFolder folder;
    const std::string report = "Bands of S1-M1, T20 in s\n 63 Hz  0.8 °\n";
    CHECK(kinds_of(folder, "a.txt", report) == "a text | a table in CSV");
    CHECK(kinds_of(folder, "a.csv", "row,hz\nband,63\n") == "a table in CSV");
    CHECK(kinds_of(folder, "job.toml", report) == "");
    CHECK(kinds_of(folder, "a.txt", "[room]\nlength = \"4 m\"\n") == "");
    CHECK(kinds_of(folder, "a.txt", std::string(64, 'a') + "  visits/before/sounds/001.wav\n") == "");
    CHECK(kinds_of(folder, "notes.odt", report) == "");
    CHECK(kinds_of(folder, "empty", "").find("a text | JSON") == 0);
}
