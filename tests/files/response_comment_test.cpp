// SPDX-License-Identifier: GPL-3.0-or-later
#include "files/audio_file.hpp"
#include "files/response_comment.hpp"
#include "folder.hpp"

#include <doctest/doctest.h>

using namespace ebbmark;

TEST_CASE("a response carries what it rests on through its file") {
    const ResponseInfo info{61.5, 15000, true};
    CHECK(to_comment(info) == "ebbmark response; source_from_hz=61.5; source_to_hz=15000; simulated=true");
    const TestFolder folder;
    write_audio(folder / "ir.wav", {{1, 0, 0}}, 48000, SampleFormat::float32, to_comment(info),
                Overwrite::never);
    CHECK(response_info(read_audio(folder / "ir.wav").comment, "ir.wav") == info);
    CHECK(response_info(to_comment({}), "ir.wav") == ResponseInfo{});
    CHECK(response_info(to_comment({0.1, 1.0 / 3, false}), "ir.wav") == ResponseInfo{0.1, 1.0 / 3, false});
}

TEST_CASE("lines of hum that may be left are carried along") {
    const ResponseInfo info{20, 20000, false, {50.03, 150.1}};
    CHECK(response_info(to_comment(info), "ir.wav") == info);
    CHECK_THROWS(response_info(to_comment({20, 20000, false}) + "; hum_hz=50 x", "ir.wav"));
    const ResponseInfo disturbed{20, 20000, false, {}, {}, {125.893, 158.489}};
    CHECK(response_info(to_comment(disturbed), "ir.wav") == disturbed);
    CHECK_THROWS(response_info(to_comment({20, 20000, false}) + "; disturbed_hz=x", "ir.wav"));
}

TEST_CASE("comments of others say nothing, fields of later versions do not disturb") {
    CHECK_FALSE(response_info("", "a.wav"));
    CHECK_FALSE(response_info("Recorded in the hall, simulated=true", "a.wav"));
    CHECK(response_info(to_comment({20, 20000, false}) + "; kind=new", "a.wav") ==
          ResponseInfo{20, 20000, false});
}

TEST_CASE("a damaged comment of ours is refused, so that nothing simulated passes as real") {
    for (const char* text : {"ebbmark response", "ebbmark response; source_from_hz=20; source_to_hz=20000",
                             "ebbmark response; source_from_hz=20; source_to_hz=20000; simulated=maybe",
                             "ebbmark response; source_from_hz=x; source_to_hz=20000; simulated=true",
                             "ebbmark response; source_from_hz=nan; source_to_hz=20000; simulated=true"}) {
        CAPTURE(text);
        const std::string refused = refusal([&] { response_info(text, "a.wav"); });
        CHECK(contains(refused, "a.wav: the comment in the file is damaged"));
        CHECK(contains(refused, "make the response again"));
    }
}
